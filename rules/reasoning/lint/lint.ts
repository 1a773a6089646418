import type { Problem } from '../../schema/problem.ts'
import { complaintObservable } from '../../schema/references.ts'
import type { Reasoner } from '../reasoner.ts'
import { outcomeProbabilities } from './outcome-probabilities.ts'
import { readingGrade } from './reading-grade.ts'
import { lintSeparable } from './separable.ts'
import { lintWiring } from './wiring.ts'

/** What a customer reads of one conversation may be this hard, over at least so many words. */
export const GRADE = 7
const WORDS = 100
const PHRASES = 25
/** Ways of checking that put hands, tools or power to the car. */
const HANDS_ON = new Set(['try', 'measure', 'feel'])

/**
 * Everything that is allowed by the schemas and yet wrong: found by looking at the compiled tables.
 *
 * @param since knowledge that this is laid over, or that lies over it: the circuits, which take longest, are solved only
 *   for what differs
 */
export function lintKnowledge(r: Reasoner, since?: Reasoner): Problem[] {
  return [
    ...lintSeparable(r),
    ...lintCauses(r),
    ...lintOutcomes(r),
    ...lintHandsOn(r),
    ...lintCustomer(r),
    ...lintUnused(r),
    ...lintCustomerWords(r),
    ...lintWiring(r, since),
  ]
}

const fileOf = (r: Reasoner, cause: string) =>
  `causes/${(r.knowledge.familyOf.get(cause) ?? cause).replace(/[{}]/g, '')}.json`

function lintCauses(r: Reasoner): Problem[] {
  const c = r.compiled
  const problems: Problem[] = []
  const moved = new Uint8Array(c.causes.length)
  c.checks.forEach((check, index) => {
    const n = check.outcomes.length
    for (const p of outcomeProbabilities(r, index) ?? []) {
      const usual = c.observables[check.observable]!.usual
      for (let i = 0; i < n; i++) {
        let base = 0
        for (let s = 0; s < usual.length; s++) base += usual[s]! * check.shows[s * n + i]!
        for (let cause = 0; cause < c.causes.length; cause++) {
          const x = p[cause * n + i]!
          if (x / base >= 2 || base / x >= 2) moved[cause] = 1
        }
      }
    }
  })
  r.knowledge.causes.forEach((cause, index) => {
    const file = fileOf(r, cause.id)
    if (!moved[index]) {
      problems.push({
        file,
        path: '$.effects',
        what: `no check can move "${cause.id}"`,
        mend: 'Add an effect on an observable that a check looks at, or a check for one of its observables',
      })
    }
    const spoken = r.knowledge.complaints.some((x) => {
      const o = c.observables[r.lookup.observable.get(complaintObservable(x.id))!]!
      return o.table[index * 2]! > 2 * o.usual[0]!
    })
    if (!spoken) {
      problems.push({
        file,
        path: '$.complaints',
        what: `no complaint speaks for "${cause.id}"`,
        mend: 'Say which complaints such a car comes in with',
      })
    }
  })
  return problems
}

function lintOutcomes(r: Reasoner): Problem[] {
  const c = r.compiled
  const problems: Problem[] = []
  c.checks.forEach((check) => {
    const n = check.outcomes.length
    const states = check.shows.length / n
    for (let i = 0; i < n; i++) {
      let most = 0
      for (let s = 0; s < states; s++) most = Math.max(most, check.shows[s * n + i]!)
      if (most >= 0.2) continue
      problems.push({
        file: `checks/${check.id}.json`,
        path: `$.outcomes[${i}]`,
        what: `nobody would answer "${check.outcomes[i]}": no state shows it`,
        mend: 'Say which states it shows, or take it out',
      })
    }
    for (let s = 0; s < states; s++) {
      let total = 0
      for (let i = 0; i < n; i++) total += check.shows[s * n + i]!
      if (Math.abs(total - 1) > 1e-9) {
        problems.push({
          file: `checks/${check.id}.json`,
          path: '$.outcomes',
          what: `the outcomes add up to ${total}, not 1`,
          mend: 'Mend the numbers in "shows"',
        })
      }
    }
    const seen = new Map<string, string>()
    for (let i = 0; i < n; i++) {
      const column = Array.from({ length: states }, (_, s) => check.shows[s * n + i]!.toFixed(9)).join()
      const before = seen.get(column)
      if (before) {
        problems.push({
          file: `checks/${check.id}.json`,
          path: `$.outcomes[${i}]`,
          what: `"${check.outcomes[i]}" says the same as "${before}"`,
          mend: 'Make them one, or let them show different states',
        })
      }
      seen.set(column, check.outcomes[i]!)
    }
  })
  return problems
}

function lintHandsOn(r: Reasoner): Problem[] {
  const problems: Problem[] = []
  for (const check of r.knowledge.checks) {
    const handsOn = HANDS_ON.has(check.way) || (check.tools?.length ?? 0) > 0
    if (!handsOn) continue
    const say = (path: string, what: string, mend: string) =>
      problems.push({ file: `checks/${check.id}.json`, path, what, mend })
    if (!check.carState)
      say('$.carState', 'a hands-on check says nothing of the car state', 'Say what must be true of the car')
    if (!check.cautions?.length) say('$.cautions', 'a hands-on check has no caution', 'Name the cautions that apply')
    if (!check.text.how?.length) say('$.text.how', 'a hands-on check does not say how', 'Give the steps')
    if (!check.text.good) say('$.text.good', 'it does not say what good looks like', 'Say it in "good"')
    if (check.way === 'measure' && !check.tools?.length)
      say('$.tools', 'a measurement without an instrument', 'Name it')
  }
  return problems
}

function lintCustomer(r: Reasoner): Problem[] {
  const problems: Problem[] = []
  for (const check of r.knowledge.checks) {
    if (!check.who.includes('customer')) continue
    const operates =
      !['ask', 'look'].includes(check.way) ||
      (check.tools?.length ?? 0) > 0 ||
      check.carState?.key === 'on' ||
      check.carState?.wheels === 'raised' ||
      (check.carState?.lifted?.length ?? 0) > 0 ||
      (check.carState?.bridged?.length ?? 0) > 0
    if (operates) {
      problems.push({
        file: `checks/${check.id}.json`,
        path: '$.who',
        what: 'a customer would have to operate the car, open it or hold a tool',
        mend: 'Ask only what they have noticed, or what is seen from outside with the key off; else leave customers out of "who"',
      })
    }
  }
  return problems
}

function lintUnused(r: Reasoner): Problem[] {
  const k = r.knowledge
  const problems: Problem[] = []
  const used = {
    observables: new Set(k.checks.map((c) => c.observable)),
    remedies: new Set(k.causes.map((c) => c.remedy)),
    cautions: new Set([
      ...k.checks.flatMap((c) => c.cautions ?? []),
      ...k.remedies.flatMap((c) => c.cautions ?? []),
      ...k.caseRules.flatMap((x) => ('caution' in x.event.params ? [x.event.params.caution] : [])),
      ...k.caseRules
        .flatMap((x) => JSON.stringify(x.conditions).match(/acknowledged:[a-z0-9-]+/g) ?? [])
        .map((x) => x.slice(13)),
    ]),
    rootCauses: new Set([...k.causes.flatMap((c) => c.rootCauses), ...k.remedies.flatMap((c) => c.askWhyFirst ?? [])]),
  }
  const unused = (folder: string, list: readonly { id: string }[], set: ReadonlySet<unknown>, mend: string) => {
    for (const x of list) {
      if (!set.has(x.id)) problems.push({ file: `${folder}/${x.id}.json`, path: '$', what: 'nothing uses it', mend })
    }
  }
  unused('observables', k.observables, used.observables, 'Add a check that looks at it, or take it out')
  unused('remedies', k.remedies, used.remedies, 'Name it in a cause, or take it out')
  unused('cautions', k.cautions, used.cautions, 'Name it in a check, a remedy or a case rule, or take it out')
  unused(
    'root-causes',
    k.rootCauses,
    used.rootCauses,
    'Name it in a cause or in a remedy’s askWhyFirst, or take it out',
  )
  for (const c of k.complaints) {
    if (c.text.phrases.length < PHRASES) {
      problems.push({
        file: `complaints/${c.id}.json`,
        path: '$.text.phrases',
        what: `only ${c.text.phrases.length} phrases`,
        mend: `Give at least ${PHRASES}, as different people would say it`,
      })
    }
  }
  return problems
}

/** The hardest texts a customer reads, pooled, since a grade means nothing over one short line. */
function lintCustomerWords(r: Reasoner): Problem[] {
  const k = r.knowledge
  const problems: Problem[] = []
  const checks = k.checks.filter((c) => c.who.includes('customer'))
  const pools: { file: string; texts: string[] }[] = [
    {
      file: 'checks/',
      texts: checks.flatMap((c) => [
        c.text.ask,
        c.text.hint ?? '',
        ...Object.values(c.text.outcomes).flatMap((o) => (typeof o === 'string' ? [o] : [o.label, o.small])),
      ]),
    },
    { file: 'complaints/', texts: k.complaints.flatMap((c) => [c.text.plain, ...c.text.until]) },
    { file: 'causes/', texts: k.causes.map((c) => c.text.plain) },
    { file: 'cautions/', texts: k.cautions.flatMap((c) => (c.text.plain ? [c.text.plain] : [])) },
  ]
  for (const { file, texts } of pools) {
    const { grade, words } = readingGrade(texts)
    if (words >= WORDS && grade > GRADE) {
      problems.push({
        file,
        path: '$.text',
        what: `what a customer reads here is Flesch–Kincaid grade ${grade.toFixed(1)}`,
        mend: `Shorter sentences and words, to grade ${GRADE} or under`,
      })
    }
  }
  return problems
}
