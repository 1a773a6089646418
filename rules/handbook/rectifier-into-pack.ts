import { positive, within } from './out-of-range.ts'

export interface PackRectifier {
  /** Across the bridge, or from the centre tap to one end, V rms. */
  readonly acVoltsRms: number
  /** Of the pack while it charges. */
  readonly packVolts: number
  /** Of winding, diodes and leads together. */
  readonly loopOhm: number
  readonly wave?: 'full' | 'half'
  /** Forward drop of all diodes in the path: 0 ideal, about 0.9 for a centre tap, 1.8 for a bridge. */
  readonly diodeDropVolts?: number
}

export interface PackRectifierResult {
  /** Degrees of the mains cycle in which one pulse flows; 0 if the transformer does not reach the pack's volts. */
  readonly conductionDegrees: number
  readonly averageAmps: number
  readonly rmsAmps: number
  readonly peakAmps: number
}

/**
 * Current of a rectifier into a battery. Current flows only while the sine stands above the pack (conduction from
 * α = asin(E/Vm) to π − α), so the same transformer that gives 0.9 × rms on a resistor gives a pack much less.
 *
 * Source: battery-charger example of power-electronics texts: average = (1/2πR)(2 Vm cos α + 2 E α − π E) for half a
 * wave, twice that for the full wave.
 */
export function rectifierIntoPack(at: PackRectifier): PackRectifierResult {
  within('transformer volts', at.acVoltsRms, 0, 1000, 'V')
  within('pack volts', at.packVolts, 0, 1000, 'V')
  positive('loop resistance', at.loopOhm, 'Ω')
  const peak = at.acVoltsRms * Math.SQRT2
  const against = at.packVolts + within('diode drop', at.diodeDropVolts ?? 0, 0, 10, 'V')
  if (peak <= against) return { conductionDegrees: 0, averageAmps: 0, rmsAmps: 0, peakAmps: 0 }
  const alpha = Math.asin(against / peak)
  const pulses = at.wave === 'half' ? 1 : 2
  const r = at.loopOhm
  const averageAmps =
    (pulses * (2 * peak * Math.cos(alpha) + 2 * against * alpha - Math.PI * against)) / (2 * Math.PI * r)
  const meanSquare =
    (pulses / (2 * Math.PI * r * r)) *
    ((peak * peak * (Math.PI - 2 * alpha + Math.sin(2 * alpha))) / 2 -
      4 * peak * against * Math.cos(alpha) +
      against * against * (Math.PI - 2 * alpha))
  return {
    conductionDegrees: ((Math.PI - 2 * alpha) * 180) / Math.PI,
    averageAmps,
    rmsAmps: Math.sqrt(Math.max(0, meanSquare)),
    peakAmps: (peak - against) / r,
  }
}
