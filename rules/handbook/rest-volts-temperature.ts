import { within } from './out-of-range.ts'

/** 80 °F, where the lead-acid tables in this folder hold. */
export const REFERENCE_DEGREES_C = ((80 - 32) * 5) / 9
/** Volts a kelvin of one lead-acid cell at rest, at the acid strengths of a charged cell. */
export const LEAD_CELL_VOLTS_PER_KELVIN = 0.0002

/**
 * Rest volts of lead-acid cells as they would be at 80 °F.
 *
 * Two figures are in print. The one beside the hydrometer's correction, 0.024 V per 10 °F for a 12 V block, is only
 * 0.004 of gravity × 6 cells: the *hydrometer's* error, because warm acid swells. A voltmeter does not float in the
 * acid. What a cell's own volts do is its thermodynamic coefficient, about +0.2 mV a kelvin and cell (0.007 V per
 * 10 °F for 12 V), three and a half times less and of the other sign: a cold cell stands a little *lower*. That one
 * is used here. With the printed one a fully charged block at 0 °F (12.60 V) would be called three quarters full.
 *
 * Source: thermodynamics of the lead-acid cell (dE/dT of the cell reaction, +0.2 to +0.25 mV/K at 1.25 to 1.28;
 * handbooks of the lead-acid battery); from memory.
 * @param volts of the block or pack at rest
 * @param cellsInSeries whole number of cells between the probes
 * @param cellDegreesC of the cells, −40 to 80 °C
 */
export function restVoltsAt80F(volts: number, cellsInSeries: number, cellDegreesC: number): number {
  within('cells in series', cellsInSeries, 1, 200, '')
  within('volts', volts, -1000, 1000, 'V')
  within('cell temperature', cellDegreesC, -40, 80, '°C')
  return volts + cellsInSeries * LEAD_CELL_VOLTS_PER_KELVIN * (REFERENCE_DEGREES_C - cellDegreesC)
}
