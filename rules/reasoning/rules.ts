import type { Condition } from '../schema/conditions.ts'
import { factsOf } from '../schema/conditions.ts'
import type { CheckFile, Knowledge } from '../schema/knowledge.ts'
import { circumstanceObservable, complaintObservable, SAID_STATES } from '../schema/references.ts'
import { distributionOf, type Likelihood, probabilityOf } from '../schema/words.ts'
import type { Rule } from './engine.ts'

/**
 * The knowledge written as rules of json-rules-engine. Three kinds, one engine a thing:
 *
 * - what a cause does to an observable: reads `state` and car facts, says P(state | cause);
 * - how a check shows an observable: reads `state` and `outcome`, says P(outcome | state);
 * - which cars a cause can be in: reads car facts.
 */
export interface EffectEvent {
  cause: string
  /** place among the cause's effects on this observable; where several hold the last written counts */
  nth: number
  p: number
}

export interface ObservableRules {
  id: string
  states: readonly string[]
  /** the spread where no rule speaks */
  usual: number[]
  factsRead: string[]
  rules: Rule<EffectEvent>[]
}

const stateIs = (state: string): Condition => ({ fact: 'state', operator: 'equal', value: state })

/** Every observable with its rules: the files', then one for each complaint and each circumstance. */
export function observableRules(k: Knowledge): ObservableRules[] {
  const byObservable = new Map<string, { cause: string; when?: Condition; states: Record<string, Likelihood> }[]>()
  const add = (observable: string, effect: { cause: string; when?: Condition; states: Record<string, Likelihood> }) => {
    const list = byObservable.get(observable)
    if (list) list.push(effect)
    else byObservable.set(observable, [effect])
  }
  for (const cause of k.causes) {
    for (const e of cause.effects) add(e.observable, { cause: cause.id, when: e.when, states: e.states })
    for (const [id, likelihood] of Object.entries(cause.complaints)) {
      add(complaintObservable(id), { cause: cause.id, states: { yes: likelihood } })
    }
    for (const [id, likelihood] of Object.entries(cause.circumstances ?? {})) {
      add(circumstanceObservable(id), { cause: cause.id, states: { yes: likelihood } })
    }
  }
  const said = [
    ...k.complaints.map((c) => ({ id: complaintObservable(c.id), base: c.base })),
    ...k.circumstances.map((c) => ({ id: circumstanceObservable(c.id), base: c.base })),
  ]
  const all = [
    ...k.observables.map((o) => ({
      id: o.id,
      states: o.states as readonly string[],
      usual: distributionOf(o.states, o.usual),
    })),
    ...said.map((o) => ({ id: o.id, states: SAID_STATES as readonly string[], usual: [o.base, 1 - o.base] })),
  ]
  return all.map(({ id, states, usual }) => {
    const effects = byObservable.get(id) ?? []
    const count = new Map<string, number>()
    const rules: Rule<EffectEvent>[] = []
    for (const effect of effects) {
      const nth = count.get(effect.cause) ?? 0
      count.set(effect.cause, nth + 1)
      const spread = distributionOf(states, effect.states)
      states.forEach((state, i) => {
        rules.push({
          conditions: { all: effect.when ? [stateIs(state), effect.when] : [stateIs(state)] },
          event: { cause: effect.cause, nth, p: spread[i]! },
        })
      })
    }
    const factsRead = [...new Set(effects.flatMap((e) => factsOf(e.when)))].sort()
    return { id, states, usual, factsRead, rules }
  })
}

/** How often people slip, whatever the check: a lamp misread, a word misheard, a wrong line ticked. Estimate. */
const SLIP = 0.03

/** How a check shows its observable (or car fact): P(outcome | state), a rule each. */
export function checkRules(check: CheckFile, states: readonly string[]): Rule<{ p: number }>[] {
  const n = check.outcomes.length
  const rules: Rule<{ p: number }>[] = []
  for (const state of states) {
    const honest = check.outcomes.map((o) => (Array.isArray(o.shows) ? (o.shows.includes(state) ? 1 : 0) : undefined))
    const given = check.outcomes.map((o) => {
      if (Array.isArray(o.shows)) return undefined
      const likelihood = o.shows[state]
      return likelihood === undefined ? undefined : probabilityOf(likelihood)
    })
    const truthful = honest.filter((h) => h === 1).length
    const r = check.reliability * (1 - SLIP) + SLIP / n
    const raw = check.outcomes.map((_, i) => {
      if (given[i] !== undefined) return given[i]!
      // A state that no outcome is the honest answer for says nothing: every outcome alike.
      if (truthful === 0) return 1 / n
      return honest[i] === 1 ? r / truthful : (1 - r) / Math.max(1, n - truthful)
    })
    const total = raw.reduce((a, b) => a + b, 0)
    check.outcomes.forEach((outcome, i) => {
      rules.push({
        conditions: { all: [stateIs(state), { fact: 'outcome', operator: 'equal', value: outcome.id }] },
        event: { p: raw[i]! / total },
      })
    })
  }
  return rules
}
