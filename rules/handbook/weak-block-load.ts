import { OutOfRange, positive, within } from './out-of-range.ts'
import { CELL_LOST_VOLTS_BELOW, medianOfOthers } from './weak-block-rest.ts'

/** End of a discharge of lead-acid cells under load. Source: BCI deep-cycle discharge test, 1.75 V a cell. */
export const CUT_OFF_VOLTS_PER_CELL = 1.75
/** A block that droops this many times as much as the others is weak. Source: common practice, no source. */
export const DROOP_RATIO_LIMIT = 1.5
/** Less than this more than the others is nothing, whatever the ratio. Source: common practice, no source. */
export const DROOP_FLOOR_VOLTS = 0.1

export type LoadVerdict = 'sound' | 'weak' | 'below-cut-off' | 'cell-lost' | 'reversed'

export interface BlockUnderLoad {
  readonly index: number
  readonly droopVolts: number
  /** (rest − load) / current: ohms of the block itself, with its terminals. */
  readonly internalOhm: number
  readonly verdict: LoadVerdict
}

export interface PackUnderLoad {
  readonly blocks: readonly BlockUnderLoad[]
  /** Of the block that droops most, if any is not sound. */
  readonly weakest: number | null
}

/**
 * The weak block of a pack of equal lead-acid blocks, from each block's volts at rest and with the same current in all.
 * A block may stand level at rest and fall away under load; that is the usual way they fail.
 * Source: internal resistance by the two-point DC method; limits as the constants.
 * @param blocks volts at rest and under load, one pair a block, two or more
 * @param amps drawn, above 0
 * @param cellsPerBlock 3, 4 or 6 for 6, 8 or 12 V
 */
export function weakBlockUnderLoad(
  blocks: readonly { readonly restVolts: number; readonly loadVolts: number }[],
  amps: number,
  cellsPerBlock: number,
): PackUnderLoad {
  if (blocks.length < 2) throw new OutOfRange('number of blocks', blocks.length, 'measure two or more blocks.')
  positive('load current', amps, 'A')
  within('cells in a block', cellsPerBlock, 1, 24, '')
  const droops = blocks.map((b) => {
    const rest = within('rest volts', b.restVolts, -30, 60, 'V')
    return rest - within('volts under load', b.loadVolts, -30, 60, 'V')
  })
  const judged = blocks.map((b, index): BlockUnderLoad => {
    const droopVolts = droops[index]!
    const others = medianOfOthers(droops, index)
    const more = droopVolts - others
    const verdict: LoadVerdict =
      b.loadVolts < 0
        ? 'reversed'
        : more >= CELL_LOST_VOLTS_BELOW
          ? 'cell-lost'
          : b.loadVolts < CUT_OFF_VOLTS_PER_CELL * cellsPerBlock
            ? 'below-cut-off'
            : more > DROOP_FLOOR_VOLTS && droopVolts > DROOP_RATIO_LIMIT * others
              ? 'weak'
              : 'sound'
    return { index, droopVolts, internalOhm: droopVolts / amps, verdict }
  })
  const worst = judged.reduce((a, b) => (b.droopVolts > a.droopVolts ? b : a))
  return { blocks: judged, weakest: worst.verdict === 'sound' ? null : worst.index }
}
