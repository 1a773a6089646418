import type { CarFacts } from '../schema/car.ts'
import { type Condition, factsOf, type Scalar } from '../schema/conditions.ts'
import type { CheckFile, Knowledge } from '../schema/knowledge.ts'
import type { Compiled } from './compiled.ts'
import { type Facts, holds } from './condition.ts'
import { confirming } from './confirm.ts'
import {
  type Evidence,
  gather,
  type Learned,
  type Lookup,
  lookupOf,
  outcomeWeights,
  packVoltsOf,
  scaleOf,
} from './evidence.ts'
import { type Choice, chooseNext, type Option } from './next-check.ts'
import { readingWeights, type Sound } from './reading.ts'
import { type Aim, repairAim } from './remaining-cost.ts'
import { after, type SetUp, setUpMinutes } from './set-up.ts'
import { factProbabilities, type Standing, standingOf } from './standing.ts'
import { soundAt } from './wired.ts'

export type Asker = 'customer' | 'technician'

/** What a turn of asking depends on, beside what was learned. */
export interface Situation {
  asker: Asker
  facts: CarFacts
  learned: readonly Learned[]
  /** checks answered, "don't know" included: they are not asked again */
  done: ReadonlySet<string>
  setUp: SetUp
  /** facts of the whole case that a check's `when` may read: answer:<check>, carState:<name>, acknowledged:<caution>, … */
  caseFacts: Facts
  /** extra minutes of a check that puts power to the car: while a danger lasts, what can be seen cold comes first */
  powerLast?: number
}

/** A check is asked only where the car is at least this likely to have what it looks at. */
const APPLIES = 0.5

/**
 * A customer is asked about what their car most likely has; to rule out a hundred far-fetched causes at once is cheap, and
 * makes no sense to somebody who has just said that it jerks.
 */
const CUSTOMER_TAIL = 0.004

const putsPower = (check: CheckFile) =>
  check.way !== 'ask' &&
  check.way !== 'look' &&
  (check.carState?.key === 'on' || check.carState?.charger === 'plugged-in' || check.way === 'try')

/** Standing and choice over one knowledge: what the conversation and the evaluation both call. */
export class Reasoner {
  readonly lookup: Lookup
  readonly aim: Aim
  private readonly checkFile: ReadonlyMap<string, CheckFile>
  private readonly factsRead = new WeakMap<object, string[]>()

  constructor(
    readonly compiled: Compiled,
    readonly knowledge: Knowledge,
  ) {
    this.lookup = lookupOf(compiled, knowledge)
    this.aim = repairAim(compiled, knowledge)
    this.checkFile = new Map(knowledge.checks.map((c) => [c.id, c]))
  }

  check(id: string): CheckFile | undefined {
    return this.checkFile.get(id)
  }

  stand(facts: CarFacts, learned: readonly Learned[]): Standing {
    return standingOf(this.compiled, this.gather(facts, learned))
  }

  gather(facts: CarFacts, learned: readonly Learned[]): Evidence {
    return gather(this.compiled, this.knowledge, this.lookup, facts, learned)
  }

  packVolts(facts: CarFacts, learned: readonly Learned[]): number {
    return packVoltsOf(learned, facts, this.knowledge)
  }

  /** What readings at an observable are fractions of, volts. */
  scale(observable: string, facts: CarFacts, learned: readonly Learned[]): number {
    return scaleOf(observable, this.packVolts(facts, learned), facts)
  }

  /** What this car reads at a check with nothing wrong, if its wiring says a number. */
  sound(check: CheckFile, facts: CarFacts, learned: readonly Learned[]): Sound | undefined {
    return soundAt(check, facts, this.packVolts(facts, learned))
  }

  /** The weight of each state that an answer gives; undefined where it says nothing. */
  weightsOf(
    a: Extract<Learned, { kind: 'answer' }>,
    facts: CarFacts,
    learned: readonly Learned[],
  ): Float64Array | undefined {
    const check = this.lookup.check.get(a.check)
    if (check === undefined) return undefined
    const observable = this.compiled.checks[check]!.observable
    const file = observable < 0 ? undefined : this.lookup.observableFile.get(this.compiled.observables[observable]!.id)
    if (a.value !== undefined && file?.quantity) {
      const sound = this.sound(this.knowledge.checks[check]!, facts, learned)
      return readingWeights(file, a.value, this.scale(file.id, facts, learned), sound)
    }
    return outcomeWeights(this.compiled, check, a.outcome)
  }

  private factsReadBy(when: Condition): string[] {
    const known = this.factsRead.get(when)
    if (known) return known
    const read = [...new Set(factsOf(when))]
    this.factsRead.set(when, read)
    return read
  }

  /** How probable it is that this car is one that the check's `when` is true of. */
  appliesTo(s: Standing, check: CheckFile, situation: Pick<Situation, 'facts' | 'caseFacts'>): number {
    return check.when ? this.holdsWithProbability(s, check.when, { ...situation.caseFacts, ...situation.facts }) : 1
  }

  /** How probable it is that a condition holds, unknown car facts by the standing. */
  holdsWithProbability(s: Standing, when: Condition, known: Facts): number {
    const open = this.factsReadBy(when).filter((f) => !(f in known) && this.lookup.fact.has(f))
    if (open.length === 0) return holds(when, known) ? 1 : 0
    // Known facts behind, the open ones in front: nothing is copied.
    const given: Record<string, Scalar> = Object.create(known)
    let total = 0
    const visit = (i: number, p: number) => {
      if (p < 1e-4) return
      if (i === open.length) {
        if (holds(when, given)) total += p
        return
      }
      const fact = this.lookup.fact.get(open[i]!)!
      const values = this.compiled.facts[fact]!.values
      const probabilities = factProbabilities(s, fact)
      values.forEach((v, n) => {
        given[open[i]!] = v
        visit(i + 1, p * probabilities[n]!)
      })
    }
    visit(0, 1)
    return total
  }

  /** The checks that may be asked now, with their minutes. */
  options(s: Standing, situation: Situation): Option[] {
    const options: Option[] = []
    const known = { ...situation.caseFacts, ...situation.facts }
    this.compiled.checks.forEach((compiled, index) => {
      const check = this.checkFile.get(compiled.id)!
      if (!check.who.includes(situation.asker)) return
      if (situation.done.has(check.id)) return
      if (check.fact && (situation.facts as Record<string, unknown>)[check.fact] !== undefined) return
      if (check.when && this.holdsWithProbability(s, check.when, known) < APPLIES) return
      const extra = putsPower(check) ? (situation.powerLast ?? 0) : 0
      options.push({
        check: index,
        minutes: check.minutes + extra + setUpMinutes(this.knowledge, situation.setUp, check),
        minutesAfter: (previous) => {
          const first = this.checkFile.get(this.compiled.checks[previous.check]!.id)!
          return check.minutes + extra + setUpMinutes(this.knowledge, after(situation.setUp, first), check)
        },
      })
    })
    return options
  }

  choose(s: Standing, situation: Situation, lookAhead?: number): Choice {
    // A customer is asked few things: what is plainly worth most comes first, and no question that only pays with a next.
    if (situation.asker === 'customer') return chooseNext(s, this.options(s, situation), this.aim, 0, CUSTOMER_TAIL)
    return chooseNext(s, this.options(s, situation), this.aim, lookAhead)
  }

  /** The second look before a likely repair, if there is one worth the name. */
  confirm(s: Standing, situation: Situation, remedy: string): string | undefined {
    const index = this.lookup.remedy.get(remedy)
    const option = confirming(s, this.options(s, situation), (cause) => this.compiled.remedyOf[cause] === index)
    return option && this.compiled.checks[option.check]!.id
  }

  /** The same among a few checks only, by index: for a rough look at what may come after. */
  chooseAmong(s: Standing, checks: readonly number[], setUp: SetUp): Choice {
    const options = checks.map((check) => {
      const file = this.checkFile.get(this.compiled.checks[check]!.id)!
      return { check, minutes: file.minutes + setUpMinutes(this.knowledge, setUp, file) }
    })
    return chooseNext(s, options, this.aim, 0)
  }
}
