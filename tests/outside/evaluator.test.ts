/** json-rules-engine is the reference for the evaluator that browsers are given in its place: over every case rule. */
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { engineOf as byEngine } from '../../rules/reasoning/engine.ts'
import { engineOf as byEvaluator } from '../../rules/reasoning/evaluator.ts'
import { type Condition, factsOf } from '../../rules/schema/conditions.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

/** The values that a condition compares a fact with. */
function valuesOf(c: Condition, fact: string): unknown[] {
  if ('all' in c) return c.all.flatMap((x) => valuesOf(x, fact))
  if ('any' in c) return c.any.flatMap((x) => valuesOf(x, fact))
  if ('not' in c) return valuesOf(c.not, fact)
  return c.fact === fact ? [c.value].flat() : []
}

it('holds the same case rules, in the same order, whatever is known and whatever is left out', async () => {
  const prepared = await prepareKnowledge()
  if (!prepared.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
  const { caseRules } = prepared.knowledge
  const rules = caseRules.map((rule) => ({ conditions: rule.conditions, event: rule.id }))
  const facts = [...new Set(caseRules.flatMap((rule) => factsOf(rule.conditions)))]
  expect(facts.length).toBeGreaterThan(20)
  // Values that the rules ask for, near ones, and none at all.
  const around = Object.fromEntries(
    facts.map((fact) => {
      const asked = caseRules.flatMap((rule) => valuesOf(rule.conditions, fact))
      const near = asked.flatMap((v) => (typeof v === 'number' ? [v - 0.01, v + 0.01, [v]] : [[v], 'something else']))
      return [fact, fc.option(fc.constantFrom(...asked, ...near), { nil: undefined })]
    }),
  )
  const [engine, evaluator] = [byEngine(rules), byEvaluator(rules)]
  let held = 0
  await fc.assert(
    fc.asyncProperty(fc.record(around), async (given) => {
      const known = Object.fromEntries(Object.entries(given).filter(([, v]) => v !== undefined))
      const expected = await engine(known)
      held += expected.length
      expect(await evaluator(known)).toEqual(expected)
    }),
    { numRuns: 300 },
  )
  // Cases in which nothing holds would prove nothing.
  expect(held).toBeGreaterThan(300)
})
