import MiniSearch from 'minisearch'

const SHRINK = 0.05
/** What a word counts for beside a concept, which stands for many words. */
const OF_WORD = 1.3
/** How much further phrases of the same complaint add to its best one, each less than the one before. */
const DAMPED = [0.3, 0.2, 0.1]

export interface Likeness {
  /** BM25 of the best phrase, and a little of the next ones; 1 = as an exact phrase of its own would score */
  phrase: number
  /** weight of the words as evidence for this id against the others; no fixed bounds */
  evidence: number
}

/**
 * What phrases say for each id, in two ways: the phrases most like the text (BM25 by MiniSearch), and each word's
 * relevance weight for all phrases of the id together (Robertson & Spärck Jones, JASIS 27, 1976, formula F4; their 0.5
 * where the many phrases of other ids are counted, less where the few of its own are, which did better when each phrase
 * in turn was left out).
 */
export function createPhraseIndex(phrases: readonly { id: string; terms: readonly string[] }[]) {
  const search = new MiniSearch<{ id: number; text: string }>({
    fields: ['text'],
    tokenize: (text) => text.split(' '),
    processTerm: (term) => term,
    searchOptions: { bm25: { k: 1.2, b: 0.5, d: 0.5 } },
  })
  phrases.forEach((p, id) => search.add({ id, text: [...new Set(p.terms)].join(' ') }))
  const ids = [...new Set(phrases.map((p) => p.id))]
  const all = new Map<string, number>()
  const each = new Map(ids.map((id) => [id, { size: 0, terms: new Map<string, number>() }]))
  for (const p of phrases) {
    const own = each.get(p.id)!
    own.size++
    for (const term of new Set(p.terms)) {
      all.set(term, (all.get(term) ?? 0) + 1)
      own.terms.set(term, (own.terms.get(term) ?? 0) + 1)
    }
  }
  const total = phrases.length
  const rarity = (term: string) => Math.log(1 + (total + 0.5) / ((all.get(term) ?? 0) + 0.5))
  const relevance = (term: string, id: string) => {
    const own = each.get(id)!
    const n = all.get(term) ?? 0
    const r = own.terms.get(term) ?? 0
    return Math.log(((r + SHRINK) * (total - n - own.size + r + 0.5)) / ((own.size - r + SHRINK) * (n - r + 0.5)))
  }

  return (terms: readonly string[]): Map<string, Likeness> => {
    const result = new Map<string, Likeness>()
    const said = [...new Set(terms)]
    const known = said.filter((t) => all.has(t))
    if (!known.length) return result
    let whole = 0
    for (const t of said) whole += rarity(t)
    const scores = new Map<string, number[]>()
    for (const hit of search.search(known.join(' '))) {
      const { id } = phrases[hit.id as number]!
      const there = scores.get(id)
      if (there) there.push(hit.score)
      else scores.set(id, [hit.score])
    }
    for (const id of ids) {
      const own = scores.get(id) ?? []
      let sum = own[0] ?? 0
      DAMPED.forEach((share, i) => {
        sum += share * (own[i + 1] ?? 0)
      })
      let evidence = 0
      for (const term of known) evidence += relevance(term, id) * (term.startsWith('#') ? 1 : OF_WORD)
      result.set(id, { phrase: Math.min(1, sum / (whole * 2)), evidence })
    }
    return result
  }
}
