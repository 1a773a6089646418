import type { Learned } from './evidence.ts'
import type { Reasoner } from './reasoner.ts'
import { fitOf, normalise, rowsOf, type Standing } from './standing.ts'

/** An answer that a cause would seldom give: its probability is this small a part of the likeliest outcome's. */
const CONTRARY = 0.2
/** Causes that have this much of the standing are heard. */
const HEARD = 0.03

type Answered = Extract<Learned, { kind: 'answer' }>

export interface Disagreement {
  /** the check whose answer, taken back, mends most */
  check: string
  /** pairs of causes that together explain the answers better than any one, best first; worked out when asked for */
  pairs(): Pair[]
}

export interface Pair {
  causes: [string, string]
  p: number
}

/**
 * Whether the answers disagree with every single cause: each cause that has a standing worth naming is contradicted by at
 * least one answer. Then the answer is named whose retraction makes the others likeliest.
 */
export function disagreementOf(
  r: Reasoner,
  facts: Parameters<Reasoner['stand']>[0],
  learned: readonly Learned[],
  s: Standing,
): Disagreement | undefined {
  const answers = learned.filter(
    (l): l is Answered => l.kind === 'answer' && r.weightsOf(l, facts, learned) !== undefined,
  )
  if (answers.length < 2) return undefined
  const contrary = answers.map((a) => contraryTo(r, facts, learned, s, a))
  const other = s.compiled.causes.length - 1
  let heard = 0
  for (let h = 0; h < s.p.length; h++) {
    if (s.p[h]! < HEARD || s.causeOf[h] === other) continue
    heard++
    if (!contrary.some((c) => c?.[h])) return undefined
  }
  if (heard === 0 && !answers.some((_, i) => contrary[i]?.some(Boolean))) return undefined
  let best: { check: string; mends: number } | undefined
  for (const a of answers) {
    const standing = withoutAnswer(r, facts, learned, s, a)
    const mends = standing.evidenceP / Math.max(1e-300, s.evidenceP)
    // Each answer taken away makes the rest likelier; what counts is by how much more than a fitting answer would.
    const usual = likeliestOutcome(r, standing, a.check)
    if (!best || mends * usual > best.mends) best = { check: a.check, mends: mends * usual }
  }
  if (!best || best.mends < 2) return undefined
  return { check: best.check, pairs: () => pairsOf(s) }
}

/**
 * The standing had this not been answered. Observables are independent given the cause, so it is enough to weigh the one
 * anew, unless other readings hang on the answer: fractions of the pack's volts, numbers weighed by the wiring.
 */
function withoutAnswer(
  r: Reasoner,
  facts: Parameters<Reasoner['stand']>[0],
  learned: readonly Learned[],
  s: Standing,
  a: Answered,
): Standing {
  const rest = learned.filter((l) => l !== a)
  const check = r.compiled.checks[r.lookup.check.get(a.check)!]!
  const o = check.observable
  const plain = o >= 0 && a.value === undefined && !s.evidence.wired.has(o) && !s.evidence.bridged.has(o)
  if (!plain) return r.stand(facts, rest)
  const before = s.fit.get(o)
  // Made stale by a repair since.
  if (!before) return s
  const weights = r.gather(facts, rest).observables.get(o)
  const after = weights && fitOf(s, o, weights)
  const p = new Float64Array(s.p.length)
  for (let h = 0; h < p.length; h++) p[h] = (s.p[h]! / Math.max(before[h]!, 1e-300)) * (after ? after[h]! : 1)
  return { ...s, evidenceP: s.evidenceP * normalise(p), p }
}

function contraryTo(
  r: Reasoner,
  facts: Parameters<Reasoner['stand']>[0],
  learned: readonly Learned[],
  s: Standing,
  a: Answered,
): boolean[] | undefined {
  const weights = r.weightsOf(a, facts, learned)
  const check = r.compiled.checks[r.lookup.check.get(a.check)!]!
  if (!weights || check.observable < 0) return undefined
  const fit = fitOf(s, check.observable, weights)
  if (a.value !== undefined) {
    const top = Math.max(...weights)
    return Array.from(fit, (f) => f < CONTRARY * top)
  }
  const n = check.outcomes.length
  const best = new Float64Array(fit.length)
  for (let o = 0; o < n; o++) {
    const column = Float64Array.from(weights, (_, i) => check.shows[i * n + o]!)
    fitOf(s, check.observable, column).forEach((f, h) => {
      if (f > best[h]!) best[h] = f
    })
  }
  return Array.from(fit, (f, h) => f < CONTRARY * best[h]!)
}

/** P(the likeliest outcome of a check). */
function likeliestOutcome(r: Reasoner, s: Standing, checkId: string): number {
  const check = r.compiled.checks[r.lookup.check.get(checkId)!]!
  if (check.observable < 0) return 1
  const n = check.outcomes.length
  let best = 0
  for (let o = 0; o < n; o++) {
    const column = Float64Array.from({ length: check.shows.length / n }, (_, i) => check.shows[i * n + o]!)
    const fit = fitOf(s, check.observable, column)
    let p = 0
    for (let h = 0; h < fit.length; h++) p += s.p[h]! * fit[h]!
    if (p > best) best = p
  }
  return best
}

/** Two faults at once are this much rarer than one. Estimate. */
const TWO_FAULTS = 0.03

/**
 * Pairs of causes: an observable that one of them changes shows what that one does; where both change it, either may show.
 * Probabilities are relative to all single causes (`other` left out) and all pairs together.
 */
function pairsOf(s: Standing): Pair[] {
  const c = s.compiled
  const other = c.causes.length - 1
  // The likeliest kind of car for each cause stands for it.
  const best = new Map<number, number>()
  for (let h = 0; h < s.p.length; h++) {
    const cause = s.causeOf[h]!
    const at = best.get(cause)
    if (cause !== other && (at === undefined || s.p[h]! > s.p[at]!)) best.set(cause, h)
  }
  const list = [...best].filter(([cause]) => !s.evidence.repaired.has(cause))
  const observables = [...s.evidence.observables]
  const fits = observables.map(([o, weights]) => {
    const fit = fitOf(s, o, weights)
    const rows = rowsOf(s, o)
    const { table, usual } = c.observables[o]!
    const base = usual.reduce((sum, p, i) => sum + p * weights[i]!, 0)
    return list.map(([, h]) => {
      const changed = usual.some((p, i) => Math.abs(table[rows[h]! + i]! - p) > 1e-9)
      return { fit: fit[h]!, changed, base }
    })
  })
  const weight = list.map(([cause]) => c.weights[cause]!)
  const totalWeight = weight.reduce((a, b) => a + b, 0)
  let single = 0
  for (let i = 0; i < list.length; i++) {
    let p = weight[i]! / totalWeight
    for (const f of fits) p *= f[i]!.fit
    single += p
  }
  const pairs: Pair[] = []
  let together = single
  for (let a = 0; a < list.length; a++) {
    for (let b = a + 1; b < list.length; b++) {
      let p = (TWO_FAULTS * 2 * weight[a]! * weight[b]!) / (totalWeight * totalWeight)
      for (const f of fits) {
        const x = f[a]!
        const y = f[b]!
        p *= x.changed && y.changed ? (x.fit + y.fit) / 2 : x.changed ? x.fit : y.changed ? y.fit : x.base
      }
      together += p
      pairs.push({ causes: [c.causes[list[a]![0]]!, c.causes[list[b]![0]]!], p })
    }
  }
  return pairs
    .map((x) => ({ causes: x.causes, p: together > 0 ? x.p / together : 0 }))
    .sort((x, y) => y.p - x.p || (x.causes.join() < y.causes.join() ? -1 : 1))
    .filter((x) => x.p >= 0.1)
    .slice(0, 3)
}
