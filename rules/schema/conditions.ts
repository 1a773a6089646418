import { z } from 'zod'

/**
 * Conditions in json-rules-engine's own form, with what can go wrong silently taken out: no `path`, no empty `all` (which
 * would be true for every car), no operators of one's own. Facts are checked against the knowledge by `checkKnowledge`.
 */
export const OPERATORS = [
  'equal',
  'notEqual',
  'in',
  'notIn',
  'contains',
  'doesNotContain',
  'lessThan',
  'lessThanInclusive',
  'greaterThan',
  'greaterThanInclusive',
] as const

const scalar = z.union([z.string(), z.number(), z.boolean()])

export type Scalar = z.infer<typeof scalar>

export type Condition =
  | { fact: string; operator: (typeof OPERATORS)[number]; value: Scalar | Scalar[] }
  | { all: Condition[] }
  | { any: Condition[] }
  | { not: Condition }

export const condition: z.ZodType<Condition> = z.lazy(() =>
  z.union([
    z.strictObject({
      fact: z.string().min(1),
      operator: z.enum(OPERATORS),
      value: z.union([scalar, z.array(scalar).min(1)]),
    }),
    z.strictObject({ all: z.array(condition).min(1, 'an empty "all" is true for every car: leave the condition out') }),
    z.strictObject({ any: z.array(condition).min(1, 'an empty "any" is never true') }),
    z.strictObject({ not: condition }),
  ]),
)

/** Every fact that a condition reads. */
export function factsOf(c: Condition | undefined): string[] {
  if (!c) return []
  if ('all' in c) return c.all.flatMap(factsOf)
  if ('any' in c) return c.any.flatMap(factsOf)
  if ('not' in c) return factsOf(c.not)
  return [c.fact]
}
