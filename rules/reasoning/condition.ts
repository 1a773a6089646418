import { type Condition, factsOf } from '../schema/conditions.ts'

export type Facts = Readonly<Record<string, unknown>>

/**
 * Whether a condition holds, as json-rules-engine decides it (tests/outside/engine.test.ts proves the two equal). It is
 * here for what must be decided many times a turn; every fact read has to be given.
 */
export function holds(c: Condition | undefined, facts: Facts): boolean {
  if (c === undefined) return true
  if ('all' in c) return c.all.every((x) => holds(x, facts))
  if ('any' in c) return c.any.some((x) => holds(x, facts))
  if ('not' in c) return !holds(c.not, facts)
  const fact = facts[c.fact]
  const value = c.value
  switch (c.operator) {
    case 'equal':
      return fact === value
    case 'notEqual':
      return fact !== value
    case 'in':
      return Array.isArray(value) && value.includes(fact as never)
    case 'notIn':
      return Array.isArray(value) && !value.includes(fact as never)
    case 'contains':
      return Array.isArray(fact) && fact.includes(value)
    case 'doesNotContain':
      return Array.isArray(fact) && !fact.includes(value)
    case 'lessThan':
      return isNumber(fact) && (fact as number) < (value as number)
    case 'lessThanInclusive':
      return isNumber(fact) && (fact as number) <= (value as number)
    case 'greaterThan':
      return isNumber(fact) && (fact as number) > (value as number)
    case 'greaterThanInclusive':
      return isNumber(fact) && (fact as number) >= (value as number)
  }
}

/** Whether a condition may hold for a car as far as it is known: what it reads of the case, and facts not given, are taken as met. */
export function mayHold(c: Condition | undefined, car: Facts): boolean {
  if (c === undefined) return true
  if ('all' in c) return c.all.every((x) => mayHold(x, car))
  if ('any' in c) return c.any.some((x) => mayHold(x, car))
  const open = (fact: string) => fact.includes(':') || car[fact] === undefined
  if ('not' in c) return factsOf(c.not).some(open) || !mayHold(c.not, car)
  return open(c.fact) || holds(c, car)
}

const isNumber = (fact: unknown) => !Number.isNaN(Number.parseFloat(fact as string))
