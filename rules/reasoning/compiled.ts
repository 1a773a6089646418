import type { Scalar } from '../schema/conditions.ts'

/**
 * The verdicts of the likelihood rules as tables: everything that standing and choice read at a turn. Plain JSON but for
 * the typed arrays, so that it can be cached by the knowledge's hash and shipped to a browser.
 */
export interface Compiled {
  hash: string
  /** car facts that some likelihood or some cause's `when` reads, and those that others depend on, in order of name */
  facts: CompiledFact[]
  /** ids of the causes in order; the last is `other` */
  causes: string[]
  /** weight of each cause, as a ratio */
  weights: Float64Array
  remedies: string[]
  /** index into `remedies` of each cause; -1 for `other` */
  remedyOf: Int16Array
  /** for each cause: the facts that matter for it, and for each combination of their values whether a car can have it */
  applies: { facts: number[]; yes: Uint8Array }[]
  observables: CompiledObservable[]
  checks: CompiledCheck[]
}

export interface CompiledFact {
  name: string
  values: Scalar[]
  /** facts whose values change this one's weights */
  parents: number[]
  /** P(value | combination of the parents' values): combination × value */
  spread: Float64Array
}

export interface CompiledObservable {
  id: string
  states: string[]
  facts: number[]
  /** P(state) where the cause says nothing of it */
  usual: Float64Array
  /** P(state | cause, combination of `facts`): combination × cause × state */
  table: Float64Array
}

export interface CompiledCheck {
  id: string
  /** index into observables, or -1 where a car fact is asked */
  observable: number
  /** index into facts, or -1 */
  fact: number
  outcomes: string[]
  /** P(outcome | state): state × outcome */
  shows: Float64Array
}

/** How many combinations the values of some facts have. */
export function combinations(facts: readonly CompiledFact[], which: readonly number[]): number {
  return which.reduce((n, f) => n * facts[f]!.values.length, 1)
}

/** The place of a combination: `valueIndex(fact)` gives the index of that fact's value. */
export function combinationIndex(
  facts: readonly CompiledFact[],
  which: readonly number[],
  valueIndex: (fact: number) => number,
): number {
  let index = 0
  for (const f of which) index = index * facts[f]!.values.length + valueIndex(f)
  return index
}

/** The value indices of combination `index`, in the order of `which`. */
export function combinationValues(facts: readonly CompiledFact[], which: readonly number[], index: number): number[] {
  const values: number[] = new Array(which.length)
  let rest = index
  for (let i = which.length - 1; i >= 0; i--) {
    const n = facts[which[i]!]!.values.length
    values[i] = rest % n
    rest = (rest - values[i]!) / n
  }
  return values
}

const ARRAYS = { Float64Array, Int16Array, Uint8Array } as const

/** To a text and back, exactly: numbers are written as JavaScript writes them, which reads back to the same bits. */
export function toText(compiled: Compiled): string {
  return JSON.stringify(compiled, (_key, value) => {
    for (const [name, type] of Object.entries(ARRAYS)) {
      if (value instanceof type) return { [name]: Array.from(value) }
    }
    return value
  })
}

export function fromText(text: string): Compiled {
  return JSON.parse(text, (_key, value) => {
    if (value !== null && typeof value === 'object') {
      for (const [name, type] of Object.entries(ARRAYS)) if (name in value) return type.from(value[name])
    }
    return value
  }) as Compiled
}
