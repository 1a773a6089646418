import type { WiringFacts, WiringState } from './circuit.ts'
import type { PiecePlace } from './layout.ts'
import { layoutOf } from './layouts.ts'
import type { Netlist } from './netlist.ts'
import { pictureOf } from './picture.ts'
import { predict, type WiringInstrument } from './predict.ts'
import type { Prediction } from './prediction.ts'

export interface MeterQuestion {
  facts?: WiringFacts
  cause?: string | undefined
  carState?: WiringState
  red: string
  black: string
}

export interface MeterReading {
  instrument: WiringInstrument
  prediction: Prediction
  /** what the clamp goes round: a part, or a piece of one */
  around?: string
  /** read with the key off and the pack or the mains taken off: on a live circuit it would show nothing worth reading */
  dead?: true
}

/**
 * What every instrument shows between two points, as the command `meter` prints it and the bench page shows it: volts,
 * lamp and current in the car state asked for; ohms and continuity with the car made dead for them.
 *
 * @throws WiringError as predict does
 */
export function metersAt(netlist: Netlist, q: MeterQuestion): MeterReading[] {
  const dead = deadState(netlist, q.carState)
  return [...(isDead(q.carState) ? [] : liveAt(netlist, q)), ...deadAt(netlist, { ...q, carState: dead })]
}

/** Volts, lamp and current, as the car stands. */
export function liveAt(netlist: Netlist, q: MeterQuestion): MeterReading[] {
  const at = ask(netlist, q)
  const readings = [at('voltmeter')]
  if (alternates(netlist)) readings.push(at('voltmeter-ac'))
  readings.push(at('test-lamp'))
  const around = clampPlace(netlist, q)
  if (around !== undefined) {
    readings.push({
      instrument: 'clamp-ammeter',
      around,
      prediction: predict(netlist, { ...own(q), instrument: 'clamp-ammeter', around }),
    })
  }
  return readings
}

/** Ohms and continuity, on a car that is dead. */
export function deadAt(netlist: Netlist, q: MeterQuestion): MeterReading[] {
  const at = ask(netlist, q)
  return [{ ...at('ohmmeter'), dead: true }, { ...at('continuity'), dead: true }, ...junctionAt(at('diode-test'))]
}

/** The diode range, where it says more than the ohmmeter: it passes one way round only, or not alike. */
function junctionAt(reading: MeterReading): MeterReading[] {
  const { prediction: p } = reading
  const alike = p.kind !== 'diode' || Math.abs((p.volts ?? 9) - (p.swapped ?? 9)) < 0.05
  return alike ? [] : [{ ...reading, dead: true }]
}

/** The same car with nothing that drives a current: for an ohmmeter. */
export function deadState(netlist: Netlist, state: WiringState = {}): WiringState {
  const { step: _step, pedal: _pedal, ...rest } = state
  const off: WiringState = { ...rest, pack: 'isolated' }
  if (netlist.kind === 'charger') return { ...off, supply: 'off' }
  return { ...off, key: 'off', direction: 'neutral', ...(netlist.states['step'] ? { step: 0 } : { pedal: 0 }) }
}

const isDead = (state: WiringState | undefined): boolean => state?.pack === 'isolated' && state.supply !== 'on'

function ask(netlist: Netlist, q: MeterQuestion) {
  return (instrument: WiringInstrument): MeterReading => ({
    instrument,
    prediction: predict(netlist, { ...own(q), instrument, red: q.red, black: q.black }),
  })
}

const own = ({ facts, cause, carState }: MeterQuestion) => ({
  ...(facts ? { facts } : {}),
  cause,
  ...(carState ? { carState } : {}),
})

const alternates = (netlist: Netlist): boolean =>
  netlist.parts.some(
    (p) => p.kind === 'supply' || (p.kind === 'controller' && p.outputs.some((o) => o.kind === 'phases')),
  )

/** Where a clamp would go for these probes: round the part between them, else round what carries most at the red one. */
function clampPlace(netlist: Netlist, q: MeterQuestion): string | undefined {
  const { parts } = pictureOf(netlist, own(q))
  // A clamp for direct current shows nothing of the mains.
  const amps = new Map(parts.filter((p) => !p.alternating).map((p) => [p.key, Math.abs(p.amps)]))
  const here = layoutOf(netlist.family).pieces.filter((p) => amps.has(p.key) && p.part !== 'frame-insulation')
  const at = (p: PiecePlace, node: string) => p.from === node || p.to === node
  const best = (list: PiecePlace[]) =>
    list.sort((a, b) => amps.get(b.key)! - amps.get(a.key)! || (a.key < b.key ? -1 : 1))[0]
  const found =
    best(here.filter((p) => at(p, q.red) && at(p, q.black) && p.symbol !== 'pack')) ??
    best(here.filter((p) => at(p, q.red) && p.symbol !== 'pack')) ??
    best(here.filter((p) => at(p, q.red)))
  return found?.branch
}

export interface StepRow {
  step: number
  /** undefined where the instrument shows no number */
  volts?: { mean: number; low: number; high: number }
}

/** Volts at each pedal step between two points; undefined where the pedal has no steps here. */
export function voltsByStep(netlist: Netlist, q: MeterQuestion, steps: readonly number[]): StepRow[] {
  return steps.map((step) => {
    const p = predict(netlist, {
      ...own(q),
      carState: { ...q.carState, step },
      instrument: 'voltmeter',
      red: q.red,
      black: q.black,
    })
    return p.kind === 'number' ? { step, volts: { mean: p.mean, low: p.low, high: p.high } } : { step }
  })
}
