import type { Analysis, Clause } from './analyse.ts'
import type { Signed } from './lexicon.ts'

/** Concepts that stand together and what they mean: "click|chatter -move !charger". */
export interface Meaning {
  id: string
  all: Signed[][]
  none: Signed[]
  weight: number
}

export function compileMeanings(table: Record<string, Record<string, number>>): Meaning[] {
  return Object.entries(table).flatMap(([id, rows]) =>
    Object.entries(rows).map(([text, weight]) => {
      const parts = text.split(' ').filter(Boolean)
      return {
        id,
        all: parts.filter((p) => !p.startsWith('!')).map((p) => p.split('|')),
        none: parts.filter((p) => p.startsWith('!')).flatMap((p) => p.slice(1).split('|')),
        weight,
      }
    }),
  )
}

/** Concepts said in one clause belong together more surely than those of two, or of the whole story. */
const ONE = 1
const TWO = 0.97
const WHOLE = 0.88
/** What each further meaning that also holds adds, of what is left to 1. */
const FURTHER = 0.25

/** id -> 0..1: how surely the concepts mean it. */
export function weighMeanings(analysis: Pick<Analysis, 'clauses'>, meanings: readonly Meaning[]): Map<string, number> {
  const scopes = scopesOf(analysis.clauses)
  const found = new Map<string, number[]>()
  for (const meaning of meanings) {
    let best = 0
    for (const scope of scopes) {
      if (scope.share * meaning.weight > best && holds(meaning, scope.concepts)) best = scope.share * meaning.weight
    }
    if (best > 0) {
      const there = found.get(meaning.id)
      if (there) there.push(best)
      else found.set(meaning.id, [best])
    }
  }
  const result = new Map<string, number>()
  for (const [id, weights] of found) {
    weights.sort((a, b) => b - a)
    let rest = 1 - weights[0]!
    for (const weight of weights.slice(1, 4)) rest *= 1 - FURTHER * weight
    result.set(id, 1 - rest)
  }
  return result
}

function holds(meaning: Meaning, concepts: ReadonlySet<Signed>): boolean {
  return meaning.all.every((any) => any.some((c) => concepts.has(c))) && !meaning.none.some((c) => concepts.has(c))
}

function scopesOf(clauses: readonly Clause[]): { concepts: ReadonlySet<Signed>; share: number }[] {
  const scopes = clauses.map((c) => ({ concepts: c.concepts, share: ONE }))
  for (let i = 0; i + 1 < clauses.length; i++) {
    scopes.push({ concepts: new Set([...clauses[i]!.concepts, ...clauses[i + 1]!.concepts]), share: TWO })
  }
  if (clauses.length > 2) {
    scopes.push({ concepts: new Set(clauses.flatMap((c) => [...c.concepts])), share: WHOLE })
  }
  return scopes
}
