import { type Disagreement, disagreementOf } from '../reasoning/disagreement.ts'
import { engineOf } from '../reasoning/engine.ts'
import type { Learned } from '../reasoning/evidence.ts'
import type { Choice } from '../reasoning/next-check.ts'
import type { Reasoner, Situation } from '../reasoning/reasoner.ts'
import { factProbabilities, ranked, type Standing } from '../reasoning/standing.ts'
import { factsOf, type Scalar } from '../schema/conditions.ts'
import type { CaseRuleFile, CautionFile, CheckFile, Knowledge } from '../schema/knowledge.ts'
import { type CaseState, circumstancesOf, complaintsOf, doneOf, learnedOf } from './case-state.ts'
import type { Caller } from './types.ts'

/** A customer is asked no more than this. */
export const CUSTOMER_QUESTIONS = 5
/** What each minute of a customer's first question has to save the shop; of the second one twice as much. Estimate. */
const CUSTOMER_PAYS = 3.5
/** How likely a case rule over unknown car facts has to hold. */
const STOP_FROM = 0.15
export const HOLDS_FROM = 0.3
/** One remedy with this much of the standing is found; more checks would only polish the number. */
const FOUND = 0.95

/**
 * Once a finding is sure enough, its repair and proof are the next test: a check has to save this many times its minutes, or
 * be the second look before the part is bought (confirm.ts).
 */
const SURE_PAYS = 3

export type Current =
  | { kind: 'complaint' }
  | {
      kind: 'check' | 'again' | 'proof'
      check: CheckFile
      picked: boolean
      /** asked to confirm what is all but found */
      confirms?: boolean
    }

/** Everything that a turn is made of, for one viewer. */
export interface Turn {
  state: CaseState
  caller: Caller
  asker: 'customer' | 'technician'
  learned: Learned[]
  standing: Standing
  ranked: { cause: number; id: string; p: number }[]
  /** probability by remedy id, likeliest first; `undefined` = none of ours */
  remedies: { remedy: string | undefined; p: number }[]
  situation: Situation
  choice: Choice
  current: Current | null
  why?: 'stop' | 'caution' | 'found' | 'proved' | 'closed' | 'handover' | 'nothing'
  /** full stops in force */
  stops: CautionFile[]
  /** what holds the current check back, and what applies besides; gravest first */
  cautions: CautionFile[]
  reminders: CautionFile[]
  handOver: string[]
  disagreement?: Disagreement & { confirmed: boolean }
  /** asking is over for this viewer: a finding is due */
  over: boolean
}

export type Turner = (state: CaseState, caller: Caller) => Promise<Turn>

export function turnerOf(r: Reasoner): Turner {
  const k = r.knowledge
  const run = engineOf(k.caseRules.map((rule) => ({ conditions: rule.conditions, event: rule })))
  const caution = new Map(k.cautions.map((c) => [c.id, c]))
  const carFactsRead = [...new Set(k.caseRules.flatMap((rule) => factsOf(rule.conditions)))].filter((f) =>
    r.lookup.fact.has(f),
  )

  async function make(state: CaseState, caller: Caller): Promise<Turn> {
    const asker = caller.role === 'customer' ? 'customer' : 'technician'
    const learned = learnedOf(state)
    const standing = r.stand(state.facts, learned)
    const order = ranked(standing)
    const caseFacts = factsOfCase(k, r, state, caller, order)
    const done = doneOf(state, k)
    const events = await rulesThatHold(state, standing, caseFacts)
    const powerLast = Math.max(0, ...events.map((e) => (e.event.type === 'power-last' ? e.event.params.minutes : 0)))
    const situation: Situation = { asker, facts: state.facts, learned, done, setUp: state.setUp, caseFacts, powerLast }
    const acknowledged = state.acknowledged

    const stops = events.filter((e) => e.event.type === 'stop').map((e) => caution.get(cautionOf(e))!)
    // A technician who has seen to the danger goes on; a customer is never led past a stop.
    const stopping = stops.filter((c) => asker === 'customer' || !acknowledged.has(c.id))
    const standingCautions = events.filter((e) => e.event.type === 'caution').map((e) => caution.get(cautionOf(e))!)
    const reminders = events.filter((e) => e.event.type === 'remind').map((e) => caution.get(cautionOf(e))!)
    const handOver = events.flatMap((e) => (e.event.type === 'hand-over' ? [e.event.params.why] : []))

    const remedies = remediesOf(r, order)
    const choice = r.choose(standing, situation)
    const turn: Turn = {
      state,
      caller,
      asker,
      learned,
      standing,
      ranked: order,
      remedies,
      situation,
      choice,
      current: null,
      stops: stopping,
      cautions: [],
      reminders,
      handOver,
      over: false,
    }
    const disagreement = disagreementOf(r, state.facts, learned, standing)
    if (disagreement) {
      const given = state.given.find((g) => g.check === disagreement.check)
      turn.disagreement = { ...disagreement, confirmed: given?.twice ?? false }
    }
    decide(turn)
    const checkCautions =
      turn.current && turn.current.kind !== 'complaint'
        ? (turn.current.check.cautions ?? []).map((id) => caution.get(id)!)
        : []
    const known = { ...caseFacts, ...state.facts }
    const forThisCar = (c: CautionFile) => !c.when || r.holdsWithProbability(standing, c.when, known) >= HOLDS_FROM
    turn.cautions = gravestFirst([...stopping, ...[...standingCautions, ...checkCautions].filter(forThisCar)])
    return turn
  }

  function decide(turn: Turn) {
    const { state, choice } = turn
    if (state.status === 'closed') {
      turn.why = 'closed'
      return
    }
    if (turn.stops.length > 0) {
      turn.why = 'stop'
      turn.over = turn.asker === 'customer'
      return
    }
    const picked = state.picked ? r.check(state.picked) : undefined
    if (picked?.who.includes(turn.asker)) {
      turn.current = { kind: 'check', check: picked, picked: true }
      return
    }
    if (turn.asker === 'technician' && state.unproved) {
      const remedy = k.remedies.find((x) => x.id === state.unproved)!
      turn.current = { kind: 'proof', check: r.check(remedy.proof.check)!, picked: false }
      return
    }
    if (turn.asker === 'technician' && state.proved) {
      turn.why = 'proved'
      return
    }
    const answered = state.given.filter((g) => !/^(complaint|circumstance)\./.test(g.check))
    if (complaintsOf(state).length === 0 && answered.length === 0 && state.repaired.length === 0) {
      turn.current = { kind: 'complaint' }
      return
    }
    const asked = answered.length + answered.filter((g) => g.twice).length
    if (turn.asker === 'customer' && (asked >= CUSTOMER_QUESTIONS || turn.handOver.length > 0)) {
      turn.why = 'handover'
      turn.over = true
      return
    }
    if (turn.disagreement && !turn.disagreement.confirmed) {
      const check = r.check(turn.disagreement.check)!
      if (check.who.includes(turn.asker)) {
        turn.current = { kind: 'again', check, picked: false }
        return
      }
    }
    const best = choice.worth[0]
    if (turn.asker === 'customer' && best && best.saves < CUSTOMER_PAYS * (asked + 1) * best.option.minutes) {
      // Patience wears thin: each further question has to save the shop more for every minute that it takes.
      turn.why = 'handover'
      turn.over = true
      return
    }
    const first = turn.remedies[0]
    const sure = first?.remedy !== undefined && first.p >= k.settings.sureEnough ? first.remedy : undefined
    const found = sure !== undefined && first!.p >= FOUND
    if (best && !found && (sure === undefined || best.saves >= SURE_PAYS * best.option.minutes)) {
      turn.current = { kind: 'check', check: r.check(r.compiled.checks[best.option.check]!.id)!, picked: false }
      return
    }
    const confirm =
      turn.asker === 'technician' && sure !== undefined && !found
        ? r.confirm(turn.standing, turn.situation, sure)
        : undefined
    if (confirm) {
      turn.current = { kind: 'check', check: r.check(confirm)!, picked: false, confirms: true }
      return
    }
    turn.over = true
    turn.why = turn.asker === 'customer' ? 'handover' : sure === undefined ? 'nothing' : 'found'
  }

  /**
   * A case rule that reads unknown car facts holds where it is likely enough to hold: a full stop sooner than a caution,
   * and neither for every car, or nobody reads them any more.
   */
  async function rulesThatHold(state: CaseState, s: Standing, facts: Record<string, unknown>): Promise<CaseRuleFile[]> {
    const open = carFactsRead.filter((f) => (state.facts as Record<string, unknown>)[f] === undefined)
    let kinds: { facts: Record<string, Scalar>; p: number }[] = [{ facts: {}, p: 1 }]
    for (const name of open) {
      const fact = r.lookup.fact.get(name)!
      const p = factProbabilities(s, fact)
      kinds = kinds
        .flatMap((kind) =>
          r.compiled.facts[fact]!.values.map((v, i) => ({ facts: { ...kind.facts, [name]: v }, p: kind.p * p[i]! })),
        )
        .filter((kind) => kind.p > 0.01)
        .sort((a, b) => b.p - a.p)
        .slice(0, 32)
    }
    const found = new Map<string, { rule: CaseRuleFile; p: number }>()
    for (const kind of kinds) {
      for (const rule of await run({ ...facts, ...state.facts, ...kind.facts })) {
        found.set(rule.id, { rule, p: (found.get(rule.id)?.p ?? 0) + kind.p })
      }
    }
    return [...found.values()]
      .filter(({ rule, p }) => p >= (rule.event.type === 'stop' ? STOP_FROM : HOLDS_FROM))
      .map(({ rule }) => rule)
      .sort((a, b) => (a.id < b.id ? -1 : 1))
  }

  return make
}

const cautionOf = (rule: CaseRuleFile): string => ('caution' in rule.event.params ? rule.event.params.caution : '')

const GRAVITY = { DANGER: 0, WARNING: 1, CAUTION: 2, NOTICE: 3 } as const

function gravestFirst(cautions: CautionFile[]): CautionFile[] {
  const once = [...new Map(cautions.map((c) => [c.id, c])).values()]
  return once.sort((a, b) => GRAVITY[a.signal] - GRAVITY[b.signal] || (a.id < b.id ? -1 : 1))
}

/** The outcome that a number stands for: the one that shows the state which the reading fits best. */
export function outcomeOfReading(r: Reasoner, check: CheckFile, weights: Float64Array): string | undefined {
  const file = check.observable ? r.lookup.observableFile.get(check.observable) : undefined
  if (!file) return undefined
  let best = 0
  weights.forEach((w, i) => {
    if (w > weights[best]!) best = i
  })
  const state = file.states[best]!
  return check.outcomes.find((o) => (Array.isArray(o.shows) ? o.shows.includes(state) : (o.shows[state] ?? 0) !== 0))
    ?.id
}

function factsOfCase(
  k: Knowledge,
  r: Reasoner,
  state: CaseState,
  caller: Caller,
  order: Turn['ranked'],
): Record<string, unknown> {
  const facts: Record<string, unknown> = {
    role: caller.role,
    likeliest: order[0]?.id ?? '',
    sureness: order[0]?.p ?? 0,
    bridgedCount: state.setUp.carState.bridged?.length ?? 0,
    liftedCount: state.setUp.carState.lifted?.length ?? 0,
    answerCount: state.given.length,
    repairedCount: state.repaired.length,
  }
  const complaints = new Set(complaintsOf(state))
  const circumstances = new Set(circumstancesOf(state))
  for (const c of k.complaints) facts[`complaint:${c.id}`] = complaints.has(c.id)
  for (const c of k.circumstances) facts[`circumstance:${c.id}`] = circumstances.has(c.id)
  for (const c of k.cautions) facts[`acknowledged:${c.id}`] = state.acknowledged.has(c.id)
  for (const [name, value] of Object.entries(state.setUp.carState)) facts[`carState:${name}`] = value
  for (const c of k.checks) facts[`answer:${c.id}`] = 'not-answered'
  for (const g of state.given)
    if (!g.stale && r.check(g.check)) facts[`answer:${g.check}`] = g.outcome ?? 'not-answered'
  return facts
}

function remediesOf(r: Reasoner, order: Turn['ranked']): Turn['remedies'] {
  const p = new Map<string | undefined, number>()
  for (const row of order) {
    const at = r.compiled.remedyOf[row.cause]!
    const remedy = at < 0 ? undefined : r.compiled.remedies[at]
    p.set(remedy, (p.get(remedy) ?? 0) + row.p)
  }
  return [...p]
    .map(([remedy, q]) => ({ remedy, p: q }))
    .sort((a, b) => b.p - a.p || ((a.remedy ?? '') < (b.remedy ?? '') ? -1 : 1))
}
