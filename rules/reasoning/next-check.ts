import { combinationIndex } from './compiled.ts'
import type { Aim } from './remaining-cost.ts'
import { fitOf, normalise, type Standing, withoutTail } from './standing.ts'

/**
 * Which check next: the one after which the whole job is expected to cost least. First by value per minute, then a step of
 * look-ahead over the best few (D. Heckerman, J. S. Breese & K. Rommelse, "Decision-theoretic troubleshooting", Comm. ACM
 * 38:3 (1995) 49–57). Nothing is asked that is not worth its minutes.
 */
export interface Option {
  /** index into compiled.checks */
  check: number
  /** minutes from where the car stands now, set-up included */
  minutes: number
  /** minutes if the check at that place among the options was done just before (shared set-up); default `minutes` */
  minutesAfter?: (previous: Option) => number
}

export interface Judged {
  option: Option
  /** minutes that the answer is expected to save, its own minutes not taken off */
  saves: number
  /** saves / minutes */
  rate: number
  /** expected minutes of the whole rest, where it was looked ahead; lower is better */
  total?: number
}

export interface Choice {
  /** worth their minutes, best first */
  worth: Judged[]
  /** expected minutes if nothing more is asked */
  costNow: number
}

const LOOK_AHEAD = 8
const SECOND = 10
/** Hypotheses under this are left out of the estimate of what an answer saves. */
export const TAIL = 2e-5

/**
 * @param tail hypotheses under this are left out
 */
export function chooseNext(
  all: Standing,
  options: readonly Option[],
  aim: Aim,
  lookAhead = LOOK_AHEAD,
  tail = TAIL,
): Choice {
  const s = withoutTail(all, tail)
  const groups = groupsIn(s, aim)
  const costNow = aim.cost(groups.of(s.p), groups.ids)
  const judged: Judged[] = []
  for (const option of options) {
    const saves = costNow - expectedAfter(s, option.check, aim, groups)
    if (saves > 1e-9) judged.push({ option, saves, rate: saves / option.minutes })
  }
  judged.sort(byRate)
  const worth = judged.filter((j) => aim.worth(j.saves, j.option.minutes))
  const few = worth.slice(0, lookAhead)
  if (few.length > 1) {
    const seconds = judged.slice(0, SECOND)
    for (const j of few) j.total = j.option.minutes + lookOneFurther(s, j.option, seconds, aim, groups)
    few.sort((a, b) => a.total! - b.total! || byRate(a, b))
    worth.splice(0, few.length, ...few)
  }
  return { worth, costNow }
}

const byRate = (a: Judged, b: Judged) => b.rate - a.rate || a.option.check - b.option.check

/** The groups that the hypotheses of a standing fall into, so that nothing is done for those that are out. */
interface Groups {
  ids: Int16Array
  /** place in `ids` of each hypothesis */
  at: Int16Array
  of(p: Float64Array): Float64Array
}

function groupsIn(s: Standing, aim: Aim): Groups {
  const placeOf = new Map<number, number>()
  const at = Int16Array.from(s.causeOf, (cause) => {
    const group = aim.groupOf[cause]!
    const place = placeOf.get(group) ?? placeOf.size
    placeOf.set(group, place)
    return place
  })
  return {
    ids: Int16Array.from(placeOf.keys()),
    at,
    of(p) {
      const groups = new Float64Array(placeOf.size)
      for (let h = 0; h < p.length; h++) groups[at[h]!]! += p[h]!
      return groups
    },
  }
}

/** Σ over outcomes P(outcome) × cost of the belief after it. */
function expectedAfter(s: Standing, check: number, aim: Aim, { ids, at }: Groups): number {
  let expected = 0
  const { p } = s
  const groups = new Float64Array(ids.length)
  for (const fit of predicted(s, check)) {
    groups.fill(0)
    for (let h = 0; h < fit.length; h++) groups[at[h]!]! += p[h]! * fit[h]!
    const probability = normalise(groups)
    if (probability > 1e-9) expected += probability * aim.cost(groups, ids)
  }
  return expected
}

function lookOneFurther(s: Standing, first: Option, seconds: readonly Judged[], aim: Aim, groups: Groups): number {
  let expected = 0
  const outcomes = s.compiled.checks[first.check]!.outcomes.length
  for (let outcome = 0; outcome < outcomes; outcome++) {
    const next = branch(s, first.check, outcome)
    if (next.probability < 1e-6) continue
    let best = aim.cost(groups.of(next.standing.p), groups.ids)
    for (const { option } of seconds) {
      if (option.check === first.check) continue
      const minutes = option.minutesAfter ? option.minutesAfter(first) : option.minutes
      if (minutes >= best) continue
      const total = minutes + expectedAfter(next.standing, option.check, aim, groups)
      if (total < best) best = total
    }
    expected += next.probability * best
  }
  return expected
}

/** P(outcome | hypothesis and all that is known) for every outcome: outcome × hypothesis. */
export function predicted(s: Standing, check: number): Float64Array[] {
  return s.compiled.checks[check]!.outcomes.map((_, outcome) => predictedOutcome(s, check, outcome))
}

function predictedOutcome(s: Standing, check: number, outcome: number): Float64Array {
  const c = s.compiled.checks[check]!
  const n = c.outcomes.length
  const states = c.shows.length / n
  const known = c.observable >= 0 ? s.evidence.observables.get(c.observable) : undefined
  const weights = new Float64Array(states)
  for (let i = 0; i < states; i++) weights[i] = c.shows[i * n + outcome]! * (known ? known[i]! : 1)
  if (c.observable < 0) return factFit(s, c.fact, weights)
  const fit = fitOf(s, c.observable, weights)
  const before = s.fit.get(c.observable)
  if (before) for (let h = 0; h < fit.length; h++) fit[h]! /= before[h]!
  return fit
}

function factFit(s: Standing, fact: number, weights: Float64Array): Float64Array {
  const c = s.compiled
  const f = c.facts[fact]!
  const learned = s.evidence.facts.get(fact)
  const fit = new Float64Array(s.p.length)
  for (let h = 0; h < fit.length; h++) {
    const facts = c.applies[s.likeOf[h]!]!.facts
    const i = facts.indexOf(fact)
    if (i >= 0) {
      fit[h] = weights[s.kindOf[h]![i]!]!
      continue
    }
    const at = combinationIndex(c.facts, f.parents, (p) => s.kindOf[h]![facts.indexOf(p)]!) * f.values.length
    let total = 0
    let sum = 0
    for (let v = 0; v < weights.length; v++) {
      const w = Math.max(f.spread[at + v]!, 1e-6) * (learned ? learned[v]! : 1)
      total += w
      sum += w * weights[v]!
    }
    fit[h] = total > 0 ? sum / total : 0
  }
  return fit
}

/** The standing after one more answer, without summing everything again. */
export function branch(s: Standing, check: number, outcome: number): { standing: Standing; probability: number } {
  const c = s.compiled.checks[check]!
  const fit = predictedOutcome(s, check, outcome)
  const p = new Float64Array(s.p.length)
  for (let h = 0; h < p.length; h++) p[h] = s.p[h]! * fit[h]!
  const probability = normalise(p)
  const n = c.outcomes.length
  const column = Float64Array.from({ length: c.shows.length / n }, (_, i) => c.shows[i * n + outcome]!)
  const evidence = { ...s.evidence }
  const next: Standing = { ...s, p, evidence, fit: s.fit, factP: new Map() }
  const at = c.observable >= 0 ? c.observable : c.fact
  const map = new Map(c.observable >= 0 ? s.evidence.observables : s.evidence.facts)
  const before = map.get(at)
  const weights = before ? Float64Array.from(column, (w, i) => w * before[i]!) : column
  map.set(at, weights)
  if (c.observable >= 0) {
    evidence.observables = map
    next.fit = new Map(s.fit).set(at, fitOf(s, at, weights))
  } else evidence.facts = map
  return { standing: next, probability }
}
