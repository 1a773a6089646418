/** json-rules-engine itself is the reference: for its conditions, and for what the compiled tables say. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { combinationIndex } from '../../rules/reasoning/compiled.ts'
import { holds } from '../../rules/reasoning/condition.ts'
import { engineOf } from '../../rules/reasoning/engine.ts'
import { checkRules, observableRules } from '../../rules/reasoning/rules.ts'
import { type Condition, factsOf, OPERATORS } from '../../rules/schema/conditions.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

const value = fc.constantFrom<string | number | boolean>('a', 'b', 1, 2, 36.5, true, false)
const list = fc.array(value, { minLength: 1, maxLength: 3 })
const leaf: fc.Arbitrary<Condition> = fc
  .tuple(fc.constantFrom('x', 'y', 'z'), fc.constantFrom(...OPERATORS), value, list)
  .map(([fact, operator, one, many]) => ({
    fact,
    operator,
    value: operator === 'in' || operator === 'notIn' ? many : one,
  }))
const { tree } = fc.letrec<{ tree: Condition }>((tie) => ({
  tree: fc.oneof(
    { maxDepth: 3 },
    leaf,
    fc.array(tie('tree'), { minLength: 1, maxLength: 3 }).map((all) => ({ all })),
    fc.array(tie('tree'), { minLength: 1, maxLength: 3 }).map((any) => ({ any })),
    tie('tree').map((not) => ({ not })),
  ),
}))
const facts = fc.record({ x: fc.oneof(value, list), y: fc.oneof(value, list), z: fc.oneof(value, list) })

describe('conditions', () => {
  it('hold as the engine says', async () => {
    await fc.assert(
      fc.asyncProperty(tree, facts, async (condition, given) => {
        const events = await engineOf([{ conditions: condition, event: true }])(given)
        expect(holds(condition, given)).toBe(events.length === 1)
      }),
      { numRuns: 400 },
    )
  })
})

describe('the compiled tables', () => {
  it('say what a direct run of the rules says, for random causes, cars and answers of the real knowledge', async () => {
    const prepared = await prepareKnowledge()
    if (!prepared.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
    const { knowledge: k, compiled: c } = prepared
    const rules = observableRules(k)
    const carFact = Object.fromEntries(c.facts.map((f) => [f.name, fc.nat(f.values.length - 1)]))
    await fc.assert(
      fc.asyncProperty(
        fc.nat(rules.length - 1),
        fc.nat(k.causes.length - 1),
        fc.record(carFact),
        async (o, cause, car) => {
          const rule = rules[o]!
          const given = Object.fromEntries(c.facts.map((f) => [f.name, f.values[car[f.name]!]!]))
          const run = engineOf(rule.rules)
          const at = combinationIndex(c.facts, c.observables[o]!.facts, (f) => car[c.facts[f]!.name]!)
          for (const [s, state] of rule.states.entries()) {
            const events = (await run({ ...given, state })).filter((e) => e.cause === k.causes[cause]!.id)
            const direct = events.length > 0 ? events.reduce((a, b) => (b.nth >= a.nth ? b : a)).p : rule.usual[s]!
            const table = c.observables[o]!.table[(at * c.causes.length + cause) * rule.states.length + s]!
            expect(table).toBe(direct)
          }
        },
      ),
      { numRuns: 150 },
    )
    for (const [i, check] of k.checks.entries()) {
      const compiled = c.checks[i]!
      const states =
        compiled.observable >= 0
          ? c.observables[compiled.observable]!.states
          : c.facts[compiled.fact]!.values.map(String)
      const run = engineOf(checkRules(check, states))
      const state = states[i % states.length]!
      const outcome = check.outcomes[i % check.outcomes.length]!.id
      const [event] = await run({ state, outcome })
      const n = check.outcomes.length
      expect(compiled.shows[states.indexOf(state) * n + (i % n)]).toBe(event!.p)
    }
    for (const [i, cause] of k.causes.entries()) {
      const { facts: which, yes } = c.applies[i]!
      for (let combo = 0; combo < yes.length; combo++) {
        let rest = combo
        const given: Record<string, unknown> = {}
        for (const f of [...which].reverse()) {
          given[c.facts[f]!.name] = c.facts[f]!.values[rest % c.facts[f]!.values.length]
          rest = Math.floor(rest / c.facts[f]!.values.length)
        }
        for (const f of factsOf(cause.when)) expect(f in given).toBe(true)
        expect(yes[combo] === 1).toBe(holds(cause.when, given))
      }
    }
  })
})
