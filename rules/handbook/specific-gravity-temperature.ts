import { within } from './out-of-range.ts'
import { celsiusToFahrenheit } from './units.ts'

/** Lead-acid tables in this folder hold at 80 °F (26.7 °C). */
export const REFERENCE_DEGREES_F = 80

/** Battery Council International, Battery Service Manual: four points (0.004) for every 10 °F away from 80 °F. */
export const GRAVITY_PER_10_DEGREES_F = 0.004

/**
 * Specific gravity as it would read at 80 °F: warm acid has swelled, so its reading is raised; cold acid's lowered.
 * Not for a hydrometer that corrects itself.
 *
 * Source: BCI Battery Service Manual, temperature correction of the hydrometer.
 * @param reading specific gravity as read, 1.000 to 1.400
 * @param electrolyteDegreesC of the acid, not of the air, −40 to 80 °C
 */
export function gravityAt80F(reading: number, electrolyteDegreesC: number): number {
  within('specific gravity', reading, 1, 1.4, '')
  within('electrolyte temperature', electrolyteDegreesC, -40, 80, '°C')
  const degreesF = celsiusToFahrenheit(electrolyteDegreesC)
  return reading + ((degreesF - REFERENCE_DEGREES_F) / 10) * GRAVITY_PER_10_DEGREES_F
}
