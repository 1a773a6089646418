import type { ChargeTable } from './charge-table.ts'

/**
 * Absorbed-glass-mat (sealed) lead-acid blocks. No cap, so no specific gravity: volts only.
 * Source: common practice, no standard: 12.80/12.60/12.30/12.00/11.80 V of a 12 V block, as owners' handbooks print it.
 */
export const AGM: ChargeTable = {
  id: 'agm',
  source: 'common practice, no source (12.80/12.60/12.30/12.00/11.80 V for 12 V)',
  voltsPerCell: [
    [11.8 / 6, 0],
    [12.0 / 6, 25],
    [12.3 / 6, 50],
    [12.6 / 6, 75],
    [12.8 / 6, 100],
  ],
}
