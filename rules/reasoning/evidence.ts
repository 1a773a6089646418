import type { CarFactName, CarFacts } from '../schema/car.ts'
import type { Knowledge, ObservableFile } from '../schema/knowledge.ts'
import type { Compiled } from './compiled.ts'
import { PACK_AT_REST, readingWeights } from './reading.ts'
import { fitsByCause, soundAt } from './wired.ts'

/** What has been learned, in order: the reasoning's own view of a case, without people or times. */
export type Learned =
  | {
      kind: 'answer'
      check: string
      outcome?: string
      value?: number
      /** components that were bridged for a test when it was answered: their own faults did not show */
      bridged?: readonly string[]
    }
  /** a complaint or a circumstance that was mentioned: `complaint.<id>`, `circumstance.<id>` */
  | { kind: 'said'; observable: string }
  | { kind: 'repaired'; remedy: string }
  /** the last repair was proved: what was complained of is cured */
  | { kind: 'proved' }

/**
 * Evidence ready to be weighed: for each observable (by index) a weight for each state, the product over the checks that
 * looked at it; the same for car facts that were asked; and the causes that a repair has done away with.
 */
export interface Evidence {
  observables: Map<number, Float64Array>
  facts: Map<number, Float64Array>
  repaired: Set<number>
  /**
   * Numbers of which the wiring says what they should be under each cause: by observable, the fit by cause (NaN where the
   * circuit does not show the cause) and the state weights of the other checks at the same observable.
   */
  wired: Map<number, { fits: Float64Array; others: Float64Array }>
  /** components that were bridged when the observable was last looked at */
  bridged: Map<number, readonly string[]>
}

/** How much a mention weighs: P(mentioned | true), P(mentioned | not true). People mention what is there, seldom else. */
const MENTIONED = [0.9, 0.012] as const
/** A repaired part whose proof failed is seldom still the cause: a bad new part, a repair badly done. Estimate. */
export const STILL_BAD = 0.005

export interface Lookup {
  observable: ReadonlyMap<string, number>
  check: ReadonlyMap<string, number>
  fact: ReadonlyMap<string, number>
  cause: ReadonlyMap<string, number>
  remedy: ReadonlyMap<string, number>
  observableFile: ReadonlyMap<string, ObservableFile>
}

export function lookupOf(c: Compiled, k: Knowledge): Lookup {
  const index = (list: readonly string[]) => new Map(list.map((id, i) => [id, i]))
  return {
    observable: index(c.observables.map((o) => o.id)),
    check: index(c.checks.map((o) => o.id)),
    fact: index(c.facts.map((f) => f.name)),
    cause: index(c.causes),
    remedy: index(c.remedies),
    observableFile: new Map(k.observables.map((o) => [o.id, o])),
  }
}

/** Pack volts at rest: as measured last, else a healthy pack's for the nominal volts (12.3 V a 12 V group), else 36 V's. */
export function packVoltsOf(learned: readonly Learned[], facts: CarFacts, k: Knowledge): number {
  return measuredPackVolts(learned, k) ?? nominalAtRest(facts)
}

/** Pack volts at rest as measured last, if they were. */
export function measuredPackVolts(learned: readonly Learned[], k: Knowledge): number | undefined {
  for (let i = learned.length - 1; i >= 0; i--) {
    const l = learned[i]!
    if (l.kind !== 'answer' || l.value === undefined) continue
    if (k.checks.find((c) => c.id === l.check)?.observable === PACK_AT_REST && l.value > 6) return l.value
  }
  return undefined
}

/**
 * What a reading at an observable is a fraction of: the pack's volts at rest; and those themselves, of the nominal ones,
 * or every pack would look as it should.
 */
export function scaleOf(observable: string, packVolts: number, facts: CarFacts): number {
  return observable === PACK_AT_REST ? nominalAtRest(facts) : packVolts
}

const nominalAtRest = (facts: CarFacts) => ((facts.packVolts ?? 36) / 12) * 12.3

export function gather(
  c: Compiled,
  k: Knowledge,
  lookup: Lookup,
  facts: CarFacts,
  learned: readonly Learned[],
): Evidence {
  const evidence: Evidence = {
    observables: new Map(),
    facts: new Map(),
    repaired: new Set(),
    wired: new Map(),
    bridged: new Map(),
  }
  const packVolts = packVoltsOf(learned, facts, k)
  const measured = measuredPackVolts(learned, k)
  // The same check asked again replaces its first answer: one look is one fact.
  const last = new Map<string, number>()
  learned.forEach((l, i) => {
    if (l.kind === 'answer') last.set(l.check, i)
  })
  learned.forEach((l, i) => {
    if (l.kind === 'repaired') {
      repair(c, k, lookup, evidence, l.remedy)
    } else if (l.kind === 'proved') {
      for (const o of [...evidence.observables.keys()]) {
        if (c.observables[o]!.id.startsWith('complaint.')) evidence.observables.delete(o)
      }
    } else if (l.kind === 'said') {
      const o = lookup.observable.get(l.observable)
      if (o !== undefined) multiply(evidence.observables, o, Float64Array.from(MENTIONED))
    } else if (last.get(l.check) === i) {
      const check = lookup.check.get(l.check)
      if (check === undefined) return
      const before = evidence.observables.get(c.checks[check]!.observable)?.slice()
      weigh(c, k, lookup, evidence, check, l, packVolts, facts)
      wire(c, k, evidence, check, l, facts, measured, before)
      if (l.bridged?.length) evidence.bridged.set(c.checks[check]!.observable, l.bridged)
    }
  })
  for (const [name, value] of Object.entries(facts)) {
    const f = lookup.fact.get(name as CarFactName)
    if (f === undefined) continue
    const known = c.facts[f]!.values.indexOf(value)
    if (known < 0) continue
    const weights = new Float64Array(c.facts[f]!.values.length)
    weights[known] = 1
    evidence.facts.set(f, weights)
  }
  return evidence
}

function weigh(
  c: Compiled,
  k: Knowledge,
  lookup: Lookup,
  evidence: Evidence,
  check: number,
  answer: Extract<Learned, { kind: 'answer' }>,
  packVolts: number,
  facts: CarFacts,
) {
  const compiled = c.checks[check]!
  if (answer.value !== undefined && compiled.observable >= 0) {
    const file = lookup.observableFile.get(c.observables[compiled.observable]!.id)
    if (file?.quantity) {
      const scale = scaleOf(file.id, packVolts, facts)
      const sound = soundAt(k.checks[check]!, facts, packVolts)
      multiply(evidence.observables, compiled.observable, readingWeights(file, answer.value, scale, sound))
      return
    }
  }
  const weights = outcomeWeights(c, check, answer.outcome)
  if (!weights) return
  if (compiled.observable >= 0) multiply(evidence.observables, compiled.observable, weights)
  else multiply(evidence.facts, compiled.fact, weights)
}

/** Keeps beside the state weights what the wiring says of a number; later checks at the observable join the others. */
function wire(
  c: Compiled,
  k: Knowledge,
  evidence: Evidence,
  check: number,
  answer: Extract<Learned, { kind: 'answer' }>,
  facts: CarFacts,
  measured: number | undefined,
  before: Float64Array | undefined,
) {
  const o = c.checks[check]!.observable
  // The circuit is given the pack's volts, so it has nothing to say of them.
  if (o < 0 || c.observables[o]!.id === PACK_AT_REST) return
  const known = evidence.wired.get(o)
  const fits =
    answer.value === undefined
      ? undefined
      : fitsByCause(k.checks[check]!, answer.value, facts, measured, c.causes, k.explained)
  if (fits) {
    evidence.wired.set(o, { fits, others: before ?? new Float64Array(c.observables[o]!.states.length).fill(1) })
  } else if (known) {
    const weights = outcomeWeights(c, check, answer.outcome)
    if (weights) known.others = known.others.map((w, i) => w * weights[i]!)
  }
}

/** P(outcome | state) for each state; undefined for "don't know", which changes nothing. */
export function outcomeWeights(c: Compiled, check: number, outcome: string | undefined): Float64Array | undefined {
  const compiled = c.checks[check]!
  const at = outcome === undefined ? -1 : compiled.outcomes.indexOf(outcome)
  if (at < 0) return undefined
  const n = compiled.outcomes.length
  const states = compiled.shows.length / n
  const weights = new Float64Array(states)
  for (let s = 0; s < states; s++) weights[s] = compiled.shows[s * n + at]!
  return weights
}

function multiply(map: Map<number, Float64Array>, at: number, weights: Float64Array) {
  const before = map.get(at)
  if (!before) map.set(at, Float64Array.from(weights))
  else for (let i = 0; i < before.length; i++) before[i]! *= weights[i]!
}

/** A repair makes what it changed unknown again. */
function repair(c: Compiled, k: Knowledge, lookup: Lookup, evidence: Evidence, remedyId: string) {
  const remedy = k.remedies.find((r) => r.id === remedyId)
  const index = lookup.remedy.get(remedyId)
  if (!remedy || index === undefined) return
  for (let cause = 0; cause < c.causes.length; cause++) if (c.remedyOf[cause] === index) evidence.repaired.add(cause)
  for (const o of [...evidence.observables.keys()]) {
    if (isStale(c, k, remedyId, o)) {
      evidence.observables.delete(o)
      evidence.wired.delete(o)
    }
  }
}

/**
 * Whether a repair makes an observable stale: its file names it, and one of the causes that it mends changes it. What was
 * complained of goes on counting until the repair is proved.
 */
export function isStale(c: Compiled, k: Knowledge, remedyId: string, observable: number): boolean {
  const remedy = k.remedies.find((r) => r.id === remedyId)
  const index = c.remedies.indexOf(remedyId)
  const o = c.observables[observable]
  if (!remedy || !o || o.id.startsWith('complaint.')) return false
  if (!remedy.stale.some((s) => (s.endsWith('*') ? o.id.startsWith(s.slice(0, -1)) : s === o.id))) return false
  const size = o.states.length
  const block = c.causes.length * size
  for (let cause = 0; cause < c.causes.length; cause++) {
    if (c.remedyOf[cause] !== index) continue
    for (let at = cause * size; at < o.table.length; at += block) {
      for (let s = 0; s < size; s++) if (Math.abs(o.table[at + s]! - o.usual[s]!) > 1e-9) return true
    }
  }
  return false
}
