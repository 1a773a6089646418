import { type Awg, awgOhmPerMetre } from './conductor-awg.ts'
import { metricOhmPerMetre } from './conductor-metric.ts'
import { within } from './out-of-range.ts'

/** Greatest ohms of a sound joint or contact. Source: common practice, no source. */
export const SOUND_JOINT_OHM = {
  /** Lug on a post or stud: 0.1 V at 200 A. */
  'bolted-lug': 0.0005,
  /** Crimped lug on its cable: 0.04 V at 200 A. */
  crimp: 0.0002,
  /** Contacts of a main contactor: 0.2 V at 200 A. */
  'contactor-contacts': 0.001,
  /** One sliding contact on its button or bar: 0.2 V at 200 A. */
  'sliding-contact': 0.001,
  /** Push-on blade terminal of the control wiring: 0.05 V at 10 A. */
  'push-on-terminal': 0.005,
  /** Key switch or small limit switch, new from the maker 50 mΩ at most, 0.1 V at 2 A. */
  'small-switch': 0.05,
  /** Plug and socket of the charger, one pin: 0.05 V at 25 A. */
  'charger-plug-pin': 0.002,
} as const
export type Joint = keyof typeof SOUND_JOINT_OHM

/** A cable under load is warmer than the air: what to reckon with if its temperature is not known. */
export const LOADED_CABLE_DEGREES_C = 60

export type Conductor =
  | { readonly awg: Awg; readonly lengthM: number }
  | { readonly areaMm2: number; readonly lengthM: number }

/** Greatest ohms of a sound copper cable, conductor only. Source: the conductor files. */
export function soundCableOhm(cable: Conductor, conductorDegreesC = LOADED_CABLE_DEGREES_C): number {
  within('cable length', cable.lengthM, 0, 1000, 'm')
  const perMetre =
    'awg' in cable ? awgOhmPerMetre(cable.awg, conductorDegreesC) : metricOhmPerMetre(cable.areaMm2, conductorDegreesC)
  return perMetre * cable.lengthM
}

/**
 * Greatest drop, V, that a sound path of cables and joints may show at a current. A reading above it is a fault in
 * the path; one below it clears it.
 * Source: Ohm's law; conductor ohms from the conductor files; joints: common practice, no source.
 * @param amps through the path
 */
export function greatestSoundDropVolts(
  amps: number,
  path: {
    readonly cables?: readonly Conductor[]
    readonly joints?: readonly Joint[]
    readonly conductorDegreesC?: number
  },
): number {
  within('current', amps, 0, 2000, 'A')
  let ohm = 0
  for (const cable of path.cables ?? []) ohm += soundCableOhm(cable, path.conductorDegreesC)
  for (const joint of path.joints ?? []) ohm += SOUND_JOINT_OHM[joint]
  return amps * ohm
}
