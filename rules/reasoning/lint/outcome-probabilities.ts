import { combinations } from '../compiled.ts'
import type { Reasoner } from '../reasoner.ts'

/**
 * P(outcome | cause) of a check, for every combination of the car facts that its observable reads: combination -> cause ×
 * outcome. Undefined for a check that asks a car fact.
 */
export function outcomeProbabilities(r: Reasoner, check: number): Float64Array[] | undefined {
  const c = r.compiled
  const { observable, outcomes, shows } = c.checks[check]!
  if (observable < 0) return undefined
  const o = c.observables[observable]!
  const n = outcomes.length
  const size = o.states.length
  return Array.from({ length: combinations(c.facts, o.facts) }, (_, combination) => {
    const out = new Float64Array(c.causes.length * n)
    for (let cause = 0; cause < c.causes.length; cause++) {
      const row = (combination * c.causes.length + cause) * size
      for (let s = 0; s < size; s++) {
        for (let i = 0; i < n; i++) out[cause * n + i]! += o.table[row + s]! * shows[s * n + i]!
      }
    }
    return out
  })
}
