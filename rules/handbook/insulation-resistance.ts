import { positive, within } from './out-of-range.ts'

/** Windings as IEEE 43 sorts them. Those of a car's motor: `armature`, `field`, or `random-wound` for an AC motor. */
export type Winding = 'armature' | 'field' | 'random-wound' | 'form-wound'

/**
 * Least insulation resistance, MΩ, at 40 °C after one minute.
 * Source: IEEE 43-2013, table of recommended minima: rated kV + 1 for field windings (and for all made before about
 * 1970), 5 MΩ for DC armatures and for random-wound and form-wound windings below 1 kV, 100 MΩ for form-wound above.
 * @param ratedVolts of the winding
 * @param madeBefore1970 true puts every winding under the old rule, kV + 1
 */
export function leastInsulationMegohms(winding: Winding, ratedVolts: number, madeBefore1970 = false): number {
  const kilovolts = within('rated volts', ratedVolts, 0, 100_000, 'V') / 1000
  if (madeBefore1970 || winding === 'field') return kilovolts + 1
  return winding === 'form-wound' && kilovolts >= 1 ? 100 : 5
}

/**
 * Insulation resistance as it would read at 40 °C; it halves for every 10 °C warmer.
 * Source: IEEE 43: R40 = 0.5^((40 − T)/10) × R.
 */
export function insulationAt40C(megohms: number, windingDegreesC: number): number {
  within('insulation resistance', megohms, 0, Number.POSITIVE_INFINITY, 'MΩ')
  within('winding temperature', windingDegreesC, -20, 150, '°C')
  return megohms * 0.5 ** ((40 - windingDegreesC) / 10)
}

/** Test volts DC for a winding rated below 1000 V: 500 at most. Source: IEEE 43, table of test voltages. */
export const INSULATION_TEST_VOLTS = 500

/** True if the winding's insulation passes. Source: as the two formulas. */
export function insulationPasses(
  megohms: number,
  windingDegreesC: number,
  winding: Winding,
  ratedVolts: number,
): boolean {
  return insulationAt40C(megohms, windingDegreesC) >= leastInsulationMegohms(winding, ratedVolts)
}

/**
 * Least resistance, Ω, from a pack to the frame: 100 Ω for each volt of a DC circuit.
 * Source: ISO 6469-3 and UN Regulation 100 (for above 60 V DC; below it a good rule); from memory.
 */
export const leastIsolationOhm = (packVolts: number): number => 100 * positive('pack volts', packVolts, 'V')
