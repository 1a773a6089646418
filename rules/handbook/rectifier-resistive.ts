import { within } from './out-of-range.ts'

/** Mean over root-mean-square of a full-wave rectified sine: 2√2/π = 0.900. Half-wave: half of it. */
export const FULL_WAVE_AVERAGE = (2 * Math.SQRT2) / Math.PI
export const HALF_WAVE_AVERAGE = Math.SQRT2 / Math.PI

/**
 * Average (what a voltmeter on DC shows), V, of a rectifier on a resistor, ideal diodes.
 * Source: any text on rectifiers: Vdc = 2 Vm/π = 0.9 Vrms full-wave, Vm/π = 0.45 Vrms half-wave.
 * @param acVoltsRms across the bridge; half of the winding for a centre tap
 */
export function rectifiedAverageVolts(acVoltsRms: number, wave: 'full' | 'half' = 'full'): number {
  within('transformer volts', acVoltsRms, 0, 1000, 'V')
  return acVoltsRms * (wave === 'full' ? FULL_WAVE_AVERAGE : HALF_WAVE_AVERAGE)
}
