/**
 * `npm run contrary`: what the rules hold to be all but impossible and the circuit shows all the same. lint:rules compares the
 * two on one car of each kind; here on cars whose parts and pack are drawn, as `npm run evaluate -- --answers wiring` has them.
 *
 *   --runs N     cars a cause (default 4)
 *   --seed N     other cars (default 1)
 *   --family F   only cars of one drive
 *   --typed      numbers instead of words
 */
import { parseArgs } from 'node:util'
import { combinationIndex } from '../../rules/reasoning/compiled.ts'
import { mayHold } from '../../rules/reasoning/condition.ts'
import type { Learned } from '../../rules/reasoning/evidence.ts'
import { PACK_AT_REST } from '../../rules/reasoning/reading.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'
import { seeded } from './random.ts'
import { type Answer, canHave, type SimulatedCar, simulateCar } from './simulated-car.ts'
import { isElectrical, wireCar } from './wired-car.ts'

/** Below this share of the best fit an answer all but rules its own cause out. */
const CONTRARY = 0.12
/** Cars of a cause that may show it before it is named: each part has its tails. */
const STRAY = 1

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '4' },
    seed: { type: 'string', default: '1' },
    family: { type: 'string' },
    typed: { type: 'boolean', default: false },
  },
})
const runs = Number(values.runs)
const seed = Number(values.seed)
const prepared = await prepareKnowledge(undefined, '.cache')
if (!prepared.conversation) {
  for (const p of prepared.problems) console.error(formatProblem(p))
  process.exit(1)
}
const r = new Reasoner(prepared.compiled, prepared.knowledge)
const drives = (r.knowledge.carFacts.facts['drive']?.values ?? []).map(String)
if (values.family !== undefined && !drives.includes(values.family)) {
  console.error(`--family takes one of ${drives.join(', ')}`)
  process.exit(2)
}
if (!Number.isInteger(runs) || runs < 1 || !Number.isInteger(seed)) {
  console.error('--runs and --seed take whole numbers, --runs at least 1')
  process.exit(2)
}

const NOT_MEASURED: Answer = { outcome: 'dont-know' }
const quiet = { wrong: 0, dontKnow: 0 }

/** P(what was answered | the car's own cause), over the best that any state gives. */
function fitOf(cause: number, car: SimulatedCar, check: string, answer: Answer, learned: readonly Learned[]): number {
  const c = r.compiled
  const o = c.observables[r.lookup.observable.get(r.check(check)!.observable!)!]!
  const given = { kind: 'answer' as const, check, outcome: answer.outcome, value: answer.reading?.value }
  const weights = r.weightsOf(given, car.facts, learned)
  if (!weights) return 1
  const facts: Readonly<Record<string, unknown>> = car.facts
  const at = combinationIndex(c.facts, o.facts, (f) =>
    Math.max(0, c.facts[f]!.values.indexOf(facts[c.facts[f]!.name] as never)),
  )
  const row = (at * c.causes.length + cause) * o.states.length
  let fit = 0
  for (let s = 0; s < weights.length; s++) fit += o.table[row + s]! * weights[s]!
  return fit / Math.max(...weights)
}

let pairs = 0
let named = 0
for (const drive of values.family ? [values.family] : drives) {
  for (const [cause, id] of r.compiled.causes.entries()) {
    if (id === 'other' || !canHave(r, cause, drive) || !isElectrical(id)) continue
    const cars = Array.from({ length: runs }, (_, run) => {
      const random = seeded((seed + run) * 1_000_003 + cause * 1009)
      const plain = simulateCar(r, cause, quiet, random, drive)
      return wireCar(r, { ...plain, answer: () => NOT_MEASURED }, quiet, random, values.typed)
    })
    for (const check of r.knowledge.checks) {
      if (!check.probes || !check.observable || check.observable === PACK_AT_REST) continue
      const shown = cars.flatMap((car) => {
        const answer = mayHold(check.when, car.facts) ? car.answer(check.id) : NOT_MEASURED
        return answer === NOT_MEASURED ? [] : [{ car, answer }]
      })
      if (shown.length === 0) continue
      pairs++
      const contrary = shown.filter(({ car, answer }) => {
        const atRest = car.answer('measure-pack-volts-at-rest').reading?.value
        const learned: Learned[] =
          atRest === undefined ? [] : [{ kind: 'answer', check: 'measure-pack-volts-at-rest', value: atRest }]
        return fitOf(cause, car, check.id, answer, learned) < CONTRARY
      })
      if (contrary.length <= STRAY) continue
      named++
      const said = contrary.map(({ answer: a }) => a.outcome ?? `${a.reading!.value.toFixed(1)} ${a.reading!.unit}`)
      console.log(
        `${drive}  ${id}  ${check.id}: ${contrary.length} of ${shown.length} (${[...new Set(said)].join(', ')})`,
      )
    }
  }
}
console.log(`${pairs} pairs of cause and check, ${named} contrary in more than ${STRAY} of ${runs} cars`)
