import { median, medianOfOthers, SUSPECT_VOLTS_BELOW } from '../../handbook/weak-block-rest.ts'
import type { CheckFile } from '../../schema/knowledge.ts'

/** Under load blocks of one pack keep within this. Common practice, no source. */
const LOADED_VOLTS_BELOW = 0.3
/** A lead cell that rests below this is as good as empty. Source: the BCI table, below a quarter of its charge. */
const EMPTY_CELL_VOLTS = 1.98

/** Checks that are answered by the volts of each block. */
export const readsBlocks = (check: Pick<CheckFile, 'observable'>): boolean =>
  check.observable === 'block-volts-at-rest' || check.observable === 'block-volts-loaded'

/** Blocks that stand below the others, and the outcome that says so. */
export function judgeBlocks(check: string, volts: readonly number[]): { low: ReadonlySet<number>; outcome: string } {
  const loaded = /loaded|discharge/.test(check)
  const limit = loaded ? LOADED_VOLTS_BELOW : SUSPECT_VOLTS_BELOW
  const below = (i: number) => medianOfOthers(volts, i) - volts[i]!
  // The rounding of a last digit is not a tenth of a volt.
  const low = new Set(volts.flatMap((v, i) => (v < 0 || below(i) > limit + 1e-9 ? [i] : [])))
  if (loaded) return { low, outcome: low.size > 0 ? 'one-drops' : 'alike' }
  if (volts.some((v) => v < 0)) return { low, outcome: 'one-reversed' }
  if (low.size > 0) return { low, outcome: 'one-low' }
  const cells = Math.max(1, Math.round(median(volts) / 2.05))
  return { low, outcome: median(volts) / cells < EMPTY_CELL_VOLTS ? 'all-low' : 'alike' }
}
