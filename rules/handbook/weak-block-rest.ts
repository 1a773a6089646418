import { OutOfRange, within } from './out-of-range.ts'

/**
 * A block this much below the others at rest is suspect.
 * Source: BCI's limit of 0.050 specific gravity between the best and the worst cell; at volts = gravity + 0.84 that is
 * 0.05 V in one cell, so in its block.
 */
export const SUSPECT_VOLTS_BELOW = 0.05
/** One lead-acid cell gone takes about 2 V; this much says so. Source: common practice, no source. */
export const CELL_LOST_VOLTS_BELOW = 1.5

export type RestVerdict = 'sound' | 'suspect' | 'cell-lost' | 'reversed'

export interface BlockAtRest {
  /** Place in the list, from 0. */
  readonly index: number
  readonly volts: number
  /** Median of the *other* blocks less this one; negative if it stands above them. */
  readonly voltsBelowOthers: number
  readonly verdict: RestVerdict
}

export interface PackAtRest {
  readonly spreadVolts: number
  readonly blocks: readonly BlockAtRest[]
  /** Of the block most below the others, if any is not sound. */
  readonly weakest: number | null
}

/** Middle value; mean of the two middle ones for an even count. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

export const medianOfOthers = (values: readonly number[], index: number): number =>
  median(values.filter((_, i) => i !== index))

/**
 * The weak block of a pack of equal lead-acid blocks, from what each reads at rest. Each is held against the median
 * of the others, so that one bad block does not hide itself in the mean, and one meter's error falls out.
 * @param blockVolts one reading a block, two or more, same meter
 */
export function weakBlockAtRest(blockVolts: readonly number[]): PackAtRest {
  if (blockVolts.length < 2) throw new OutOfRange('number of blocks', blockVolts.length, 'measure two or more blocks.')
  for (const volts of blockVolts) within('block volts', volts, -30, 60, 'V')
  const blocks = blockVolts.map((volts, index): BlockAtRest => {
    const voltsBelowOthers = medianOfOthers(blockVolts, index) - volts
    const verdict: RestVerdict =
      volts < 0
        ? 'reversed'
        : voltsBelowOthers >= CELL_LOST_VOLTS_BELOW
          ? 'cell-lost'
          : voltsBelowOthers > SUSPECT_VOLTS_BELOW
            ? 'suspect'
            : 'sound'
    return { index, volts, voltsBelowOthers, verdict }
  })
  const worst = blocks.reduce((a, b) => (b.voltsBelowOthers > a.voltsBelowOthers ? b : a))
  return {
    spreadVolts: Math.max(...blockVolts) - Math.min(...blockVolts),
    blocks,
    weakest: worst.verdict === 'sound' ? null : worst.index,
  }
}
