import { positive, within } from './out-of-range.ts'

/**
 * Exponents of a tungsten lamp run off its rated volts.
 * Source: lamp rerating, Standard Handbook for Electrical Engineers, 11th ed., section 22: current 0.55, power 1.6,
 * light 3.4 to 3.5, all of (volts / rated volts).
 */
export const LAMP_CURRENT_EXPONENT = 0.55
export const LAMP_LIGHT_EXPONENT = 3.4
/** Hot over cold resistance of a tungsten filament. Source: common practice, no source (10 to 15). */
export const HOT_OVER_COLD = 12

/** Hot resistance, Ω, at rated volts: V²/W. Source: Joule's and Ohm's law. */
export const lampHotOhm = (ratedVolts: number, ratedWatts: number): number =>
  positive('rated volts', ratedVolts, 'V') ** 2 / positive('rated watts', ratedWatts, 'W')

/** What an ohmmeter about shows on the cold lamp: far below its hot resistance. */
export const lampColdOhm = (ratedVolts: number, ratedWatts: number): number =>
  lampHotOhm(ratedVolts, ratedWatts) / HOT_OVER_COLD

/**
 * Current, A, of a lamp at other volts than rated, never above what the cold filament would take.
 * Source: lamp rerating, exponent 0.55; good from about a third of rated volts up.
 */
export function lampAmps(volts: number, ratedVolts: number, ratedWatts: number): number {
  within('volts', volts, 0, 1000, 'V')
  const rerated =
    (ratedWatts / positive('rated volts', ratedVolts, 'V')) * (volts / ratedVolts) ** LAMP_CURRENT_EXPONENT
  return Math.min(rerated, volts / lampColdOhm(ratedVolts, ratedWatts))
}

/** Light over rated light. Source: lamp rerating, exponent 3.4. */
export const lampLight = (volts: number, ratedVolts: number): number =>
  (within('volts', volts, 0, 1000, 'V') / positive('rated volts', ratedVolts, 'V')) ** LAMP_LIGHT_EXPONENT

export type LampWord = 'off' | 'dim' | 'part' | 'full'

/** What a person calls it. Source: common practice, no source (limits at 0.3 %, 15 % and 60 % of rated light). */
export function lampWord(volts: number, ratedVolts: number): LampWord {
  const light = lampLight(volts, ratedVolts)
  if (light < 0.003) return 'off'
  if (light < 0.15) return 'dim'
  return light < 0.6 ? 'part' : 'full'
}
