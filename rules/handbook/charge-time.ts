import { positive, within } from './out-of-range.ts'
import type { Cells } from './state-of-charge.ts'

/** Ampere-hours put in for one taken out. Source: common practice, no source. */
export const CHARGE_FACTOR: Readonly<Record<Cells, number>> = {
  'flooded-lead': 1.15,
  'agm-lead': 1.08,
  'lithium-iron-phosphate': 1.02,
}

/** Hours at falling current after the charger has left its full current. Source: common practice, no source. */
export const FINISH_HOURS: Readonly<Record<Cells, number>> = {
  'flooded-lead': 3,
  'agm-lead': 2,
  'lithium-iron-phosphate': 0.5,
}

/** Hours to put `ampHours` in at a steady current: Ah / A. Source: definition of the ampere-hour. */
export function steadyChargeHours(ampHours: number, amps: number): number {
  within('charge to put in', ampHours, 0, 10_000, 'Ah')
  return ampHours / positive('charging current', amps, 'A')
}

/**
 * Hours that a sound charger takes to fill a pack: what is missing, times the charge factor, at its full current, and
 * the finish. Much longer is a weak charger, much shorter a pack that no longer takes charge.
 * Source: factor and finish: common practice, no source.
 * @param percentLeft state of charge at the start, 0 to 100
 */
export function expectedChargeHours(cells: Cells, capacityAh: number, percentLeft: number, amps: number): number {
  positive('capacity', capacityAh, 'Ah')
  const missing = capacityAh * (1 - within('state of charge', percentLeft, 0, 100, '%') / 100)
  if (missing === 0) return 0
  return steadyChargeHours(missing * CHARGE_FACTOR[cells], amps) + FINISH_HOURS[cells]
}
