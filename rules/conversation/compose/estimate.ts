import type { Reasoner } from '../../reasoning/reasoner.ts'
import type { RemedyFile } from '../../schema/knowledge.ts'
import type { Turn } from '../turn.ts'
import type { ShopMoney } from '../types.ts'

/**
 * What the repair is likely to cost, in the shop's money: labour minutes × the shop's rate + the part. `likely` is the
 * likeliest remedy's middle; `low` to `high` holds eight cases in ten over the standing. Never a quotation.
 */
export function estimateOf(
  r: Reasoner,
  turn: Turn,
): { likely: number; low: number; high: number; expected: number; currency?: string } {
  const k = r.knowledge
  const { money } = turn.state
  const rate = (money.ratePerHour ?? k.settings.ratePerHour) / 60
  const rows = turn.remedies.map(({ remedy, p }) => {
    const file = k.remedies.find((x) => x.id === remedy)
    if (!file) {
      const cost = k.settings.otherMinutes * rate
      return { p, low: cost, middle: cost, high: cost }
    }
    const labour = file.minutes * rate
    const { low, high } = partPrice(file, money)
    return { p, low: labour + low, middle: labour + (low + high) / 2, high: labour + high }
  })
  const total = rows.reduce((sum, x) => sum + x.p, 0)
  return {
    likely: toFive(rows[0]?.middle ?? 0),
    expected: toFive(total === 0 ? 0 : rows.reduce((sum, x) => sum + x.p * x.middle, 0) / total),
    ...(money.currency === undefined ? {} : { currency: money.currency }),
    low: toFive(
      quantile(
        rows.map((x) => ({ p: x.p, value: x.low })),
        0.1,
      ),
    ),
    high: toFive(
      quantile(
        rows.map((x) => ({ p: x.p, value: x.high })),
        0.9,
      ),
    ),
  }
}

/** The part of a remedy: the shop's own price, or the knowledge's range. */
export function partPrice(remedy: RemedyFile, money: ShopMoney): { low: number; high: number } {
  const own = money.prices?.[remedy.id]
  return own === undefined ? { low: remedy.part.low, high: remedy.part.high } : { low: own, high: own }
}

function quantile(rows: { p: number; value: number }[], q: number): number {
  const sorted = [...rows].sort((a, b) => a.value - b.value)
  const total = sorted.reduce((sum, x) => sum + x.p, 0)
  let sum = 0
  for (const x of sorted) {
    sum += x.p
    if (sum >= q * total - 1e-12) return x.value
  }
  return sorted.at(-1)?.value ?? 0
}

const toFive = (money: number) => Math.round(money / 5) * 5
