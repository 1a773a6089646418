import { positive, within } from './out-of-range.ts'
import type { Cells } from './state-of-charge.ts'

/** Exponents to use when the block's own is not known. Source: common practice, no source. */
export const PEUKERT_EXPONENT: Readonly<Record<Cells, number>> = {
  'flooded-lead': 1.2,
  'agm-lead': 1.1,
  'lithium-iron-phosphate': 1.03,
}

/**
 * Hours that a battery lasts at a steady current: t = H (C / (I H))^k.
 * Source: Peukert's law (1897) in the form with the rated hours H; textbook example: 100 Ah at the 20-hour rate,
 * k = 1.2, 10 A: 8.7 h.
 * @param capacityAh at `ratedHours`
 * @param amps drawn
 * @param k exponent, 1 to 2
 */
export function peukertHours(capacityAh: number, amps: number, k: number, ratedHours = 20): number {
  positive('capacity', capacityAh, 'Ah')
  positive('current', amps, 'A')
  positive('rated hours', ratedHours, 'h')
  within('Peukert exponent', k, 1, 2, '')
  return ratedHours * (capacityAh / (amps * ratedHours)) ** k
}

/** The same law the other way round: capacity, Ah at `ratedHours`, of a battery that lasted `hours` at `amps`. */
export function peukertCapacityAh(hours: number, amps: number, k: number, ratedHours = 20): number {
  positive('hours', hours, 'h')
  positive('current', amps, 'A')
  positive('rated hours', ratedHours, 'h')
  within('Peukert exponent', k, 1, 2, '')
  return amps * ratedHours * (hours / ratedHours) ** (1 / k)
}
