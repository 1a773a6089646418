import type { CarFacts } from '../../schema/car.ts'
import { type Condition, factsOf, type Scalar } from '../../schema/conditions.ts'
import type { CauseFile, CheckFile, ObservableFile } from '../../schema/knowledge.ts'
import type { Problem } from '../../schema/problem.ts'
import { conducts } from '../../wiring/instruments/diode-test.ts'
import type { Prediction } from '../../wiring/prediction.ts'
import { combinationIndex } from '../compiled.ts'
import { mayHold } from '../condition.ts'
import { speaksOf } from '../explained.ts'
import { readingWeights, type Sound } from '../reading.ts'
import type { Reasoner } from '../reasoner.ts'
import { netlistFor, predictionOf, soundAt } from '../wired.ts'
import { type Unchanged, unchangedSince } from './unchanged.ts'

/** Knowledge and circuit disagree where the states that the circuit shows have less than this in the knowledge. */
const AGREE = 0.2

/** Volts per 12 V of nominal of a pack at rest, charged. */
const REST = 12.3

export interface Disagreement {
  cause: string
  check: string
  /** the state the circuit shows, and the likeliest state by the rules */
  circuit: string
  rules: string
  /** the car: drive, nominal volts and, for a charger's check, the charger */
  car: string
}

/**
 * Every check with two probes, for every cause that the circuit can show and for a sound car: what the rules say against
 * what the solved circuit shows; in cars of every drive and of every number of volts, and with every charger.
 *
 * @param since knowledge that has been looked at: what says the same in it is passed over, and what it explains is not missed
 */
export function wiringDisagreements(
  r: Reasoner,
  since?: Reasoner,
): {
  compared: number
  disagreements: Disagreement[]
  unused: string[]
} {
  const k = r.knowledge
  const valuesOf = (fact: string) => k.carFacts.facts[fact]?.values ?? []
  const cars = valuesOf('drive').flatMap((drive) =>
    valuesOf('packVolts').map((packVolts): Record<string, Scalar> => ({ drive, packVolts })),
  )
  const atCharger = cars.flatMap((car) => valuesOf('charger').map((charger) => ({ ...car, charger })))
  const used = new Set<string>()
  const disagreements: Disagreement[] = []
  let compared = 0
  const named = new Set<string>()
  const unchanged: Unchanged = since ? unchangedSince(r, since) : () => false
  const checks = k.checks.flatMap((check) => {
    const file = check.observable ? r.lookup.observableFile.get(check.observable) : undefined
    return file && check.probes ? [{ check, file }] : []
  })
  const compare = (
    car: Record<string, Scalar>,
    cause: CauseFile | undefined,
    check: CheckFile,
    file: ObservableFile,
  ) => {
    const facts = factsFor(r, car, [check.when, cause?.when])
    if (!facts || !netlistFor(check, facts)) return
    const packVolts = ((facts.packVolts ?? 36) / 12) * REST
    const prediction = predictionOf(check, facts, packVolts, cause?.id)
    const weights = prediction && shown(prediction, file, packVolts, soundAt(check, facts, packVolts))
    if (!weights) return
    compared++
    const said = spread(r, check, cause?.id, facts)
    const fit = said.reduce((sum, p, i) => sum + p * weights[i]!, 0)
    if (fit >= AGREE) return
    const explained = k.explained.filter((e) => speaksOf(e, cause?.id, check.id))
    for (const e of explained) used.add(e.id)
    if (explained.length > 0) return
    const names = Object.values(car).join(', ')
    const one = `${check.id} ${cause?.id} ${check.circuit === 'charger' ? car['charger'] : names}`
    // A charger does not care what it charges: said once.
    if (named.has(one)) return
    named.add(one)
    disagreements.push({
      cause: cause?.id ?? 'nothing wrong',
      check: check.id,
      circuit: file.states[largest(weights)]!,
      rules: file.states[largest(said)]!,
      car: names,
    })
  }
  // Car by car and cause by cause, so that each is solved once for all checks in the same car state.
  for (const [all, circuit] of [
    [cars, 'car'],
    [atCharger, 'charger'],
  ] as const) {
    const pairs = [undefined, ...k.causes].map((cause) => ({
      cause,
      at: checks.filter(
        ({ check }) => (check.circuit === 'charger') === (circuit === 'charger') && !unchanged(check, cause?.id),
      ),
    }))
    for (const car of all) {
      for (const { cause, at } of pairs) for (const { check, file } of at) compare(car, cause, check, file)
    }
  }
  const place = new Map(k.checks.map((c, i) => [c.id, i]))
  disagreements.sort((x, y) => place.get(x.check)! - place.get(y.check)!)
  const known = new Set(since?.knowledge.explained.map((e) => e.id))
  const unused = k.explained.map((e) => e.id).filter((id) => !used.has(id) && !known.has(id))
  return { compared, disagreements, unused }
}

export function lintWiring(r: Reasoner, since?: Reasoner): Problem[] {
  const { disagreements, unused } = wiringDisagreements(r, since)
  return [
    ...disagreements.map((d) => ({
      file: `causes/${d.cause}.json`,
      path: '$.effects',
      what: `on a car of ${d.car}: ${d.check} shows "${d.circuit}" by the circuit, "${d.rules}" by the rules`,
      mend: 'Mend the effect or the netlist; where both are right, say why in explained/',
    })),
    ...unused.map((id) => ({
      file: `explained/${id}.json`,
      path: '$',
      what: 'it explains a disagreement that is not there',
      mend: 'Take it out',
    })),
  ]
}

/** The plainest car with the fixed facts for which the conditions hold: few fitted extras, likeliest values first. */
function factsFor(
  r: Reasoner,
  fixed: Record<string, Scalar>,
  conditions: (Condition | undefined)[],
): CarFacts | undefined {
  const base: Record<string, Scalar> = { fieldBypass: false, mainFuse: true, runTow: true, ...fixed }
  const open = [...new Set(conditions.flatMap(factsOf))].filter((f) => !(f in fixed) && r.knowledge.carFacts.facts[f])
  const visit = (i: number, facts: Record<string, Scalar>): Record<string, Scalar> | undefined => {
    if (i === open.length) return conditions.every((c) => mayHold(c, facts)) ? facts : undefined
    const { values, weights } = r.knowledge.carFacts.facts[open[i]!]!
    const usual = base[open[i]!]
    const order = values
      .map((v, n) => ({ v, w: v === usual ? Number.POSITIVE_INFINITY : weights[n]! }))
      .sort((a, b) => b.w - a.w)
    for (const { v } of order) {
      const found = visit(i + 1, { ...facts, [open[i]!]: v })
      if (found) return found
    }
    return undefined
  }
  return visit(0, base) as CarFacts | undefined
}

/** P(state | cause) by the rules, in that car. */
function spread(r: Reasoner, check: CheckFile, cause: string | undefined, facts: CarFacts): number[] {
  const c = r.compiled
  const o = c.observables[r.lookup.observable.get(check.observable!)!]!
  if (cause === undefined) return [...o.usual]
  const at = combinationIndex(c.facts, o.facts, (f) =>
    Math.max(0, c.facts[f]!.values.indexOf((facts as Record<string, Scalar>)[c.facts[f]!.name]!)),
  )
  const row = (at * c.causes.length + r.lookup.cause.get(cause)!) * o.states.length
  return [...o.table.subarray(row, row + o.states.length)]
}

/** How well each state goes with what the circuit shows; undefined where they have no words in common. */
export function shown(p: Prediction, o: ObservableFile, packVolts: number, sound?: Sound): number[] | undefined {
  const only = (...states: string[]) =>
    states.some((s) => o.states.includes(s)) ? o.states.map((s) => (states.includes(s) ? 1 : 0)) : undefined
  switch (p.kind) {
    case 'lamp':
      // Between dark and lit a lamp is what the beholder calls it.
      if (p.brightness === 'off') return only('dark')
      if (p.brightness === 'dim') return only('dim', 'dark')
      return only('lit', 'bright', ...(p.brightness === 'part' ? ['dim'] : []))
    case 'number':
      if (o.quantity) return [...readingWeights(o, p.mean, packVolts, sound)]
      return p.unit === 'Ω' ? (p.mean < 1 ? only('closed', 'as-it-should') : only('open')) : undefined
    case 'diode': {
      const said = conducts(p)
      return said && only(said)
    }
    case 'over-range':
      return only('open')
    case 'floating':
      return only('none', 'small', 'dark')
    default:
      return undefined
  }
}

function largest(list: ArrayLike<number>): number {
  let best = 0
  for (let i = 1; i < list.length; i++) if (list[i]! > list[best]!) best = i
  return best
}
