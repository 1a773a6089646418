import { CAR_FACT_NAMES, carState } from './car.ts'
import { type Condition, factsOf } from './conditions.ts'
import type { CheckFile, Folder, Knowledge } from './knowledge.ts'
import type { Problem } from './problem.ts'

/** Observables that stand in no file: each complaint and circumstance is one, with the states yes and no. */
export const SAID_STATES = ['yes', 'no'] as const
export const complaintObservable = (id: string) => `complaint.${id}`
export const circumstanceObservable = (id: string) => `circumstance.${id}`

/** Facts of the whole case that `when` of a check and the case rules may read, beside the car facts. */
export const CASE_FACTS = [
  'role',
  'likeliest',
  'sureness',
  'bridgedCount',
  'liftedCount',
  'answerCount',
  'repairedCount',
] as const

/** Everything that names something else names something that exists. */
export function checkReferences(k: Knowledge, fileOf: (folder: Folder, id: string) => string): Problem[] {
  const problems: Problem[] = []
  const states = new Map<string, readonly string[]>(k.observables.map((o) => [o.id, o.states]))
  for (const c of k.complaints) states.set(complaintObservable(c.id), SAID_STATES)
  for (const c of k.circumstances) states.set(circumstanceObservable(c.id), SAID_STATES)
  const has = {
    remedies: new Set(k.remedies.map((r) => r.id)),
    checks: new Map<string, CheckFile>(k.checks.map((c) => [c.id, c])),
    cautions: new Set(k.cautions.map((c) => c.id)),
    rootCauses: new Set(k.rootCauses.map((c) => c.id)),
    complaints: new Set(k.complaints.map((c) => c.id)),
    circumstances: new Set(k.circumstances.map((c) => c.id)),
    causes: new Set(k.causes.map((c) => c.id)),
  }
  const carStateNames = Object.keys(carState.shape)

  function reporter(folder: Folder, id: string) {
    const file = fileOf(folder, id)
    return (path: string, what: string, mend: string) =>
      problems.push({ file, path, what: `${what} (in "${id}")`, mend })
  }
  type Say = ReturnType<typeof reporter>
  function need(say: Say, path: string, set: { has(id: string): boolean }, id: string, kind: string) {
    if (!set.has(id)) say(path, `there is no ${kind} "${id}"`, `Mend the id, or add the file for it`)
  }
  function needStates(say: Say, path: string, observable: string, named: Iterable<string>) {
    const known = states.get(observable)
    if (!known) {
      say(path, `there is no observable "${observable}"`, 'Mend the id, or add a file to observables/')
      return
    }
    for (const state of named) {
      if (!known.includes(state)) {
        say(path, `"${observable}" has no state "${state}"`, `Use one of ${known.join(', ')}`)
      }
    }
  }
  function needFacts(say: Say, path: string, c: Condition | undefined, wholeCase: boolean) {
    for (const fact of factsOf(c)) {
      if ((CAR_FACT_NAMES as string[]).includes(fact)) {
        needFactValues(say, path, c!, fact)
        continue
      }
      const [kind, rest = ''] = fact.split(/:(.*)/s)
      const fine =
        wholeCase &&
        ((CASE_FACTS as readonly string[]).includes(fact) ||
          (kind === 'answer' && has.checks.has(rest)) ||
          (kind === 'carState' && carStateNames.includes(rest)) ||
          (kind === 'complaint' && has.complaints.has(rest)) ||
          (kind === 'circumstance' && has.circumstances.has(rest)) ||
          (kind === 'acknowledged' && has.cautions.has(rest)))
      if (!fine) {
        say(
          path,
          `there is no fact "${fact}" that may be read here`,
          wholeCase
            ? `Use a car fact (${CAR_FACT_NAMES.join(', ')}), answer:<check>, carState:<name>, complaint:<id>, circumstance:<id>, acknowledged:<caution> or one of ${CASE_FACTS.join(', ')}`
            : `A likelihood reads car facts only: ${CAR_FACT_NAMES.join(', ')}`,
        )
      }
    }
  }
  function needFactValues(say: Say, path: string, c: Condition, fact: string) {
    const known = k.carFacts.facts[fact]
    if (!known) return
    for (const value of valuesFor(c, fact)) {
      if (!known.values.includes(value as never) && typeof value !== 'number') {
        say(path, `the car fact "${fact}" is never "${String(value)}"`, `Use one of ${known.values.join(', ')}`)
      }
    }
  }

  for (const c of k.causes) {
    const say = reporter('causes', c.id)
    needFacts(say, '$.when', c.when, false)
    need(say, '$.remedy', has.remedies, c.remedy, 'remedy')
    c.rootCauses.forEach((id, i) => need(say, `$.rootCauses[${i}]`, has.rootCauses, id, 'root cause'))
    for (const id of Object.keys(c.complaints)) need(say, `$.complaints.${id}`, has.complaints, id, 'complaint')
    for (const id of Object.keys(c.circumstances ?? {}))
      need(say, `$.circumstances.${id}`, has.circumstances, id, 'circumstance')
    c.effects.forEach((e, i) => {
      needStates(say, `$.effects[${i}]`, e.observable, Object.keys(e.states))
      needFacts(say, `$.effects[${i}].when`, e.when, false)
    })
  }
  for (const o of k.observables) {
    const say = reporter('observables', o.id)
    needStates(say, '$.usual', o.id, Object.keys(o.usual))
    if (o.quantity) needStates(say, '$.quantity.reads', o.id, Object.keys(o.quantity.reads))
  }
  for (const c of k.checks) {
    const say = reporter('checks', c.id)
    needFacts(say, '$.when', c.when, true)
    for (const caution of c.cautions ?? []) need(say, '$.cautions', has.cautions, caution, 'caution')
    const ids = new Set(c.outcomes.map((o) => o.id))
    if (ids.size !== c.outcomes.length) say('$.outcomes', 'two outcomes have the same id', 'Give each its own')
    if (ids.has('dont-know')) say('$.outcomes', '"dont-know" is always offered', 'Take it out')
    for (const o of ids) {
      if (!(o in c.text.outcomes)) say(`$.text.outcomes`, `outcome "${o}" has no words`, 'Add them')
    }
    for (const o of Object.keys(c.text.outcomes)) {
      if (!ids.has(o)) say(`$.text.outcomes.${o}`, `there is no outcome "${o}"`, 'Mend the id, or take the words out')
    }
    if ((c.observable === undefined) === (c.fact === undefined)) {
      say('$', 'a check looks at one observable or asks one car fact', 'Give "observable" or "fact", one of them')
    } else if (c.observable !== undefined) {
      const observable = c.observable
      c.outcomes.forEach((o, i) =>
        needStates(say, `$.outcomes[${i}].shows`, observable, Array.isArray(o.shows) ? o.shows : Object.keys(o.shows)),
      )
      if (c.reading && !k.observables.find((o) => o.id === observable)?.quantity) {
        say(
          '$.reading',
          `"${observable}" has no quantity to read`,
          'Give the observable a "quantity", or take "reading" out',
        )
      }
    } else {
      const fact = k.carFacts.facts[c.fact!]
      if (!fact)
        say('$.fact', `there is no car fact "${c.fact}"`, `Use one of ${Object.keys(k.carFacts.facts).join(', ')}`)
      else {
        c.outcomes.forEach((o, i) => {
          for (const v of Array.isArray(o.shows) ? o.shows : Object.keys(o.shows)) {
            if (!fact.values.some((known) => String(known) === v)) {
              say(`$.outcomes[${i}].shows`, `"${c.fact}" is never "${v}"`, `Use one of ${fact.values.join(', ')}`)
            }
          }
        })
      }
    }
  }
  for (const r of k.remedies) {
    const say = reporter('remedies', r.id)
    const proof = has.checks.get(r.proof.check)
    if (!proof) say('$.proof.check', `there is no check "${r.proof.check}"`, 'Mend the id, or add the check')
    else if (!proof.outcomes.some((o) => o.id === r.proof.outcome)) {
      say(
        '$.proof.outcome',
        `"${r.proof.check}" has no outcome "${r.proof.outcome}"`,
        `Use one of ${proof.outcomes.map((o) => o.id).join(', ')}`,
      )
    }
    r.stale.forEach((s, i) => {
      const known = s.endsWith('*') ? [...states.keys()].some((o) => o.startsWith(s.slice(0, -1))) : states.has(s)
      if (!known) say(`$.stale[${i}]`, `there is no observable "${s}"`, 'Mend the id')
    })
    for (const caution of r.cautions ?? []) need(say, '$.cautions', has.cautions, caution, 'caution')
    r.askWhyFirst?.forEach((id, i) => need(say, `$.askWhyFirst[${i}]`, has.rootCauses, id, 'root cause'))
  }
  for (const c of k.rootCauses) needFacts(reporter('root-causes', c.id), '$.when', c.when, false)
  for (const c of k.cautions) needFacts(reporter('cautions', c.id), '$.when', c.when, false)
  for (const c of k.complaints) {
    for (const check of c.settles ?? []) need(reporter('complaints', c.id), '$.settles', has.checks, check, 'check')
  }
  for (const r of k.caseRules) {
    const say = reporter('case-rules', r.id)
    needFacts(say, '$.conditions', r.conditions, true)
    if ('caution' in r.event.params)
      need(say, '$.event.params.caution', has.cautions, r.event.params.caution, 'caution')
  }
  for (const s of k.inseparable) {
    const say = reporter('inseparable', s.id)
    for (const cause of s.causes) need(say, '$.causes', has.causes, cause, 'cause')
  }
  for (const e of k.explained) {
    const say = reporter('explained', e.id)
    if (e.cause !== '*') need(say, '$.cause', has.causes, e.cause, 'cause')
    if (e.check !== '*') need(say, '$.check', has.checks, e.check, 'check')
  }
  for (const name of Object.keys(k.carFacts.facts)) {
    if (!(CAR_FACT_NAMES as string[]).includes(name)) {
      problems.push({
        file: 'car-facts.json',
        path: `$.facts.${name}`,
        what: `"${name}" is not a car fact`,
        mend: `Use one of ${CAR_FACT_NAMES.join(', ')}`,
      })
    }
    const fact = k.carFacts.facts[name]!
    const lengths = [fact.weights, ...(fact.given ?? []).map((g) => g.weights)]
    if (lengths.some((w) => w.length !== fact.values.length)) {
      problems.push({
        file: 'car-facts.json',
        path: `$.facts.${name}`,
        what: 'not one weight for each value',
        mend: `Give ${fact.values.length} weights`,
      })
    }
  }
  return problems
}

function valuesFor(c: Condition, fact: string): unknown[] {
  if ('all' in c) return c.all.flatMap((x) => valuesFor(x, fact))
  if ('any' in c) return c.any.flatMap((x) => valuesFor(x, fact))
  if ('not' in c) return valuesFor(c.not, fact)
  if (c.fact !== fact) return []
  return Array.isArray(c.value) ? c.value : [c.value]
}
