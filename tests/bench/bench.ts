/**
 * `npm run bench`: what a turn costs, and what compiling the rules saves, side by side in one run.
 *
 *   --json FILE  the same as JSON
 */
import { writeFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { Bench } from 'tinybench'
import { createUnderstanding } from '../../rules/conversation/words/index.ts'
import type { StoredEvent } from '../../rules/protocol/index.ts'
import { compile } from '../../rules/reasoning/compile.ts'
import { engineOf } from '../../rules/reasoning/engine.ts'
import { engineOf as evaluatorOf } from '../../rules/reasoning/evaluator.ts'
import type { Learned } from '../../rules/reasoning/evidence.ts'
import { pack, unpack } from '../../rules/reasoning/packed.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { observableRules } from '../../rules/reasoning/rules.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'
import { wiringBench } from '../wiring/bench.ts'

const { values } = parseArgs({ options: { json: { type: 'string' } } })
const prepared = await prepareKnowledge()
if (!prepared.conversation) {
  for (const p of prepared.problems) console.error(formatProblem(p))
  process.exit(1)
}
const { knowledge, compiled, conversation } = prepared
const r = new Reasoner(compiled, knowledge)
const technician = { role: 'technician' as const }
const outside = { now: '2026-01-01T00:00:00.000Z', newId: () => 'id' }

/** A conversation some answers in, as the one that is measured. */
async function halfWay() {
  const events: StoredEvent[] = conversation
    .open({
      shop: 'demo',
      language: 'en',
      code: 'A1-000',
      facts: { drive: 'resistor-contactor', packVolts: 36 },
      caller: technician,
      messageId: 'm0',
      outside,
    })
    .map((e, i) => ({ ...e, seq: i + 1 }))
  const send = async (message: Record<string, unknown>) => {
    const result = await conversation.step(
      { id: 'case', events, words: {} },
      technician,
      { v: 1, id: `m${events.length}`, ...message } as Parameters<typeof conversation.step>[2],
      outside,
    )
    for (const e of result.events) events.push({ ...e, seq: events.length + 1 })
    return result
  }
  let { replies } = await send({ type: 'say', complaints: ['jerks-on-acceleration'] })
  for (let i = 0; i < 12; i++) {
    const caution = replies.find((m) => m.type === 'caution')
    const held = caution?.type === 'caution' ? caution.cautions.filter((c) => c.acknowledge && !c.acknowledged) : []
    const ask = replies.find((m) => m.type === 'ask')
    if (held.length > 0) ({ replies } = await send({ type: 'acknowledge', caution: held[0]!.id }))
    else if (ask?.type === 'ask' && ask.ask) {
      ;({ replies } = await send({
        type: 'answer',
        answers: [{ check: ask.ask.check, outcome: ask.ask.outcomes[0]!.id }],
      }))
    } else break
  }
  return events
}

const events = await halfWay()
const record = { id: 'case', events, words: {} }
const learned: Learned[] = events.flatMap((e): Learned[] =>
  e.type === 'answered' ? [{ kind: 'answer', check: e.check, outcome: e.outcome }] : [],
)
const facts = { drive: 'resistor-contactor', packVolts: 36 } as const
const understand = createUnderstanding(knowledge, 'en')
const rules = observableRules(knowledge).filter((o) => o.rules.length > 0)
const engines = rules.map((o) => engineOf(o.rules))
const carFacts = Object.fromEntries(compiled.facts.map((f) => [f.name, f.values[0]]))
const message = { v: 1, id: 'next', type: 'tell', text: 'note' } as const

const caseRules = knowledge.caseRules.map((rule) => ({ conditions: rule.conditions, event: rule.id }))
const [byEngine, byEvaluator] = [engineOf(caseRules), evaluatorOf(caseRules)]
const packed = pack(compiled)
const text = JSON.stringify(knowledge)

const bench = new Bench({ time: 600, warmupTime: 150 })
bench
  .add('standing, car facts known', () => {
    r.stand(facts, learned)
  })
  .add('standing, nothing known of the car', () => {
    r.stand({}, learned)
  })
  .add('a whole turn: step of one message, all replies', async () => {
    await conversation.step(record, technician, message, outside)
  })
  .add('understanding one sentence', () => {
    understand('it jerks about halfway down the pedal since it got wet')
  })
  .add('every likelihood by the rules engine (what compiling saves a turn)', async () => {
    for (const [i, o] of rules.entries()) for (const state of o.states) await engines[i]!({ ...carFacts, state })
  })
bench
  .add('the case rules once, by the rules engine (server)', () => byEngine(carFacts))
  .add('the case rules once, by the evaluator (local mode)', () => byEvaluator(carFacts))
  .add('local mode: the tables unpacked', () => {
    unpack(packed)
  })
  .add('local mode: the knowledge read', () => {
    JSON.parse(text)
  })
await bench.run()

const started = performance.now()
await compile(knowledge, 'bench')
const compileMs = performance.now() - started

const rows = bench.tasks.map((task) => {
  const result = task.result
  const ms = result && 'latency' in result ? result.latency : undefined
  return { name: task.name, medianMs: ms?.p50 ?? Number.NaN, p99Ms: ms?.p99 ?? Number.NaN }
})
const median = (name: string) => rows.find((x) => x.name.startsWith(name))!.medianMs
const ratio = median('every likelihood') / median('standing, car facts known')
console.table(
  Object.fromEntries(rows.map((x) => [x.name, { 'median ms': x.medianMs.toFixed(3), 'p99 ms': x.p99Ms.toFixed(3) }])),
)
console.log(`compiling the whole knowledge once: ${compileMs.toFixed(0)} ms`)
console.log(
  `standing from compiled tables is ${ratio.toFixed(0)} times as fast as the same likelihoods by the rules engine`,
)

// The circuit solver, and ngspice on the very same circuits, in this run.
const wiring = await wiringBench(100)
const largest = wiring.reduce((a, b) => (b.unknowns > a.unknowns ? b : a))
console.table(
  Object.fromEntries(
    wiring.map((w) => [
      w.family,
      {
        unknowns: w.unknowns,
        'median ms': w.solve.toFixed(3),
        'ngspice ms': w.ngspice.toFixed(3),
        'times as fast': w.timesFaster.toFixed(1),
      },
    ]),
  ),
)
console.log(
  `a solution of the largest circuit (${largest.family}, ${largest.unknowns} unknowns): ${largest.solve.toFixed(3)} ms median, ${largest.timesFaster.toFixed(1)} times as fast as ngspice on it`,
)
if (values.json) writeFileSync(values.json, `${JSON.stringify({ rows, compileMs, ratio, wiring }, null, 2)}\n`)
