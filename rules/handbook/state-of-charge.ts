import { type ChargeTable, chargeFromRows, type StateOfCharge } from './charge-table.ts'
import { AGM } from './charge-table-agm.ts'
import { BCI_1265 } from './charge-table-bci.ts'
import { DEEP_CYCLE_1277 } from './charge-table-deep-cycle.ts'
import { lithiumIronPhosphateCharge } from './lithium-iron-phosphate-rest-volts.ts'
import { within } from './out-of-range.ts'
import { restVoltsAt80F } from './rest-volts-temperature.ts'
import { gravityAt80F } from './specific-gravity-temperature.ts'
import { lookUp, turned } from './table.ts'

export type Cells = 'flooded-lead' | 'agm-lead' | 'lithium-iron-phosphate'
/** Acid of a full flooded cell: ordinary (1.265) or deep-cycle (1.275 to 1.280), which these cars have. */
export type Acid = 'ordinary-1.265' | 'deep-cycle-1.277'

/** Shorter after a charge or a drive than this, volts still say what was done last, not what is in the cells. */
export const LEAST_REST_HOURS = 4
/** No lead-acid cell rests above this: it is on charge, or has just come off. */
export const SURFACE_CHARGE_VOLTS_PER_CELL = 2.2

const flooded = (acid: Acid | undefined): ChargeTable => (acid === 'ordinary-1.265' ? BCI_1265 : DEEP_CYCLE_1277)

export interface RestVolts {
  readonly cells: Cells
  readonly volts: number
  readonly cellsInSeries: number
  /** Of flooded cells; deep-cycle if not said, since that is what these cars are fitted with. */
  readonly acid?: Acid
  /** Of the cells; 80 °F if not known. */
  readonly cellDegreesC?: number
  /** Hours since the last charge or drive, if known. */
  readonly restedHours?: number
}

/**
 * State of charge from rest volts, corrected for temperature by the cell's own coefficient (see
 * `rest-volts-temperature.ts` for why not by the printed 0.024 V).
 *
 * Source: the table of the cells (`charge-table-*.ts`, `lithium-iron-phosphate-rest-volts.ts`); rest of 4 hours and
 * 2.20 V a cell as the end of surface charge: common practice, no source.
 * Throws OutOfRange for a value that no pack can have.
 */
export function chargeFromRestVolts(at: RestVolts): StateOfCharge {
  if (at.restedHours !== undefined && at.restedHours < LEAST_REST_HOURS) {
    return {
      known: false,
      code: 'not-rested',
      reason: `The pack has rested ${at.restedHours} h. Its volts give the charge only after ${LEAST_REST_HOURS} h without charge or load: wait, then measure again.`,
    }
  }
  if (at.cells === 'lithium-iron-phosphate') return lithiumIronPhosphateCharge(at.volts, at.cellsInSeries)
  within('volts', at.volts, 0, 1000, 'V')
  const volts = at.cellDegreesC === undefined ? at.volts : restVoltsAt80F(at.volts, at.cellsInSeries, at.cellDegreesC)
  const perCell = volts / within('cells in series', at.cellsInSeries, 1, 200, '')
  if (perCell > SURFACE_CHARGE_VOLTS_PER_CELL) {
    return {
      known: false,
      code: 'surface-charge',
      reason: `${at.volts} V is more than these cells have at rest: the pack is on charge or has just come off. Disconnect the charger, let it rest ${LEAST_REST_HOURS} h, then measure again.`,
    }
  }
  const table = at.cells === 'agm-lead' ? AGM : flooded(at.acid)
  return chargeFromRows(table.voltsPerCell, perCell, table.source)
}

export interface Gravity {
  readonly cells: Cells
  /** As the hydrometer reads. */
  readonly reading: number
  readonly acid?: Acid
  /** Of the acid; 80 °F if not known, or if the hydrometer corrects itself. */
  readonly electrolyteDegreesC?: number
}

/** State of charge of one flooded cell from its specific gravity, corrected to 80 °F. Source: as the table's. */
export function chargeFromGravity(at: Gravity): StateOfCharge {
  if (at.cells !== 'flooded-lead') {
    return {
      known: false,
      code: 'no-gravity-table',
      reason: 'These cells are sealed: there is no acid to draw into a hydrometer. Measure the rest volts instead.',
    }
  }
  const gravity =
    at.electrolyteDegreesC === undefined
      ? within('specific gravity', at.reading, 1, 1.4, '')
      : gravityAt80F(at.reading, at.electrolyteDegreesC)
  const table = flooded(at.acid)
  return chargeFromRows(table.gravity!, gravity, table.source)
}

/** Rest volts of one lead-acid cell at 80 °F for a state of charge within its table, the other way round. */
export function restVoltsPerCell(cells: 'flooded-lead' | 'agm-lead', percent: number, acid?: Acid): number {
  within('state of charge', percent, 0, 100, '%')
  const table = cells === 'agm-lead' ? AGM : flooded(acid)
  return lookUp(turned(table.voltsPerCell), percent).y
}
