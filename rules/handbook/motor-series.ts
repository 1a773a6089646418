import { OutOfRange, positive, within } from './out-of-range.ts'

/** Drop of both carbon brushes together, V. Source: common practice, no source. */
export const BRUSH_DROP_VOLTS = 1.0

const TWO_PI = 2 * Math.PI

/**
 * Back-EMF, V, of a series motor: what the armature makes against the supply. E = V − I R − brush drop.
 * Source: any text on DC machines; example in Electric Machinery Fundamentals: 250 V, 50 A, 0.08 Ω: 246 V.
 * @param windingOhm armature and field together
 */
export function backEmfVolts(terminalVolts: number, amps: number, windingOhm: number, brushDropVolts = 0): number {
  within('terminal volts', terminalVolts, 0, 1000, 'V')
  within('motor current', amps, 0, 5000, 'A')
  within('winding resistance', windingOhm, 0, 1000, 'Ω')
  return terminalVolts - amps * windingOhm - within('brush drop', brushDropVolts, 0, 10, 'V')
}

/** Motor current, A, for a known back-EMF: I = (V − E − brush drop)/R; 0 if that is negative. */
export function motorAmps(terminalVolts: number, emfVolts: number, windingOhm: number, brushDropVolts = 0): number {
  within('terminal volts', terminalVolts, 0, 1000, 'V')
  within('back-EMF', emfVolts, 0, 1000, 'V')
  return Math.max(0, (terminalVolts - emfVolts - brushDropVolts) / positive('winding resistance', windingOhm, 'Ω'))
}

/** Current, A, of a motor that stands still: nothing but its resistance holds it back. Hundreds of amperes: seconds only. */
export const stalledAmps = (terminalVolts: number, pathOhm: number): number => motorAmps(terminalVolts, 0, pathOhm)

/** Watts turned into heat in the windings: I²R. */
export const copperLossWatts = (amps: number, windingOhm: number): number =>
  within('motor current', amps, 0, 5000, 'A') ** 2 * within('winding resistance', windingOhm, 0, 1000, 'Ω')

/** Torque made in the armature, N·m: E I / ω. Source: as backEmfVolts; 246 V, 50 A, 3690 turns a minute: 31.8 N·m. */
export const airGapTorqueNm = (emfVolts: number, amps: number, rpm: number): number =>
  (within('back-EMF', emfVolts, 0, 1000, 'V') * within('motor current', amps, 0, 5000, 'A')) /
  ((positive('speed', rpm, 'turns a minute') * TWO_PI) / 60)

/**
 * Speed, turns a minute, at another current, for a motor whose iron is not saturated (flux goes with the current):
 * n2 = n1 × (E2/E1) × (I1/I2). Less current, more speed: a series motor must never run without load.
 * Source: any text on DC machines.
 */
export function seriesSpeedRpm(
  from: { readonly rpm: number; readonly emfVolts: number; readonly amps: number },
  to: { readonly emfVolts: number; readonly amps: number },
): number {
  positive('speed', from.rpm, 'turns a minute')
  positive('back-EMF', from.emfVolts, 'V')
  positive('motor current', from.amps, 'A')
  if (!(to.amps > 0)) {
    throw new OutOfRange('motor current', to.amps, 'a series motor without current has no steady speed.')
  }
  return from.rpm * (within('back-EMF', to.emfVolts, 0, 1000, 'V') / from.emfVolts) * (from.amps / to.amps)
}
