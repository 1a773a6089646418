import { type Compiled, combinationIndex } from './compiled.ts'
import { type Evidence, STILL_BAD } from './evidence.ts'
import { hypothesesOf } from './hypotheses.ts'

/**
 * The causes still possible, as probabilities over hypotheses: a cause in a kind of car, where a kind is a combination of
 * the car facts that matter for that cause. An unknown fact is thus summed over, never guessed. All by + - * /, so that
 * every machine gets the same bits.
 */
export interface Standing {
  compiled: Compiled
  evidence: Evidence
  /** cause index of each hypothesis */
  causeOf: Int16Array
  /** whose rows of the tables it reads: its cause's, or for "something like c, but not c" those of c */
  likeOf: Int16Array
  /** how much of what it shows may be anything: 0 for a known cause */
  loose: Float64Array
  /** value indices of the facts that matter, for each hypothesis, in the order of compiled.applies[cause].facts */
  kindOf: number[][]
  /** P(hypothesis | evidence), adding up to 1 */
  p: Float64Array
  /** for each observable with evidence: Σ over states P(state | hypothesis) × weight of the state */
  fit: Map<number, Float64Array>
  /** P(evidence), up to the constants of the weights: for the measure of disagreement */
  evidenceP: number
  /** by observable, where each hypothesis's row of its table begins; shared by all standings of the same hypotheses */
  rows: Map<number, Int32Array>
  /** P(value) by fact, once it was asked for */
  factP: Map<number, Float64Array>
}

export function standingOf(c: Compiled, evidence: Evidence): Standing {
  const { causeOf, likeOf, loose, kindOf, prior, rows } = hypothesesOf(c, evidence.facts)
  const s: Standing = {
    compiled: c,
    evidence,
    causeOf,
    likeOf,
    loose,
    kindOf,
    p: prior.slice(),
    fit: new Map(),
    evidenceP: 1,
    rows,
    factP: new Map(),
  }
  normalise(s.p)
  const inOrder = [...evidence.observables].sort((a, b) => a[0] - b[0])
  complained(
    s,
    inOrder.filter(([o]) => isComplaint(c, o)),
  )
  if (evidence.repaired.size > 0) {
    for (let h = 0; h < s.p.length; h++) if (evidence.repaired.has(causeOf[h]!)) s.p[h]! *= STILL_BAD
    normalise(s.p)
  }
  for (const [o, weights] of inOrder) if (!isComplaint(c, o)) weigh(s, o, weights)
  return s
}

function weigh(s: Standing, o: number, weights: Float64Array): void {
  const fit = underBridge(s, o, fitOf(s, o, weights), weights)
  s.fit.set(o, fit)
  const weighed = withWiring(s, o, fit)
  for (let h = 0; h < s.p.length; h++) s.p[h]! *= weighed[h]!
  s.evidenceP *= normalise(s.p)
}

const isComplaint = (c: Compiled, o: number) => c.observables[o]!.id.startsWith('complaint.')

/** In this share of the visits what is complained of has nothing to do with the fault, or was misunderstood. Estimate. */
export const BESIDE_THE_POINT = 0.05

/**
 * Weighs what was complained of. A complaint is made by mistake in proportion to how often it is made at all: so the causes
 * that explain nothing of what was said share what is beside the point, however many they are, or the sheer number of them
 * would outweigh the few that a rare complaint speaks for, and a tingling frame would be asked how far the car goes on a
 * charge. And no complaint says whether the fault is one of ours: that stays as likely as it was.
 */
function complained(s: Standing, complaints: readonly [number, Float64Array][]): void {
  if (complaints.length === 0) return
  const { compiled: c, p, causeOf } = s
  const other = c.causes.length - 1
  const OTHER = 0
  const EXPLAINS = 1
  const BESIDE = 2
  const kind = Uint8Array.from(causeOf, (cause) => (cause === other ? OTHER : BESIDE))
  let otherBefore = 0
  for (let h = 0; h < p.length; h++) if (kind[h] === OTHER) otherBefore += p[h]!
  for (const [o, weights] of complaints) {
    weigh(s, o, weights)
    const made = fitOf(s, o, Float64Array.of(1, 0))
    const usual = c.observables[o]!.usual[0]! * 1.001
    for (let h = 0; h < p.length; h++) if (kind[h] === BESIDE && made[h]! > usual) kind[h] = EXPLAINS
  }
  const now = [0, 0, 0]
  for (let h = 0; h < p.length; h++) now[kind[h]!]! += p[h]!
  const ours = now[EXPLAINS]! + now[BESIDE]!
  if (now[EXPLAINS] === 0 || now[OTHER] === 0) return
  const beside = Math.min(now[BESIDE]! / ours, BESIDE_THE_POINT) * (1 - otherBefore)
  const wanted = [otherBefore, 1 - otherBefore - beside, beside]
  const factor = wanted.map((share, i) => (now[i]! > 0 ? share / now[i]! : 0))
  for (let h = 0; h < p.length; h++) p[h]! *= factor[kind[h]!]!
  s.evidenceP *= normalise(p)
}

/** Where each hypothesis's row of an observable's table begins. */
export function rowsOf(s: Standing, observable: number): Int32Array {
  const known = s.rows.get(observable)
  if (known) return known
  const c = s.compiled
  const o = c.observables[observable]!
  const size = o.states.length
  const rows = new Int32Array(s.causeOf.length)
  for (let h = 0; h < rows.length; h++) {
    const cause = s.likeOf[h]!
    const facts = c.applies[cause]!.facts
    // A fact that this cause does not read can take any value: its row is the same for all.
    const at = combinationIndex(c.facts, o.facts, (f) => {
      const i = facts.indexOf(f)
      return i < 0 ? 0 : s.kindOf[h]![i]!
    })
    rows[h] = (at * c.causes.length + cause) * size
  }
  s.rows.set(observable, rows)
  return rows
}

/** Σ over states P(state | hypothesis) × weight. */
export function fitOf(s: Standing, observable: number, weights: Float64Array): Float64Array {
  const rows = rowsOf(s, observable)
  const { table } = s.compiled.observables[observable]!
  const { loose } = s
  const fit = new Float64Array(rows.length)
  const size = weights.length
  const block = s.compiled.causes.length * size
  let anyAt = -1
  let anything = 0
  for (let h = 0; h < rows.length; h++) {
    const row = rows[h]!
    let sum = 0
    for (let i = 0; i < size; i++) sum += table[row + i]! * weights[i]!
    const own = loose[h]!
    if (own > 0) {
      // The last row of the same combination is what a fault may show that is like nothing in particular.
      const any = row - (row % block) + block - size
      if (any !== anyAt) {
        anyAt = any
        anything = 0
        for (let i = 0; i < size; i++) anything += table[any + i]! * weights[i]!
      }
      sum = (1 - own) * sum + own * anything
    }
    fit[h] = sum
  }
  return fit
}

/** With a part bridged its own faults do not show: a car with one of them looks sound there. */
function underBridge(s: Standing, observable: number, fit: Float64Array, weights: Float64Array): Float64Array {
  const bridged = s.evidence.bridged.get(observable)
  if (!bridged) return fit
  const { usual } = s.compiled.observables[observable]!
  const sound = usual.reduce((sum, p, i) => sum + p * weights[i]!, 0)
  return fit.map((f, h) => (bridged.includes(componentOf(s.compiled.causes[s.likeOf[h]!]!)) ? sound : f))
}

const componentOf = (cause: string) => cause.split('.')[0]!

/** The circuit’s word counts this much beside the rules’ states, where both speak: values of parts are common practice. Tuned by `npm run evaluate`. */
const WIRING_SHARE = 0.62

/** The fit with what the wiring says of a number, under each cause that the circuit shows. */
function withWiring(s: Standing, observable: number, fit: Float64Array): Float64Array {
  const wired = s.evidence.wired.get(observable)
  if (!wired) return fit
  const others = fitOf(s, observable, wired.others)
  return fit.map((f, h) => {
    const w = wired.fits[s.causeOf[h]!]!
    const hidden = s.evidence.bridged.get(observable)?.includes(componentOf(s.compiled.causes[s.likeOf[h]!]!))
    return Number.isNaN(w) || hidden ? f : (1 - WIRING_SHARE) * f + WIRING_SHARE * w * others[h]!
  })
}

/** Divides by the sum, in place, and returns the sum. */
export function normalise(p: Float64Array): number {
  let sum = 0
  for (let i = 0; i < p.length; i++) sum += p[i]!
  if (sum > 0) for (let i = 0; i < p.length; i++) p[i]! /= sum
  return sum
}

/** The same without the hypotheses that are out of the question, for what is only an estimate and wants to be quick. */
export function withoutTail(s: Standing, below: number): Standing {
  const kept: number[] = []
  for (let h = 0; h < s.p.length; h++) if (s.p[h]! >= below) kept.push(h)
  if (kept.length === s.p.length) return s
  const pick = (list: Float64Array) => Float64Array.from(kept, (h) => list[h]!)
  const p = pick(s.p)
  normalise(p)
  return {
    ...s,
    causeOf: Int16Array.from(kept, (h) => s.causeOf[h]!),
    likeOf: Int16Array.from(kept, (h) => s.likeOf[h]!),
    loose: pick(s.loose),
    kindOf: kept.map((h) => s.kindOf[h]!),
    p,
    fit: new Map([...s.fit].map(([o, fit]) => [o, pick(fit)])),
    rows: new Map(),
    factP: new Map(),
  }
}

/** P(cause), by cause index; the last is `other`. */
export function causeProbabilities(s: Standing): Float64Array {
  const p = new Float64Array(s.compiled.causes.length)
  for (let h = 0; h < s.p.length; h++) p[s.causeOf[h]!]! += s.p[h]!
  return p
}

/** P(value of a fact | all that is known), by value index. */
export function factProbabilities(s: Standing, fact: number): Float64Array {
  const known = s.factP.get(fact)
  if (known) return known
  const c = s.compiled
  const f = c.facts[fact]!
  const learned = s.evidence.facts.get(fact)
  const out = new Float64Array(f.values.length)
  for (let h = 0; h < s.p.length; h++) {
    const facts = c.applies[s.likeOf[h]!]!.facts
    const i = facts.indexOf(fact)
    if (i >= 0) {
      out[s.kindOf[h]![i]!]! += s.p[h]!
      continue
    }
    const at = combinationIndex(c.facts, f.parents, (p) => s.kindOf[h]![facts.indexOf(p)]!) * f.values.length
    let sum = 0
    for (let v = 0; v < f.values.length; v++) sum += Math.max(f.spread[at + v]!, 1e-6) * (learned ? learned[v]! : 1)
    for (let v = 0; v < f.values.length; v++) {
      out[v]! += (s.p[h]! * Math.max(f.spread[at + v]!, 1e-6) * (learned ? learned[v]! : 1)) / sum
    }
  }
  normalise(out)
  s.factP.set(fact, out)
  return out
}

/** Likeliest first, ties by id. */
export function ranked(s: Standing): { cause: number; id: string; p: number }[] {
  const p = causeProbabilities(s)
  return s.compiled.causes
    .map((id, cause) => ({ cause, id, p: p[cause]! }))
    .filter((r) => r.p > 0)
    .sort((a, b) => b.p - a.p || (a.id < b.id ? -1 : 1))
}
