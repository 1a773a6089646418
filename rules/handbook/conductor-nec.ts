import type { Awg } from './conductor-awg.ts'
import { copperResistanceAt } from './conductor-temperature.ts'
import { convertUnit } from './units.ts'

/**
 * Direct-current resistance, Ω per 1000 ft, of uncoated stranded copper at 75 °C.
 * Source: NEC (NFPA 70), chapter 9, table 8. The table starts at 18 AWG stranded (7.95) and 16 AWG (4.99), from memory.
 */
export const NEC_TABLE_8_OHM_PER_KFT_75C: Readonly<Partial<Record<Awg, number>>> = {
  '18': 7.95,
  '16': 4.99,
  '14': 3.14,
  '12': 1.98,
  '10': 1.24,
  '8': 0.778,
  '6': 0.491,
  '4': 0.308,
  '3': 0.245,
  '2': 0.194,
  '1': 0.154,
  '1/0': 0.122,
  '2/0': 0.0967,
  '3/0': 0.0766,
  '4/0': 0.0608,
}

/** Ω a metre by the code's table, at another temperature if asked; null for a gauge that is not in it. */
export function necOhmPerMetre(awg: Awg, conductorDegreesC = 75): number | null {
  const perKft = NEC_TABLE_8_OHM_PER_KFT_75C[awg]
  if (perKft === undefined) return null
  return copperResistanceAt(perKft / convertUnit(1000, 'ft', 'm'), 75, conductorDegreesC)
}
