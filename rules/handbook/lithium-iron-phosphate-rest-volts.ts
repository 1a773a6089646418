import type { StateOfCharge } from './charge-table.ts'
import { within } from './out-of-range.ts'

/** At or above this a rested cell is all but full. */
export const NEARLY_FULL_VOLTS_PER_CELL = 3.4
/** At or below this it is nearly empty. */
export const NEARLY_EMPTY_VOLTS_PER_CELL = 3.0
/** At or below this it is empty; a battery management system has cut off by then. */
export const EMPTY_VOLTS_PER_CELL = 2.5

const SOURCE = 'common practice, no source (the flat curve of lithium iron phosphate; ends only)'

/**
 * What the rest volts of a lithium iron phosphate pack say of its charge: only the two ends.
 * Between them a cell stands within about 0.1 V from a fifth full to nine tenths full, less than the spread between
 * two rests after charge and after discharge, so no honest figure can be given.
 *
 * Source: common practice, no source.
 * @param volts of the pack or block at rest
 * @param cellsInSeries whole number of cells between the probes
 */
export function lithiumIronPhosphateCharge(volts: number, cellsInSeries: number): StateOfCharge {
  within('cells in series', cellsInSeries, 1, 200, '')
  within('volts', volts, 0, 1000, 'V')
  const perCell = volts / cellsInSeries
  if (perCell >= NEARLY_FULL_VOLTS_PER_CELL) return { known: true, percent: 95, bound: 'at-least', source: SOURCE }
  if (perCell <= EMPTY_VOLTS_PER_CELL) return { known: true, percent: 0, bound: 'at-most', source: SOURCE }
  if (perCell <= NEARLY_EMPTY_VOLTS_PER_CELL) return { known: true, percent: 10, bound: 'at-most', source: SOURCE }
  return {
    known: false,
    code: 'volts-do-not-give-charge',
    reason:
      'A lithium iron phosphate cell stands at nearly the same volts from a fifth full to nine tenths full, so rest volts do not give its charge. Read the charge on the battery management display, or charge it until the charger stops and count from there.',
  }
}
