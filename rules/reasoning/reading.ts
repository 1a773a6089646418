import type { ObservableFile } from '../schema/knowledge.ts'

/**
 * How well a number read off an instrument fits a state of the observable: 1 in the middle, falling with the distance from
 * it like a Student t with 3 degrees of freedom (heavy tails: people misread meters), never below the outlier floor.
 * Only + - * / are used, so that every machine gets the same bits.
 */
export const OUTLIER_FLOOR = 0.01

export function tailOf(z: number): number {
  const t = 1 / (1 + (z * z) / 3)
  return OUTLIER_FLOOR + (1 - OUTLIER_FLOOR) * t * t
}

/** The weight of each state of an observable, from a number read off an instrument. */
export function readingWeights(observable: ObservableFile, value: number, packVolts: number): Float64Array {
  const q = observable.quantity
  const weights = new Float64Array(observable.states.length).fill(1)
  if (!q) return weights
  const scale = q.of === 'pack-volts' ? packVolts : 1
  observable.states.forEach((state, i) => {
    const r = q.reads[state]
    // A state of which the knowledge gives no number is neither favoured nor excluded by one.
    if (!r) {
      weights[i] = 0.1
      return
    }
    let z: number
    if ('mean' in r) z = (value - r.mean * scale) / (r.sd * scale)
    else {
      const outside = value < r.from * scale ? r.from * scale - value : value > r.to * scale ? value - r.to * scale : 0
      z = outside / (r.edge * scale)
    }
    weights[i] = tailOf(z)
  })
  return weights
}

/** What the instrument should show in a state: the middle and, where it is a spread, the band that holds 19 in 20. */
export function bandOf(
  observable: ObservableFile,
  state: string,
  packVolts: number,
): { middle: number; low: number; high: number } | undefined {
  const q = observable.quantity
  const r = q?.reads[state]
  if (!q || !r) return undefined
  const scale = q.of === 'pack-volts' ? packVolts : 1
  if ('mean' in r) {
    return { middle: r.mean * scale, low: (r.mean - 1.96 * r.sd) * scale, high: (r.mean + 1.96 * r.sd) * scale }
  }
  return { middle: ((r.from + r.to) / 2) * scale, low: r.from * scale, high: r.to * scale }
}
