import { within } from './out-of-range.ts'
import { lookUp, type TableRow } from './table.ts'
import { celsiusToFahrenheit, fahrenheitToCelsius } from './units.ts'

/**
 * `[specific gravity at 80 °F, freezing point °F]`.
 * Source: US Army TM 9-6140-200-14 and Ordnance course OD1002, electrolyte freezing points.
 */
export const FREEZING_POINTS_F: readonly TableRow[] = [
  [1.0, 32],
  [1.1, 19],
  [1.15, 5],
  [1.2, -16],
  [1.25, -62],
  [1.28, -90],
]

/**
 * Freezing point, °C, of acid of that specific gravity (at 80 °F). Beyond 1.280 the last row is returned: it will not
 * freeze where cars are used. A discharged cell freezes first: the acid has gone into the plates.
 * Source: as the table.
 */
export function freezingDegreesC(gravity: number): number {
  within('specific gravity', gravity, 1, 1.4, '')
  return fahrenheitToCelsius(lookUp(FREEZING_POINTS_F, gravity).y)
}

/** True if acid of that gravity may be frozen at that temperature. A frozen block must not be charged. */
export function mayBeFrozen(gravity: number, cellDegreesC: number): boolean {
  return (
    celsiusToFahrenheit(within('cell temperature', cellDegreesC, -60, 80, '°C')) <=
    lookUp(FREEZING_POINTS_F, within('specific gravity', gravity, 1, 1.4, '')).y
  )
}
