import type { Reading } from '../../rules/protocol/index.ts'
import { combinationIndex, combinationValues } from '../../rules/reasoning/compiled.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import { draw } from './random.ts'

/** How simulated people answer. Not told to the reasoning. */
export interface Noise {
  wrong: number
  dontKnow: number
}

/** An outcome id, "dont-know", or a number as it was read. */
export interface Answer {
  outcome?: string
  reading?: Reading
}

/** A car with one fault, and somebody who answers about it: the same check always gets the same answer. */
export interface SimulatedCar {
  cause: string
  /** as the technician would write them down at intake */
  facts: CarFacts
  complaint: string
  /** what an observable is, by the rules: the id of its state */
  state(observable: string): string
  /** @param sure without mistakes: a repair's proof is looked at until it is plain */
  answer(check: string, sure?: boolean): Answer
}

/** `cause` an index of the compiled causes. Facts are drawn among the cars that can have it. */
export function simulateCar(
  r: Reasoner,
  cause: number,
  noise: Noise,
  random: () => number,
  drive?: string,
): SimulatedCar {
  const c = r.compiled
  const values = drawFacts(r, cause, random, drive)
  const facts = Object.fromEntries(c.facts.map((f, i) => [f.name, f.values[values[i]!]!])) as CarFacts
  const states = new Map<number, number>()
  const stateOf = (observable: number) => {
    const known = states.get(observable)
    if (known !== undefined) return known
    const o = c.observables[observable]!
    const at = combinationIndex(c.facts, o.facts, (f) => values[f]!)
    const row = (at * c.causes.length + cause) * o.states.length
    const state = draw(o.table.subarray(row, row + o.states.length), random)
    states.set(observable, state)
    return state
  }
  const said = r.knowledge.complaints.map((x) => {
    const o = c.observables[r.lookup.observable.get(`complaint.${x.id}`)!]!
    const p = o.table[cause * 2]!
    return p > o.usual[0]! ? p : p * 0.05
  })
  const complaint = r.knowledge.complaints[draw(said, random)]!.id
  const answers = new Map<string, Answer>()
  return {
    cause: c.causes[cause]!,
    facts,
    complaint,
    state: (id) => c.observables[r.lookup.observable.get(id)!]!.states[stateOf(r.lookup.observable.get(id)!)]!,
    answer(id, sure) {
      const known = answers.get(id)
      if (known !== undefined && !sure) return known
      const check = c.checks[r.lookup.check.get(id)!]!
      const n = check.outcomes.length
      const state = check.observable >= 0 ? stateOf(check.observable) : values[check.fact]!
      let honest = 0
      for (let o = 0; o < n; o++) if (check.shows[state * n + o]! > check.shows[state * n + honest]!) honest = o
      if (sure) return { outcome: check.outcomes[honest]! }
      const chance = random()
      let answer: Answer = { outcome: check.outcomes[honest]! }
      if (chance < noise.dontKnow) answer = { outcome: 'dont-know' }
      else if (chance < noise.dontKnow + noise.wrong) {
        const others = check.outcomes.filter((_, o) => o !== honest)
        answer = { outcome: others[Math.floor(random() * others.length)]! }
      }
      answers.set(id, answer)
      return answer
    },
  }
}

function drawFacts(r: Reasoner, cause: number, random: () => number, drive?: string): number[] {
  const c = r.compiled
  const { facts, yes } = c.applies[cause]!
  const driveFact = drive === undefined ? -1 : r.lookup.fact.get('drive')!
  const driveValue = driveFact < 0 ? -1 : c.facts[driveFact]!.values.indexOf(drive!)
  // Drawn fact by fact, parents first, until the car can have the cause; a cause that no car has would be a lint error.
  // Where such a car is all but unheard of, what the cause needs is set first.
  for (let tries = 0; tries < 4_000; tries++) {
    const values: number[] = new Array(c.facts.length).fill(-1)
    if (tries >= 2_000) {
      const possible = [...yes.keys()].filter((i) => {
        const at = facts.indexOf(driveFact)
        return yes[i] && (at < 0 || combinationValues(c.facts, facts, i)[at] === driveValue)
      })
      const set = combinationValues(c.facts, facts, possible[Math.floor(random() * possible.length)]!)
      facts.forEach((f, i) => {
        values[f] = set[i]!
      })
    }
    const set = (f: number): void => {
      if (values[f]! >= 0) return
      for (const p of c.facts[f]!.parents) set(p)
      const fact = c.facts[f]!
      const at = combinationIndex(c.facts, fact.parents, (p) => values[p]!) * fact.values.length
      values[f] = draw(fact.spread.subarray(at, at + fact.values.length), random)
    }
    if (driveFact >= 0) values[driveFact] = driveValue
    for (let f = 0; f < c.facts.length; f++) set(f)
    if (yes[combinationIndex(c.facts, facts, (f) => values[f]!)]) return values
  }
  throw new Error(`no car was found that can have ${c.causes[cause]}`)
}

/** Whether some car of this drive can have the cause. */
export function canHave(r: Reasoner, cause: number, drive: string): boolean {
  const c = r.compiled
  const { facts, yes } = c.applies[cause]!
  const at = facts.indexOf(r.lookup.fact.get('drive')!)
  if (at < 0) return true
  for (let i = 0; i < yes.length; i++) {
    if (yes[i] && c.facts[facts[at]!]!.values[combinationValues(c.facts, facts, i)[at]!] === drive) return true
  }
  return false
}
