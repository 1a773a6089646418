/**
 * The diode law of SPICE's default D model: I = Is (exp(V / n Vt) − 1) + gmin V, Is = 1e-14 A, n = 1, 27 °C, no series
 * resistance (ngspice manual, "Junction diodes", default values).
 *
 * `GMIN` is larger than SPICE's 1e-12 S: a power rectifier leaks about a nanoampere a volt, and what hangs on nothing but
 * a blocking diode is then still tied down well enough to be told from a connected node.
 */
export const SATURATION_AMPS = 1e-14
export const GMIN = 1e-9
/** Boltzmann 1.38064852e-23 J/K, charge 1.6021766208e-19 C (CODATA 2014, which ngspice uses), 300.15 K. */
export const THERMAL_VOLTS = (1.38064852e-23 * 300.15) / 1.6021766208e-19

const CRITICAL = THERMAL_VOLTS * Math.log(THERMAL_VOLTS / (Math.SQRT2 * SATURATION_AMPS))

/** Amperes and siemens of the junction at `volts`, anode to cathode. */
export function diodeAt(volts: number): { amps: number; siemens: number } {
  const e = SATURATION_AMPS * Math.exp(Math.min(volts / THERMAL_VOLTS, 200))
  return { amps: e - SATURATION_AMPS + GMIN * volts, siemens: e / THERMAL_VOLTS + GMIN }
}

/** Keeps Newton's step on the exponential from running away (junction limiting as in SPICE's pnjlim). */
export function limitJunction(next: number, before: number): number {
  if (next <= CRITICAL || Math.abs(next - before) <= 2 * THERMAL_VOLTS) return next
  if (before <= 0) return THERMAL_VOLTS * Math.log(next / THERMAL_VOLTS)
  const step = 1 + (next - before) / THERMAL_VOLTS
  return step > 0 ? before + THERMAL_VOLTS * Math.log(step) : CRITICAL
}
