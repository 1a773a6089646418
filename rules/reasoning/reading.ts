import type { ObservableFile } from '../schema/knowledge.ts'
import { distributionOf } from '../schema/words.ts'

/** What an impossible reading still counts: people misread meters. */
export const OUTLIER_FLOOR = 0.01

/** Standard deviations to either side that hold 19 sound cars in 20. */
const SPREADS = 1.96

/**
 * How well a number read off an instrument fits a state of the observable, `z` standard deviations from its middle: 1 there,
 * falling like a Student t with 3 degrees of freedom (heavy tails), never below the outlier floor. Only + - * / are used, so
 * that every machine gets the same bits.
 */
export function tailOf(z: number): number {
  const t = 1 / (1 + (z * z) / 3)
  return OUTLIER_FLOOR + (1 - OUTLIER_FLOOR) * t * t
}

/** A check that views the pack at rest gives the volts that other readings are fractions of. */
export const PACK_AT_REST = 'pack-volts.at-rest'

/** What a sound car reads at an observable: this very car's, from its wiring. In the observable's unit. */
export interface Sound {
  mean: number
  sd: number
  /** what it reads so many pedal steps away, where a state is likened to that */
  away?: ReadonlyMap<number, number>
}

/**
 * The weight of each state of an observable, from a number read off an instrument.
 *
 * The file's numbers are those of one car of the family. A car of more volts, whose resistors take a smaller share of them,
 * reads other shares of its pack at the same step: so a reading is first brought to where that one car would have shown it,
 * between nothing, what is sound at this step and at the ones beside it, and the whole pack. Whatever lies in the band of
 * 19 sound cars in 20 is as it should be: that band is what the technician is shown.
 *
 * @param packVolts what the shares are shares of, volts
 * @param sound     what this car shows with nothing wrong, if its wiring says so
 */
export function readingWeights(
  observable: ObservableFile,
  value: number,
  packVolts: number,
  sound?: Sound,
): Float64Array {
  const q = observable.quantity
  const weights = new Float64Array(observable.states.length).fill(1)
  if (!q) return weights
  const scale = q.of === 'pack-volts' ? packVolts : 1
  const frame = frameOf(observable, packVolts, sound)
  const read = frame ? frame.toFile(value / scale) * scale : value
  observable.states.forEach((state, i) => {
    const r = q.reads[state]
    // A state of which the knowledge gives no number is neither favoured nor excluded by one.
    if (!r) {
      weights[i] = 0.1
      return
    }
    let z: number
    if (frame && state === frame.usual) z = beyond(read, frame.low, frame.high, scale) / (frame.edge * scale)
    else if ('mean' in r) z = (read - r.mean * scale) / (r.sd * scale)
    else {
      const [from, to] = frame ? outsideOf(r, frame) : [r.from, r.to]
      z = beyond(read, from, to, scale) / (r.edge * scale)
    }
    weights[i] = tailOf(z)
  })
  return weights
}

/** How far a value is outside from..to. */
function beyond(value: number, from: number, to: number, scale: number): number {
  return value < from * scale ? from * scale - value : value > to * scale ? value - to * scale : 0
}

/** The file's numbers and this car's, as shares of the pack's volts. */
interface Frame {
  /** the state of a sound car, and the band of sound cars in the file's numbers */
  usual: string
  low: number
  high: number
  /** how soft its ends are */
  edge: number
  toFile(share: number): number
  fromFile(share: number): number
}

/** Nearer than this to each other, two shares leave no room between them. */
const ROOM = 0.01

/** No meter is read more finely than this share of the pack. */
const LEAST_SPREAD = 0.001

/** Undefined where the numbers are no shares of the pack, or nothing is known of this car. */
function frameOf(observable: ObservableFile, packVolts: number, sound: Sound | undefined): Frame | undefined {
  const q = observable.quantity
  if (q?.of !== 'pack-volts' || !sound) return undefined
  const spread = distributionOf(observable.states, observable.usual)
  const usual = observable.states[spread.indexOf(Math.max(...spread))]!
  const r = q.reads[usual]
  if (!r) return undefined
  // Rounded, so that a last bit of the solver's cannot decide anything.
  const here = Number((sound.mean / packVolts).toPrecision(4))
  const sd = Math.max(LEAST_SPREAD, Number((sound.sd / packVolts).toPrecision(3)))
  if ('from' in r) {
    const [low, high] = [Math.min(r.from, here - SPREADS * sd), Math.max(r.to, here + SPREADS * sd)]
    return { usual, low, high, edge: r.edge, toFile: same, fromFile: same }
  }
  const at = r.mean
  const pairs: [here: number, inFile: number][] = [
    [0, 0],
    [here, at],
    [1, 1],
  ]
  for (const read of Object.values(q.reads)) {
    const away = 'mean' in read && read.steps !== undefined ? sound.away?.get(read.steps) : undefined
    if ('mean' in read && away !== undefined) pairs.push([Number((away / packVolts).toPrecision(4)), read.mean])
  }
  pairs.sort((a, b) => a[0] - b[0])
  // A car whose steps do not rise one after the other is not brought to any order.
  if (pairs.some(([x, y], i) => i > 0 && (x - pairs[i - 1]![0] < ROOM || y - pairs[i - 1]![1] < ROOM))) return undefined
  const low = along(here - SPREADS * sd, pairs)
  const high = along(here + SPREADS * sd, pairs)
  return {
    usual,
    low,
    high,
    edge: (high - low) / (4 * SPREADS),
    toFile: (share) => along(share, pairs),
    fromFile: (share) =>
      along(
        share,
        pairs.map(([x, y]) => [y, x]),
      ),
  }
}

const same = (share: number) => share

/** Straight from one pair to the next; beyond the last as far beyond. */
function along(share: number, pairs: readonly (readonly [number, number])[]): number {
  const to = Math.max(
    1,
    pairs.findIndex(([x]) => x >= share),
  )
  const [last, lastTo] = pairs.at(-1)!
  if (share > last) return lastTo + share - last
  const [x0, y0] = pairs[to - 1]!
  const [x1, y1] = pairs[to]!
  return y0 + ((share - x0) * (y1 - y0)) / (x1 - x0)
}

/** A range that means "not sound" ends, or begins, where sound cars do. */
function outsideOf(r: { from: number; to: number }, frame: Frame): [from: number, to: number] {
  const middle = (frame.low + frame.high) / 2
  if (r.to <= middle) return [Math.min(r.from, frame.low), Math.min(r.to, frame.low)]
  if (r.from >= middle) return [Math.max(r.from, frame.high), Math.max(r.to, frame.high)]
  return [r.from, r.to]
}

/** What the instrument should show in a state: the middle and, where it is a spread, the band that holds 19 in 20. */
export function bandOf(
  observable: ObservableFile,
  state: string,
  packVolts: number,
  sound?: Sound,
): { middle: number; low: number; high: number } | undefined {
  const q = observable.quantity
  const r = q?.reads[state]
  if (!q || !r) return undefined
  const frame = frameOf(observable, packVolts, sound)
  const scale = q.of === 'pack-volts' ? packVolts : 1
  const shown = (share: number) => (frame ? frame.fromFile(share) : share) * scale
  if ('mean' in r) {
    return { middle: shown(r.mean), low: shown(r.mean - SPREADS * r.sd), high: shown(r.mean + SPREADS * r.sd) }
  }
  return { middle: shown((r.from + r.to) / 2), low: shown(r.from), high: shown(r.to) }
}
