import { median } from '../../handbook/weak-block-rest.ts'
import type { BlockBars } from '../../protocol/index.ts'
import { judgeBlocks } from '../steps/blocks.ts'
import type { Turn } from '../turn.ts'
import type { Names } from './names.ts'

/** A bar for each block, as they were measured last; undefined where nobody has measured them. */
export function blockBarsOf(turn: Turn, names: Names): BlockBars | undefined {
  const { t, number } = names
  const given = turn.state.given.filter((g) => g.blocks && !g.stale).at(-1)
  if (!given?.blocks) return undefined
  const { low } = judgeBlocks(given.check, given.blocks)
  const usual = median(given.blocks)
  const bars = given.blocks.map((volts, i) => ({
    block: i + 1,
    volts,
    low: low.has(i),
    say: t('blocks.one', { block: i + 1, volts: number(volts), low: String(low.has(i)) }),
  }))
  return {
    title: names.question(given),
    unit: 'V',
    usual,
    bars,
    say: [t('blocks.usual', { volts: number(usual) }), ...bars.map((b) => b.say)],
  }
}
