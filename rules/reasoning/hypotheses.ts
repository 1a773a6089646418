import { type Compiled, combinationIndex, combinationValues } from './compiled.ts'

/**
 * What can be the matter before anything is observed: each cause in each kind of car that it can be in, and beside each a
 * neighbour that is none of ours. Depends on the car facts only, so that it is kept from turn to turn.
 */
export interface Hypotheses {
  /** cause index of each hypothesis */
  causeOf: Int16Array
  /** whose rows of the tables it reads: its cause's, or for "something like c, but not c" those of c */
  likeOf: Int16Array
  /** how much of what it shows may be anything: 0 for a known cause */
  loose: Float64Array
  /** value indices of the facts that matter, for each hypothesis, in the order of compiled.applies[cause].facts */
  kindOf: number[][]
  /** up to a constant */
  prior: Float64Array
  rows: Map<number, Int32Array>
}

/** This share of the faults that are none of ours look much like one of ours; the rest like nothing in particular. */
export const LIKE_A_KNOWN_ONE = 0.7
/** How much of what such a neighbour shows is its own. Both tuned by `npm run evaluate`. */
export const LOOSE = 0.3

const KEPT = 16
const kept = new WeakMap<Compiled, Map<string, Hypotheses>>()

export function hypothesesOf(c: Compiled, facts: ReadonlyMap<number, Float64Array>): Hypotheses {
  const key = [...facts]
    .sort((a, b) => a[0] - b[0])
    .map(([f, weights]) => `${f}=${weights.join()}`)
    .join(';')
  let known = kept.get(c)
  if (!known) {
    known = new Map()
    kept.set(c, known)
  }
  let found = known.get(key)
  if (!found) {
    found = make(c, facts)
    if (known.size >= KEPT) known.delete(known.keys().next().value!)
    known.set(key, found)
  }
  return found
}

function make(c: Compiled, learned: ReadonlyMap<number, Float64Array>): Hypotheses {
  const causeOf: number[] = []
  const likeOf: number[] = []
  const loose: number[] = []
  const kindOf: number[][] = []
  const prior: number[] = []
  const other = c.causes.length - 1
  let causesWeight = 0
  for (let cause = 0; cause < other; cause++) causesWeight += c.weights[cause]!
  for (let cause = 0; cause < c.causes.length; cause++) {
    const { facts, yes } = c.applies[cause]!
    const w = c.weights[cause]!
    for (let i = 0; i < yes.length; i++) {
      if (!yes[i]) continue
      const values = combinationValues(c.facts, facts, i)
      const weight = kindWeight(c, learned, facts, values)
      if (weight <= 0) continue
      const add = (as: number, looseness: number, p: number) => {
        causeOf.push(as)
        likeOf.push(cause)
        loose.push(looseness)
        kindOf.push(values)
        prior.push(weight * p)
      }
      if (cause === other) {
        add(other, 0, w * (1 - LIKE_A_KNOWN_ONE))
        continue
      }
      add(cause, 0, w)
      // A fault that is none of ours is mostly a neighbour of one of ours: a part nobody listed, beside one that is.
      if (w > 0) add(other, LOOSE, (c.weights[other]! * LIKE_A_KNOWN_ONE * w) / causesWeight)
    }
  }
  return {
    causeOf: Int16Array.from(causeOf),
    likeOf: Int16Array.from(likeOf),
    loose: Float64Array.from(loose),
    kindOf,
    prior: Float64Array.from(prior),
    rows: new Map(),
  }
}

/** P(this combination of the facts that matter) × what was learned of the facts, all other facts summed out. */
function kindWeight(
  c: Compiled,
  evidence: ReadonlyMap<number, Float64Array>,
  facts: readonly number[],
  values: readonly number[],
): number {
  const valueIndex = (f: number) => values[facts.indexOf(f)]!
  let weight = 1
  for (let f = 0; f < c.facts.length; f++) {
    const fact = c.facts[f]!
    const at = combinationIndex(c.facts, fact.parents, valueIndex) * fact.values.length
    const learned = evidence.get(f)
    if (facts.includes(f)) {
      const v = valueIndex(f)
      // A fact that somebody stated is believed even where such a car is thought not to exist.
      weight *= Math.max(fact.spread[at + v]!, learned ? 1e-6 : 0) * (learned ? learned[v]! : 1)
    } else if (learned) {
      let sum = 0
      for (let v = 0; v < fact.values.length; v++) sum += Math.max(fact.spread[at + v]!, 1e-6) * learned[v]!
      weight *= sum
    }
    if (weight === 0) return 0
  }
  return weight
}
