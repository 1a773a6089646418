import { CAR_FACT_NAMES, type CarFactName } from '../schema/car.ts'
import { type Condition, factsOf, type Scalar } from '../schema/conditions.ts'
import type { CheckFile, Knowledge } from '../schema/knowledge.ts'
import { type Compiled, type CompiledFact, combinations, combinationValues } from './compiled.ts'
import { holds } from './condition.ts'
import { engineOf } from './engine.ts'
import { checkRules, observableRules } from './rules.ts'

export const OTHER = 'other'

/**
 * Runs the likelihood rules once over everything that they can be asked, and keeps the verdicts: one small engine an
 * observable over its states and the car facts it reads, one a check over states and outcomes. Likelihoods read nothing
 * else, so a turn needs no engine for them.
 *
 * @param hash of the knowledge's files, see hash.ts
 */
export async function compile(k: Knowledge, hash: string): Promise<Compiled> {
  const rules = observableRules(k)
  const facts = compiledFacts(k)
  const factIndex = new Map(facts.map((f, i) => [f.name, i]))
  const indices = (names: readonly string[]) => [...new Set(names)].map((n) => factIndex.get(n)!).sort((a, b) => a - b)
  const valuesAt = (which: readonly number[], combination: number) => {
    const values = combinationValues(facts, which, combination)
    return Object.fromEntries(which.map((f, i) => [facts[f]!.name, facts[f]!.values[values[i]!]!]))
  }

  const causes = [...k.causes.map((c) => c.id), OTHER]
  const other = causes.length - 1
  const causeIndex = new Map(causes.map((id, i) => [id, i]))
  const weights = Float64Array.from([...k.causes.map((c) => c.weight.times), k.settings.otherWeight])
  const remedies = k.remedies.map((r) => r.id)
  const remedyIndex = new Map(remedies.map((id, i) => [id, i]))
  const remedyOf = Int16Array.from([...k.causes.map((c) => remedyIndex.get(c.remedy)!), -1])

  const parents = new Set(facts.flatMap((f) => f.parents))
  const applies: Compiled['applies'] = []
  for (const cause of k.causes) {
    // All that this cause's own rules read, and all that other facts depend on: what is left over can be summed out.
    const which = indices([
      ...[...parents].map((p) => facts[p]!.name),
      ...factsOf(cause.when),
      ...cause.effects.flatMap((e) => factsOf(e.when)),
    ])
    const run = engineOf(cause.when ? [{ conditions: cause.when, event: true }] : [])
    const yes = new Uint8Array(combinations(facts, which))
    for (let c = 0; c < yes.length; c++) {
      yes[c] = cause.when === undefined || (await run(valuesAt(which, c))).length > 0 ? 1 : 0
    }
    applies.push({ facts: which, yes })
  }
  const all = indices([...parents].map((p) => facts[p]!.name))
  applies.push({ facts: all, yes: new Uint8Array(combinations(facts, all)).fill(1) })

  const observables: Compiled['observables'] = []
  for (const o of rules) {
    const which = indices(o.factsRead)
    const n = combinations(facts, which)
    const size = o.states.length
    const table = new Float64Array(n * causes.length * size)
    const run = engineOf(o.rules)
    for (let c = 0; c < n; c++) {
      const at = c * causes.length * size
      for (let cause = 0; cause < causes.length; cause++) table.set(o.usual, at + cause * size)
      const given = valuesAt(which, c)
      for (let s = 0; s < size; s++) {
        const last = new Int16Array(causes.length).fill(-1)
        for (const event of await run({ ...given, state: o.states[s] })) {
          const cause = causeIndex.get(event.cause)!
          if (event.nth < last[cause]!) continue
          last[cause] = event.nth
          table[at + cause * size + s] = event.p
        }
      }
      spreadOfOther(table, at, size, weights, other)
    }
    observables.push({ id: o.id, states: [...o.states], facts: which, usual: Float64Array.from(o.usual), table })
  }

  const observableIndex = new Map(observables.map((o, i) => [o.id, i]))
  const checks: Compiled['checks'] = []
  for (const check of k.checks) {
    const observable = check.observable === undefined ? -1 : observableIndex.get(check.observable)!
    const fact = check.fact === undefined ? -1 : factIndex.get(check.fact)!
    const states = observable >= 0 ? observables[observable]!.states : facts[fact]!.values.map(String)
    checks.push({
      id: check.id,
      observable,
      fact,
      outcomes: check.outcomes.map((o) => o.id),
      shows: await verdicts(check, states),
    })
  }
  return { hash, facts, causes, weights, remedies, remedyOf, applies, observables, checks }
}

async function verdicts(check: CheckFile, states: readonly string[]): Promise<Float64Array> {
  const run = engineOf(checkRules(check, states))
  const shows = new Float64Array(states.length * check.outcomes.length)
  let i = 0
  for (const state of states) {
    for (const outcome of check.outcomes) shows[i++] = (await run({ state, outcome: outcome.id }))[0]!.p
  }
  return shows
}

/** This share of what an unknown fault shows is anything at all. Tuned by `npm run evaluate`. */
const ANYTHING = 0.15

/**
 * A fault that is none of ours: it shows what faults show on the whole, which at most places is what a sound car shows, and
 * now and then anything. Causes that fit well beat it, and it beats them where nothing fits.
 */
function spreadOfOther(table: Float64Array, at: number, size: number, weights: Float64Array, other: number) {
  let total = 0
  const mean = new Float64Array(size)
  for (let cause = 0; cause < other; cause++) {
    total += weights[cause]!
    for (let s = 0; s < size; s++) mean[s]! += weights[cause]! * table[at + cause * size + s]!
  }
  for (let s = 0; s < size; s++) {
    table[at + other * size + s] = (1 - ANYTHING) * (total > 0 ? mean[s]! / total : 1 / size) + ANYTHING / size
  }
}

function compiledFacts(k: Knowledge): CompiledFact[] {
  const mentioned = new Set<string>()
  const mention = (c: Condition | undefined) => {
    for (const f of factsOf(c)) if (CAR_FACT_NAMES.includes(f as CarFactName)) mentioned.add(f)
  }
  for (const c of k.causes) {
    mention(c.when)
    for (const e of c.effects) mention(e.when)
  }
  for (const c of k.checks) {
    mention(c.when)
    if (c.fact) mentioned.add(c.fact)
  }
  for (const r of k.caseRules) mention(r.conditions)
  for (const c of k.cautions) mention(c.when)
  // A fact that others depend on is needed too.
  for (let before = -1; before !== mentioned.size; ) {
    before = mentioned.size
    for (const name of [...mentioned]) for (const g of k.carFacts.facts[name]?.given ?? []) mention(g.when)
  }
  const names = [...mentioned].sort()
  for (const name of names) {
    if (!k.carFacts.facts[name]) throw new Error(`car-facts.json says nothing of "${name}", which a condition reads`)
  }
  const bare = names.map((name) => ({ name, values: k.carFacts.facts[name]!.values as Scalar[] }))
  return bare.map(({ name, values }) => {
    const file = k.carFacts.facts[name]!
    const parents = [...new Set((file.given ?? []).flatMap((g) => factsOf(g.when)))]
      .map((f) => names.indexOf(f))
      .sort((a, b) => a - b)
    const size = parents.reduce((n, p) => n * bare[p]!.values.length, 1)
    const spread = new Float64Array(size * values.length)
    for (let c = 0; c < size; c++) {
      const at = combinationValues(bare as CompiledFact[], parents, c)
      const facts = Object.fromEntries(parents.map((p, i) => [names[p]!, bare[p]!.values[at[i]!]!]))
      const given = (file.given ?? []).filter((g) => holds(g.when, facts)).at(-1)
      const raw = given?.weights ?? file.weights
      const total = raw.reduce((a, b) => a + b, 0)
      raw.forEach((w, v) => {
        spread[c * values.length + v] = total > 0 ? w / total : 1 / values.length
      })
    }
    return { name, values, parents, spread }
  })
}
