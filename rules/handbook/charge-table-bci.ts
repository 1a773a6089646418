import type { ChargeTable } from './charge-table.ts'

/**
 * Flooded lead-acid of ordinary acid, 1.265 when full, at 80 °F, rested.
 * Source: Battery Council International, Battery Service Manual, state of charge
 * (12.65/12.45/12.24/12.06/11.89 V of a 12 V block of six cells).
 */
export const BCI_1265: ChargeTable = {
  id: 'flooded-1.265',
  source: 'Battery Council International, Battery Service Manual; 80 °F',
  voltsPerCell: [
    [11.89 / 6, 0],
    [12.06 / 6, 25],
    [12.24 / 6, 50],
    [12.45 / 6, 75],
    [12.65 / 6, 100],
  ],
  gravity: [
    [1.12, 0],
    [1.155, 25],
    [1.19, 50],
    [1.225, 75],
    [1.265, 100],
  ],
}
