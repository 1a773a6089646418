import { copperResistanceAt } from './conductor-temperature.ts'
import { OutOfRange } from './out-of-range.ts'

/** Class 2: stranded, for fixed wiring. Class 5: flexible, as cables of a car are. */
export type ConductorClass = 2 | 5

/**
 * Greatest resistance, Ω/km at 20 °C, of plain annealed copper: `mm² → [class 2, class 5]`.
 * Source: IEC 60228, tables 2 and 3.
 */
export const IEC_60228_OHM_PER_KM: ReadonlyMap<number, readonly [class2: number, class5: number]> = new Map([
  [0.5, [36.0, 39.0]],
  [0.75, [24.5, 26.0]],
  [1, [18.1, 19.5]],
  [1.5, [12.1, 13.3]],
  [2.5, [7.41, 7.98]],
  [4, [4.61, 4.95]],
  [6, [3.08, 3.3]],
  [10, [1.83, 1.91]],
  [16, [1.15, 1.21]],
  [25, [0.727, 0.78]],
  [35, [0.524, 0.554]],
  [50, [0.387, 0.386]],
  [70, [0.268, 0.272]],
  [95, [0.193, 0.206]],
  [120, [0.153, 0.161]],
])

/** Ω a metre of a metric copper conductor, at most. Source: IEC 60228. Throws OutOfRange for a size not in it. */
export function metricOhmPerMetre(areaMm2: number, conductorDegreesC = 20, conductorClass: ConductorClass = 5): number {
  const row = IEC_60228_OHM_PER_KM.get(areaMm2)
  if (row === undefined) {
    throw new OutOfRange(
      'conductor size',
      areaMm2,
      `it is not one of ${[...IEC_60228_OHM_PER_KM.keys()].join(', ')} mm².`,
    )
  }
  return copperResistanceAt(row[conductorClass === 2 ? 0 : 1] / 1000, 20, conductorDegreesC)
}
