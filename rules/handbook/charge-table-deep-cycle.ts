import type { ChargeTable } from './charge-table.ts'

/**
 * Flooded deep-cycle blocks as golf and utility cars have them: stronger acid, 1.275 to 1.280 when full.
 * Source: common practice, no standard: the figures makers of such blocks print alike, from memory
 * (6 V block: 6.37 V and 1.277 full, 6.05 V and 1.172 half, 5.75 V and 1.073 at a tenth). The printed table
 * ends at 10 %: below it the charge is only known to be less.
 */
export const DEEP_CYCLE_1277: ChargeTable = {
  id: 'deep-cycle-1.277',
  source: 'common practice, no source (printed alike for deep-cycle blocks; from memory); 80 °F',
  voltsPerCell: [
    [5.75 / 3, 10],
    [5.83 / 3, 20],
    [5.91 / 3, 30],
    [5.98 / 3, 40],
    [6.05 / 3, 50],
    [6.12 / 3, 60],
    [6.19 / 3, 70],
    [6.25 / 3, 80],
    [6.31 / 3, 90],
    [6.37 / 3, 100],
  ],
  gravity: [
    [1.073, 10],
    [1.098, 20],
    [1.124, 30],
    [1.148, 40],
    [1.172, 50],
    [1.195, 60],
    [1.217, 70],
    [1.238, 80],
    [1.258, 90],
    [1.277, 100],
  ],
}
