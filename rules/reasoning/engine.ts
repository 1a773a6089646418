import { Engine, type RuleProperties, type TopLevelCondition } from 'json-rules-engine'
import type { Condition } from '../schema/conditions.ts'
import type { Facts } from './condition.ts'

export interface Rule<Event = unknown> {
  conditions: Condition
  event: Event
}

/** Runs rules over facts; the events of those that hold, in the order of the rules. */
export type Decide = <Event>(facts: Facts) => Promise<Event[]>

/**
 * json-rules-engine over a set of rules. Building is the dear part (about 7 µs a rule), a run costs about 0.3 ms: make one
 * for a set and keep it.
 */
export function engineOf<Event>(rules: readonly Rule<Event>[]): (facts: Facts) => Promise<Event[]> {
  const engine = new Engine(
    rules.map(
      (rule, index): RuleProperties => ({
        conditions: topLevel(rule.conditions),
        event: { type: 'rule', params: { index } },
      }),
    ),
    { allowUndefinedFacts: true },
  )
  return async (facts) => {
    const { events } = await engine.run(facts as Record<string, unknown>)
    return events
      .map((event) => event.params!['index'] as number)
      .sort((a, b) => a - b)
      .map((index) => rules[index]!.event)
  }
}

function topLevel(condition: Condition): TopLevelCondition {
  return ('fact' in condition ? { all: [condition] } : condition) as TopLevelCondition
}
