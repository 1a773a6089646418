/**
 * `npm run evaluate`: simulated visits over the whole knowledge.
 *
 *   --runs N     visits a cause (default 2)
 *   --seed N     another simulated shop (default 1)
 *   --causes     also a line a cause, worst first
 *   --family F   only cars of one drive, or only causes whose id begins so
 *   --answers wiring  measured answers come from the solved circuit of each car, typed as numbers and, beside it, as words
 *   --absent N   visits with a fault that is not in the knowledge (default a tenth of all)
 *   --only       without the other orders that it is compared with
 *   --json FILE  the same as JSON
 */
import { writeFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { turnerOf } from '../../rules/conversation/turn.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'
import { seeded } from './random.ts'
import { canHave, simulateCar } from './simulated-car.ts'
import { type Summary, summarise } from './summary.ts'
import { type Chooser, ownChoice, type Visit, visit } from './visit.ts'
import { isElectrical, wireCar } from './wired-car.ts'

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '2' },
    seed: { type: 'string', default: '1' },
    causes: { type: 'boolean', default: false },
    only: { type: 'boolean', default: false },
    family: { type: 'string' },
    answers: { type: 'string', default: 'rules' },
    absent: { type: 'string' },
    json: { type: 'string' },
  },
})
const runs = Number(values.runs)
const seed = Number(values.seed)
if (!Number.isInteger(runs) || runs < 1 || !Number.isInteger(seed)) {
  console.error('--runs and --seed take whole numbers, --runs at least 1')
  process.exit(2)
}

const prepared = await prepareKnowledge(undefined, '.cache')
if (!prepared.conversation) {
  for (const p of prepared.problems) console.error(formatProblem(p))
  process.exit(1)
}
const r = new Reasoner(prepared.compiled, prepared.knowledge)
const turner = turnerOf(r)
const drives = r.knowledge.carFacts.facts['drive']?.values ?? []
const drive = values.family && drives.includes(values.family) ? values.family : undefined
/** Causes that are played: those that a car of the drive can have, or whose ids begin as asked. */
const played = r.compiled.causes
  .map((_, cause) => cause)
  .slice(0, -1)
  .filter((cause) =>
    drive ? canHave(r, cause, drive) : !values.family || r.compiled.causes[cause]!.startsWith(values.family),
  )
if (played.length === 0) {
  console.error(`--family ${values.family}: no such drive, and no cause begins so. Drives: ${drives.join(', ')}`)
  process.exit(2)
}
const wired = values.answers === 'wiring'
const NOISE = { wrong: 0.05, dontKnow: 0.1 }

/** The checks in one fixed order, the quickest first: what a printed checklist would do. */
const fixed: Chooser = (turn) => {
  const options = r.options(turn.standing, turn.situation)
  const ids = options.map((o) => r.compiled.checks[o.check]!.id)
  return ids.sort((a, b) => r.check(a)!.minutes - r.check(b)!.minutes || (a < b ? -1 : 1))[0]
}
const randomOrder =
  (random: () => number): Chooser =>
  (turn) => {
    const options = r.options(turn.standing, turn.situation)
    return options.length === 0
      ? undefined
      : r.compiled.checks[options[Math.floor(random() * options.length)]!.check]!.id
  }

async function play(
  name: string,
  chooserOf: (random: () => number) => Chooser,
  n: number,
  how: 'rules' | 'typed' | 'words' = 'rules',
  /** every which cause: orders that ask much are compared on fewer */
  every = 1,
): Promise<{ name: string; visits: Visit[] }> {
  const visits: Visit[] = []
  for (const cause of how === 'rules' ? played : played.filter((c) => isElectrical(r.compiled.causes[c]!))) {
    if (cause % every !== 0) continue
    for (let run = 0; run < n; run++) {
      // One stream a visit, so that every way of choosing meets the same cars.
      const random = seeded(seed * 1_000_003 + cause * 1009 + run)
      const car = simulateCar(r, cause, NOISE, random, drive)
      const met = how === 'rules' ? car : wireCar(r, car, NOISE, random, how === 'typed')
      visits.push(await visit(r, turner, met, 'technician', chooserOf(seeded(seed + cause * 7 + run)), true))
    }
  }
  return { name, visits }
}

/**
 * Cars with a fault that the knowledge does not have: every cause with its remedy is taken out of the reasoning, not out of
 * the car. They should end in "not one of these".
 */
async function playAbsent(n: number): Promise<{ name: string; visits: Visit[] }> {
  const visits: Visit[] = []
  const random = seeded(seed * 7919)
  for (let i = 0; i < n; i++) {
    const cause = played[Math.floor(random() * played.length)]!
    const weights = r.compiled.weights.map((w, c) => (r.compiled.remedyOf[c] === r.compiled.remedyOf[cause] ? 0 : w))
    const without = new Reasoner({ ...r.compiled, weights }, r.knowledge)
    const plain = simulateCar(r, cause, NOISE, random, drive)
    const car = wired ? wireCar(r, plain, NOISE, random, true) : plain
    visits.push(await visit(without, turnerOf(without), car, 'technician', ownChoice, true))
  }
  return { name: 'fault not in the knowledge', visits }
}

/** Customers, who know nothing of their car: how much is asked of them. What they said goes on to the technician. */
async function playCustomers(): Promise<Summary> {
  const visits: Visit[] = []
  for (const cause of played.filter((c) => c % 3 === seed % 3)) {
    const random = seeded(seed * 15_485_863 + cause * 1009)
    const car = simulateCar(r, cause, NOISE, random, drive)
    visits.push(await visit(r, turner, car, 'customer', ownChoice, false))
  }
  return summarise(visits)
}

/** Numbered siblings share the weight of one cause. */
function byFamily(visits: readonly Visit[]): Map<string, Visit[]> {
  const families = new Map<string, Visit[]>()
  for (const v of visits) {
    const family = prepared.conversation ? prepared.knowledge.familyOf.get(v.cause)! : v.cause
    families.set(family, [...(families.get(family) ?? []), v])
  }
  return families
}

const results: { name: string; visits: Visit[] }[] = []
if (wired) {
  results.push(await play('numbers typed', () => ownChoice, runs, 'typed'))
  results.push(await play('the same cars, words only', () => ownChoice, runs, 'words'))
} else results.push(await play('next check by expected cost', () => ownChoice, runs))
const absent = await playAbsent(Number(values.absent ?? Math.max(12, Math.round((played.length * runs) / 9))))
results.push(absent)
if (!values.only && !wired) {
  results.push(await play('fixed-order checklist', () => fixed, 1, 'rules', 4))
  results.push(await play('random order', randomOrder, 1, 'rules', 4))
}
const percent = (x: number) => `${(100 * x).toFixed(1)} %`
const rows = results.map(({ name, visits }) => ({ name, ...summarise(visits) }))
console.log(
  `${new Set(prepared.knowledge.familyOf.values()).size} causes (${r.compiled.causes.length - 1} with siblings), ${r.compiled.checks.length} checks; answers ${percent(NOISE.wrong)} wrong, ${percent(NOISE.dontKnow)} don't know; seed ${seed}`,
)
console.table(
  Object.fromEntries(
    rows.map((s: Summary & { name: string }) => [
      s.name,
      {
        visits: s.visits,
        'right remedy in first 2': percent(s.firstTwo),
        first: percent(s.first),
        'median checks': s.medianChecks,
        'mean minutes': s.meanMinutes.toFixed(1),
        'confidently wrong': percent(s.confidentlyWrong),
        'fixed within 3 repairs': percent(s.fixed),
        'repairs tried': s.meanRepairs.toFixed(2),
        'ends in "other"': percent(s.endsOther),
        '… before a repair': percent(s.other),
      },
    ]),
  ),
)
// The goals hold for each family, so a run over all of them shows each; what comes after has too few visits for that.
const families = results
  .slice(0, drive === undefined ? results.indexOf(absent) : 0)
  .flatMap(({ name, visits }) =>
    drives.map((d) => ({ drive: String(d), name, ...summarise(visits.filter((v) => v.drive === d)) })),
  )
if (families.length > 0) {
  console.table(
    families.map((s) => ({
      drive: s.drive,
      answers: s.name,
      visits: s.visits,
      'right remedy in first 2': percent(s.firstTwo),
      'confidently wrong': percent(s.confidentlyWrong),
      'median checks': s.medianChecks,
      'mean minutes': s.meanMinutes.toFixed(1),
    })),
  )
}
if (!wired) {
  const c = await playCustomers()
  console.log(
    `customers: ${c.visits} conversations, median ${c.medianChecks} questions, at most ${c.mostChecks}; ${percent(c.handedOver)} ended of themselves and were handed over`,
  )
}
const causes = [...byFamily(results[0]!.visits)].map(([cause, visits]) => ({ cause, ...summarise(visits) }))
causes.sort((a, b) => a.firstTwo - b.firstTwo || b.confidentlyWrong - a.confidentlyWrong)
if (values.causes) {
  for (const c of causes) {
    console.log(
      `${c.cause.padEnd(46)} first 2 ${percent(c.firstTwo).padStart(8)}  confidently wrong ${percent(c.confidentlyWrong).padStart(8)}  checks ${c.medianChecks}  minutes ${c.meanMinutes.toFixed(0)}`,
    )
  }
}
if (values.json)
  writeFileSync(values.json, `${JSON.stringify({ seed, noise: NOISE, rows, families, causes }, null, 2)}\n`)
