import { INSTRUMENTS, toleranceAt } from '../../handbook/instruments.ts'
import { type Branch, type Circuit, JUMPER_OHMS } from '../circuit.ts'
import { WiringError } from '../errors.ts'
import { ampsThrough, branch, type OperatingPoint, operate } from '../operate.ts'
import { numberOf, type Prediction } from '../prediction.ts'
import { spreadOf } from '../sensitivity.ts'
import { between, type Probes } from './probes.ts'

/** An ohmmeter by what it does to a circuit: `testVolts` behind `sourceOhms` in each range. */
export interface Ohmmeter {
  words: string
  testVolts: number
  ranges: readonly { upTo: number; sourceOhms: number; resolution: number }[]
  /** ohms of both leads, left in the reading */
  leadOhms: number
}

/** A hand-held digital meter: 2.5 V open, 1 mA in the lowest range. Common practice, no source. */
export const DIGITAL_OHMMETER: Ohmmeter = {
  words: 'digital ohmmeter',
  testVolts: 2.5,
  ranges: INSTRUMENTS.ohmmeter.ranges.map((r) => ({ ...r, sourceOhms: (2500 * r.upTo) / 600 })),
  leadOhms: 0.2,
}

/** One with a needle: mid-scale at the range's source resistance, 1.5 V. Common practice, no source. */
export const ANALOG_OHMMETER: Ohmmeter = {
  words: 'ohmmeter with a needle',
  testVolts: 1.5,
  ranges: [15, 150, 1500, 15_000, 150_000].map((mid) => ({ upTo: mid * 60, sourceOhms: mid, resolution: mid / 30 })),
  leadOhms: 0.2,
}

export interface OhmmeterQuery {
  meter?: Ohmmeter
  /** number of a range, from 0 for the lowest; without it the meter picks one itself */
  range?: number
  /** the part meant to be measured, by id: what else carries the test current is then named */
  part?: string
}

/** Volts between the probes from which on a circuit is live for an ohmmeter. */
const LIVE_VOLTS = 0.02
/** A kick shorter than this is not seen. Common practice, no source. */
const VISIBLE_SECONDS = 0.2

/** What an ohmmeter shows, red being its positive lead. */
export function ohmmeter(p: Probes, query: OhmmeterQuery = {}): Prediction {
  const meter = query.meter ?? DIGITAL_OHMMETER
  if (!(meter.testVolts > 0) || meter.ranges.length === 0) {
    throw new WiringError('bad-instrument', meter.words, 'it has no test volts or no range', 'Give both')
  }
  const open = between(p)
  if (!('kind' in open) && Math.abs(open.volts) > LIVE_VOLTS) {
    return { kind: 'live', volts: open.volts, why: 'there are volts between the probes: isolate the pack first' }
  }
  const { circuit } = p.observed
  const ranges = query.range === undefined ? meter.ranges : meter.ranges.slice(query.range, query.range + 1)
  if (ranges.length === 0) {
    throw new WiringError(
      'bad-instrument',
      meter.words,
      `it has no range ${query.range}`,
      `Use 0 to ${meter.ranges.length - 1}`,
    )
  }
  const kick = kickOf(p, meter, ranges.at(-1)!)
  if (kick) return kick
  for (const range of ranges) {
    const test = tested(circuit, p, meter, range.sourceOhms)
    const shown = test.ohms + meter.leadOhms
    if (!(shown <= range.upTo)) continue
    const mean = Math.round(shown / range.resolution) * range.resolution
    const spread = spreadOf([{ solved: test.point, branches: test.point.branches }], { volts: [p.red, p.black] })
    // A reading is volts over amperes: d(V/I) = dV / I (1 + R / source), as the current falls while the volts rise.
    const factor = (1 + test.ohms / range.sourceOhms) / Math.max(test.amps, 1e-15)
    const scaled = { sd: spread.sd * factor, dueTo: spread.dueTo.map((d) => ({ ...d, sd: d.sd * factor })) }
    const tolerance = Math.max(range.resolution, toleranceAt(INSTRUMENTS.ohmmeter, mean))
    const reading = numberOf('Ω', mean, scaled, tolerance)
    return query.part === undefined
      ? reading
      : { ...reading, parallel: parallelPaths(test.point, query.part, test.amps) }
  }
  return { kind: 'over-range', ohms: ranges.at(-1)!.upTo }
}

/** The test current and what it meets. */
export function tested(
  circuit: Circuit,
  p: { red: number; black: number },
  meter: { testVolts: number },
  sourceOhms: number,
): { ohms: number; amps: number; point: OperatingPoint } {
  const source = branch('ohmmeter', 'test', p.red, p.black, {
    kind: 'source',
    volts: meter.testVolts,
    ohms: sourceOhms,
  })
  const point = operate(circuit, [source])
  const volts = point.volts[p.red]! - point.volts[p.black]!
  const amps = (meter.testVolts - volts) / sourceOhms
  // Below a millionth of the full current nothing flows but rounding and leakage.
  const flows = amps > (1e-6 * meter.testVolts) / sourceOhms
  return { ohms: p.red === p.black ? 0 : flows ? volts / amps : Number.POSITIVE_INFINITY, amps, point }
}

/** Parts other than `part` that carry more than a fiftieth of the test current, when `part` does not carry it all. */
export function parallelPaths(point: OperatingPoint, part: string, amps: number): string[] {
  const isPart = (b: Branch): boolean => b.part === part || b.id === part
  const own = Math.max(0, ...point.branches.filter(isPart).map((b) => Math.abs(ampsThrough(b, point.volts))))
  if (own > 0.98 * amps) return []
  const others = point.branches.filter(
    (b) => !isPart(b) && b.part !== 'ohmmeter' && Math.abs(ampsThrough(b, point.volts)) > 0.02 * amps,
  )
  return [...new Set(others.map((b) => b.part))]
}

/**
 * A discharged capacitor between the probes: at first it is a short, in the end a break. The meter's volts approach the
 * end as exp(−t / RC) with R what the capacitor sees, the meter among it: 90 % of the way takes 2.303 RC.
 */
function kickOf(p: Probes, meter: Ohmmeter, range: Ohmmeter['ranges'][number]): Prediction | undefined {
  const { circuit } = p.observed
  for (const c of circuit.branches) {
    if (c.kind !== 'capacitor') continue
    const shorted = { ...circuit, branches: circuit.branches.map((b) => (b === c ? asShort(c) : b)) }
    const first = tested(shorted, p, meter, range.sourceOhms)
    const last = tested(circuit, p, meter, range.sourceOhms)
    if (!(first.ohms + meter.leadOhms < 0.5 * Math.min(last.ohms, range.upTo))) continue
    const seen = last.point.transfer(c.a, c.b)
    const behind = seen[c.a]! - seen[c.b]!
    const seconds = Math.LN10 * behind * c.farads
    const to = last.ohms + meter.leadOhms
    if (seconds < VISIBLE_SECONDS) continue
    const kick = { kind: 'kick' as const, from: first.ohms + meter.leadOhms, seconds }
    return to <= range.upTo ? { ...kick, to } : kick
  }
  return undefined
}

function asShort(c: Branch): Branch {
  return { ...c, kind: 'resistor', ohms: JUMPER_OHMS }
}
