import type { Condition } from '../schema/conditions.ts'
import { type Facts, holds } from './condition.ts'

export interface Rule<Event = unknown> {
  conditions: Condition
  event: Event
}

/**
 * What engine.ts does, with no rules engine: a browser is given this one in its place (client/build/local.ts).
 * tests/outside/evaluator.test.ts proves the two equal over the case rules, facts left out included.
 */
export function engineOf<Event>(rules: readonly Rule<Event>[]): (facts: Facts) => Promise<Event[]> {
  return async (facts) => rules.filter((rule) => holds(rule.conditions, facts)).map((rule) => rule.event)
}
