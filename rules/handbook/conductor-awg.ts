import { copperResistanceAt } from './conductor-temperature.ts'
import { OutOfRange } from './out-of-range.ts'

/** American Wire Gauge sizes found in these cars. */
export const AWG_SIZES = [
  '22',
  '20',
  '18',
  '16',
  '14',
  '12',
  '10',
  '8',
  '6',
  '4',
  '3',
  '2',
  '1',
  '1/0',
  '2/0',
  '3/0',
  '4/0',
] as const
export type Awg = (typeof AWG_SIZES)[number]

/** Ω·mm²/m of annealed copper at 20 °C, 100 % IACS. Source: International Annealed Copper Standard, 1/58. */
export const ANNEALED_COPPER_OHM_MM2_PER_M = 1 / 58
/** A stranded conductor's wires are longer than the cable. Source: ASTM B8, 2 % lay allowance. */
export const STRANDING = 1.02

function gaugeNumber(awg: Awg): number {
  if (!AWG_SIZES.includes(awg)) {
    throw new OutOfRange('wire gauge', Number.NaN, `"${String(awg)}" is not one of ${AWG_SIZES.join(', ')} AWG.`)
  }
  return awg.endsWith('/0') ? 1 - Number.parseInt(awg, 10) : Number(awg)
}

/** Diameter, mm, of a solid wire: 0.127 mm × 92^((36 − n)/39). Source: ASTM B258. */
export const awgDiameterMm = (awg: Awg): number => 0.127 * 92 ** ((36 - gaugeNumber(awg)) / 39)

/** Copper area, mm², the same for a stranded conductor of that gauge. Source: ASTM B258. */
export const awgAreaMm2 = (awg: Awg): number => (Math.PI / 4) * awgDiameterMm(awg) ** 2

/**
 * Ω a metre of a copper conductor by gauge.
 * Source: ASTM B258 area, IACS resistivity, ASTM B8 stranding, IEC 60228 temperature.
 */
export function awgOhmPerMetre(awg: Awg, conductorDegreesC = 20, build: 'solid' | 'stranded' = 'stranded'): number {
  const at20 = (ANNEALED_COPPER_OHM_MM2_PER_M / awgAreaMm2(awg)) * (build === 'stranded' ? STRANDING : 1)
  return copperResistanceAt(at20, 20, conductorDegreesC)
}
