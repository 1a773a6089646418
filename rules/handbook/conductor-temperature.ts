import { within } from './out-of-range.ts'

/** Annealed copper loses its (extrapolated) resistance at −234.5 °C. Source: IEC 60228, annex: 254.5/(234.5 + θ). */
export const COPPER_ZERO_DEGREES_C = -234.5

/**
 * Resistance of a copper conductor at another temperature; the unit in is the unit out.
 * Source: IEC 60228; the same line as ASTM's and NEC's α (0.00393 a kelvin at 20 °C, 0.00323 at 75 °C).
 */
export function copperResistanceAt(resistance: number, fromDegreesC: number, toDegreesC: number): number {
  within('resistance', resistance, 0, Number.POSITIVE_INFINITY, 'Ω')
  within('conductor temperature', fromDegreesC, -100, 300, '°C')
  within('conductor temperature', toDegreesC, -100, 300, '°C')
  return (resistance * (toDegreesC - COPPER_ZERO_DEGREES_C)) / (fromDegreesC - COPPER_ZERO_DEGREES_C)
}
