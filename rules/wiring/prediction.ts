import type { Spread } from './sensitivity.ts'

/** A number that an instrument should show. All in `unit`. */
export interface NumberPrediction {
  kind: 'number'
  unit: 'V' | 'Ω' | 'A'
  mean: number
  /** standard deviation from car to car */
  spread: number
  /** ± of the meter at this reading */
  tolerance: number
  /** of both: spread, and the tolerance taken as evenly likely within its limits */
  sd: number
  /** 19 cars of 20 */
  low: number
  high: number
  /** parts that the spread comes from, largest first */
  dueTo: Spread['dueTo']
  /** ohmmeter: other ways for the test current around the part in question, by part */
  parallel?: string[]
}

export interface LampPrediction {
  kind: 'lamp'
  brightness: 'off' | 'dim' | 'part' | 'full'
  volts: number
  watts: number
  /** light over the light at rated volts */
  light: number
}

export type Prediction =
  | NumberPrediction
  | LampPrediction
  | { kind: 'continuity'; closed: boolean; ohms?: number; parallel?: string[] }
  /** diode range: volts that the test current leaves, and with the probes changed over; undefined: it does not pass */
  | { kind: 'diode'; volts?: number; swapped?: number }
  /** ohmmeter: more than its highest range */
  | { kind: 'over-range'; ohms: number }
  /** ohmmeter: the circuit is live; it shows nonsense or breaks */
  | { kind: 'live'; volts: number; why: string }
  /** ohmmeter on a discharged capacitor: the needle kicks to `from` and falls back to `to` (undefined: beyond the scale) */
  | { kind: 'kick'; from: number; to?: number; seconds: number }
  /** a probe is on something that hangs on nothing: the meter shows next to nothing, or wanders */
  | { kind: 'floating'; why: string; nodes: string[] }
  /** something never comes to rest: the reading jumps */
  | { kind: 'chatters'; parts: string[]; why: string }

/** Mean, spread and a meter's tolerance put together. */
export function numberOf(
  unit: NumberPrediction['unit'],
  mean: number,
  spread: Spread,
  tolerance: number,
): NumberPrediction {
  const sd = Math.hypot(spread.sd, tolerance / Math.sqrt(3))
  return {
    kind: 'number',
    unit,
    mean,
    spread: spread.sd,
    tolerance,
    sd,
    low: mean - 1.96 * sd,
    high: mean + 1.96 * sd,
    dueTo: spread.dueTo,
  }
}
