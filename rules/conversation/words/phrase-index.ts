import MiniSearch from 'minisearch'
import type { Scored } from './types.ts'

/** How much further phrases of the same complaint add to its best one, each less than the one before. */
const DAMPED = [0.3, 0.2, 0.1]

/**
 * Every way of saying it is one document (BM25). A complaint scores as its best phrase does, and a little more for each
 * further one; 1 = as well as an exact phrase of its own would.
 */
export function createPhraseIndex(phrases: readonly { id: string; terms: readonly string[] }[]) {
  const search = new MiniSearch<{ id: number; text: string }>({
    fields: ['text'],
    tokenize: (text) => text.split(' '),
    processTerm: (term) => term,
    searchOptions: { bm25: { k: 1.2, b: 0.5, d: 0.5 } },
  })
  phrases.forEach((p, id) => search.add({ id, text: p.terms.join(' ') }))
  // What a text would score against itself: the sum of its terms' rarity.
  const count = new Map<string, number>()
  for (const p of phrases) for (const t of new Set(p.terms)) count.set(t, (count.get(t) ?? 0) + 1)
  const rarity = (term: string) => Math.log(1 + (phrases.length + 0.5) / ((count.get(term) ?? 0) + 0.5))

  return (terms: readonly string[]): Scored[] => {
    const own = new Set(terms.filter((t) => count.has(t)))
    if (!own.size) return []
    let whole = 0
    for (const t of new Set(terms)) whole += rarity(t)
    const each = new Map<string, number[]>()
    for (const hit of search.search([...own].join(' '), { tokenize: (t) => t.split(' ') })) {
      const { id } = phrases[hit.id as number]!
      const there = each.get(id)
      if (there) there.push(hit.score)
      else each.set(id, [hit.score])
    }
    const scored = [...each].map(([id, scores]) => {
      let sum = scores[0]!
      DAMPED.forEach((share, i) => {
        sum += share * (scores[i + 1] ?? 0)
      })
      return { id, score: Math.min(1, sum / (whole * 2)) }
    })
    return scored.sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1))
  }
}
