import { positive, within } from './out-of-range.ts'
import { peukertCapacityAh } from './peukert.ts'
import { lookUp, type TableRow } from './table.ts'
import { celsiusToFahrenheit } from './units.ts'

/**
 * `[°F, factor]`: how many times as large a lead-acid battery must be to give at that temperature what it gives at
 * 77 °F. Source: IEEE 485, table 1, every fifth row; from memory.
 */
export const IEEE_485_FACTORS: readonly TableRow[] = [
  [25, 1.52],
  [30, 1.43],
  [35, 1.35],
  [40, 1.3],
  [45, 1.25],
  [50, 1.19],
  [55, 1.15],
  [60, 1.11],
  [65, 1.08],
  [70, 1.04],
  [77, 1.0],
  [80, 0.98],
  [85, 0.96],
  [90, 0.94],
  [95, 0.93],
  [100, 0.91],
  [105, 0.89],
  [110, 0.88],
  [115, 0.87],
  [120, 0.86],
  [125, 0.85],
]

/** Below this share of its rated capacity a battery is at the end of its life. Source: IEEE 450, 80 %. */
export const END_OF_LIFE_PERCENT = 80

/** Minutes of a discharge at that cell temperature as they would have been at 80 °F. Beyond the table: its end. */
export function minutesAt80F(minutes: number, cellDegreesC: number): number {
  positive('minutes', minutes, 'min')
  const degreesF = celsiusToFahrenheit(within('cell temperature', cellDegreesC, -40, 80, '°C'))
  return (minutes * lookUp(IEEE_485_FACTORS, degreesF).y) / lookUp(IEEE_485_FACTORS, 80).y
}

/**
 * Share, per cent, of the minutes that a block is rated for at the same current (deep-cycle blocks are rated in
 * minutes at 75 A or 56 A down to 1.75 V a cell).
 * Source: capacity = minutes taken over minutes rated, temperature-corrected: IEEE 450, time-adjusted method;
 * current and end volts: BCI deep-cycle discharge test.
 */
export function percentOfRatedMinutes(minutes: number, ratedMinutes: number, cellDegreesC?: number): number {
  positive('rated minutes', ratedMinutes, 'min')
  const taken = cellDegreesC === undefined ? positive('minutes', minutes, 'min') : minutesAt80F(minutes, cellDegreesC)
  return (100 * taken) / ratedMinutes
}

/**
 * Capacity left, Ah at the 20-hour rate, from a discharge of `minutes` at `amps` to 1.75 V a cell.
 * Source: Peukert's law; temperature by IEEE 485.
 */
export function capacityFromMinutesAh(minutes: number, amps: number, k: number, cellDegreesC?: number): number {
  const taken = cellDegreesC === undefined ? positive('minutes', minutes, 'min') : minutesAt80F(minutes, cellDegreesC)
  return peukertCapacityAh(taken / 60, amps, k)
}
