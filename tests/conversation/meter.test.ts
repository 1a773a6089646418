import { execFile } from 'node:child_process'
import { resolve } from 'node:path'
import { promisify } from 'node:util'
import { beforeAll, describe, expect, it } from 'vitest'
import { foldCase } from '../../rules/conversation/case-state.ts'
import { meterBody } from '../../rules/conversation/compose/meter.ts'
import { namesOf } from '../../rules/conversation/compose/names.ts'
import { textsOf } from '../../rules/conversation/texts/index.ts'
import { turnerOf } from '../../rules/conversation/turn.ts'
import type { Conversation } from '../../rules/conversation/types.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { netlistFor } from '../../rules/reasoning/wired.ts'
import { type CarFacts, DRIVES } from '../../rules/schema/car.ts'
import { nodesOf } from '../../rules/wiring/netlist.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'
import { type Of, realConversation, Talk } from './talk.ts'

let conversation: Conversation
beforeAll(async () => {
  conversation = await realConversation()
})

const CONTACTORS: CarFacts = { drive: 'resistor-contactor', packVolts: 36 }

async function meter(talk: Talk, question: object): Promise<Of<'meter'>['meter']> {
  const { replies, events } = await talk.raw({ type: 'meter', ...question })
  expect(events).toEqual([])
  expect(replies.map((m) => m.type)).toEqual(['meter'])
  return (replies[0] as Of<'meter'>).meter
}

async function refusal(talk: Talk, question: object): Promise<Of<'refused'>> {
  const { replies, events } = await talk.raw({ type: 'meter', ...question })
  expect(events).toEqual([])
  expect(replies.map((m) => m.type)).toEqual(['refused'])
  return replies[0] as Of<'refused'>
}

/** The same question put to the command, as somebody types it. */
async function command(
  ...args: string[]
): Promise<{ instrument: string; prediction: { kind: string; mean?: number } }[]> {
  const root = resolve(import.meta.dirname, '../..')
  const run = promisify(execFile)
  const { stdout } = await run(process.execPath, ['--import', 'tsx', 'server/commands/meter.ts', '--json', ...args], {
    cwd: root,
  })
  return stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
}

describe('what the meter shows', () => {
  it('is, number for number, what the command says: sound and with a fault, alive and dead', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    for (const [cause, flags] of [
      [undefined, []],
      ['contactor-3.contacts-open', ['--cause', 'contactor-3.contacts-open']],
    ] as const) {
      const asked = { red: 'bus-bar', black: 'pack-negative', step: 3, ...(cause ? { cause } : {}) }
      const shown = await meter(talk, asked)
      const points = ['--red', 'bus-bar', '--black', 'pack-negative', ...flags]
      const said = [...(await command(...points, '--step', '3')), ...(await command(...points, '--key', 'off'))]
      expect(shown.readings.map((r) => r.instrument)).toEqual(said.map((r) => r.instrument))
      for (const [i, r] of shown.readings.entries()) {
        expect(r.kind, r.instrument).toBe(said[i]!.prediction.kind)
        expect(r.mean, r.instrument).toEqual(said[i]!.prediction.mean)
      }
    }
  })

  it('takes places by what they are called, and says the fault and the sound car side by side', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    const shown = await meter(talk, { red: 'Bus bar', black: 'motor A2', step: 3, cause: 'contactor-3.contacts-open' })
    expect(shown.red).toEqual({ id: 'bus-bar', name: 'bus bar' })
    const volts = shown.readings.find((r) => r.instrument === 'voltmeter')!
    expect(volts.said).toMatch(/^25\.\d+\sV/)
    expect(volts.sound).toMatch(/^31\.\d+\sV/)
    expect(shown.stateSay).toContain('click 3')
  })

  it('goes by the check, and by the pack as it was measured', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    await talk.send({
      type: 'answer',
      answers: [{ check: 'measure-pack-volts-at-rest', reading: { value: 34.2, unit: 'V' } }],
    })
    const shown = await meter(talk, { check: 'measure-bus-bar-volts.step-3' })
    expect(shown).toMatchObject({ check: 'measure-bus-bar-volts.step-3', circuit: 'resistor-contactor' })
    expect([shown.red.id, shown.black.id]).toEqual(['bus-bar', 'pack-negative'])
    const full = await meter(new Talk(conversation, 'technician', CONTACTORS), {
      check: 'measure-bus-bar-volts.step-3',
    })
    const mean = (m: typeof shown) => m.readings.find((r) => r.instrument === 'voltmeter')!.mean!
    expect(mean(shown)).toBeLessThan(mean(full) - 1)
  })

  it('has the plot of its row with what was read, and words for every drawing', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    await talk.send({
      type: 'answer',
      answers: [2, 3, 4, 5].map((n) => ({
        check: `measure-bus-bar-volts.step-${n}`,
        reading: { value: [25.3, 25.4, 33.4, 35.5][n - 2]!, unit: 'V' },
      })),
    })
    const { pictures } = await meter(talk, { check: 'measure-bus-bar-volts.step-4' })
    const [plot] = pictures.steps
    expect(plot!.rows.map((r) => r.measured)).toEqual([25.3, 25.4, 33.4, 35.5])
    expect(plot!.rows.every((r) => r.expected!.low < r.expected!.mean && r.expected!.mean < r.expected!.high)).toBe(
      true,
    )
    expect(plot!.say[1]).toMatch(/Click 3 should read .* Measured 25\.4 V, below that/)
    const circuit = pictures.circuit!
    expect(circuit.say.join(' ')).toMatch(/Red probe on bus bar: 3\d(\.\d)? V against pack negative/)
    expect(circuit.say.join(' ')).toMatch(/Main current runs through: .*contactor 4, contacts/)
    // Contactor 3 is what these readings say; it is marked, in the drawing and in words.
    expect(circuit.parts.find((p) => p.key === 'contactor-3.contacts')!.suspect).toBe(true)
    expect(circuit.say.at(-1)).toMatch(/suspect: .*contactor 3/)
    expect(circuit.parts.every((p) => p.name.length > 1) && circuit.nodes.every((n) => n.name.length > 1)).toBe(true)
    expect(
      circuit.nodes
        .map((n) => n.name)
        .filter((n) => /[a-z]-[a-z]|\./.test(n.replace(/field-bypass|bus-bar|motor-side/g, ''))),
    ).toEqual([])
  })

  it.each([
    [{ red: 'busbar', black: 'pack-negative' }, 'unknown-place', /“busbar”.*red probe/, /bus bar/],
    [{ red: 'bus-bar', black: 'motor A9' }, 'unknown-place', /“motor A9”.*black probe/, /motor A1; motor A2/],
    [{ circuit: 'ac-controller' }, 'unknown-circuit', /not a circuit of this car/, /resistor-contactor/],
    [
      { red: 'bus-bar', cause: 'contactor-9.contacts-open' },
      'unknown-cause',
      /contactor-9/,
      /contactor-2\.contacts-open/,
    ],
    [{ red: 'bus-bar', carState: { wheels: 'flying' } }, 'unknown-state', /wheels/, /raised/],
    [{ red: 'bus-bar', carState: { lever: 'up' } }, 'unknown-state', /lever/, /direction/],
    [{ check: 'measure-nothing' }, 'unknown-check', /measure-nothing/, /list/],
  ])('%j is refused: what was wrong, and what there is instead', async (question, code, text, mend) => {
    const refused = await refusal(new Talk(conversation, 'technician', CONTACTORS), question)
    expect(refused.code).toBe(code)
    expect(refused.text).toMatch(text)
    expect(refused.mend).toMatch(mend)
  })

  it('needs to know the drive', async () => {
    const refused = await refusal(new Talk(conversation, 'technician', {}), {})
    expect(refused).toMatchObject({ code: 'unknown-circuit', field: 'circuit' })
    expect(refused.text).toMatch(/drive is not known/)
    const shown = await meter(new Talk(conversation, 'technician', {}), { circuit: 'transformer-timer' })
    expect(shown.taken).toMatch(/36 V/)
  })

  it('is for technicians and dealers, on a closed case too', async () => {
    const customer = await refusal(new Talk(conversation, 'customer', CONTACTORS), {})
    expect(customer.code).toBe('not-your-role')
    const talk = new Talk(conversation, 'dealer', CONTACTORS)
    talk.events = [...talk.events, { at: talk.outside.now, by: 'dealer', cause: 'm', type: 'closed', seq: 2 }]
    expect((await meter(talk, { red: 'bus-bar' })).circuit).toBe('resistor-contactor')
  })

  it('shows every check that has points, in the cars that have its circuit', async () => {
    const prepared = await prepareKnowledge(undefined, '.cache')
    if (!prepared.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
    const r = new Reasoner(prepared.compiled, prepared.knowledge)
    const names = namesOf(prepared.knowledge, textsOf('en'), 'en')
    const cars: CarFacts[] = [
      ...DRIVES.map((drive) => ({ drive, packVolts: 48 }) as const),
      ...(['transformer-automatic', 'high-frequency'] as const).map(
        (charger) => ({ drive: 'ac-controller', charger }) as const,
      ),
      { drive: 'resistor-sliding', charger: 'transformer-timer', packVolts: 36 },
    ]
    const bad: string[] = []
    const shown = new Set<string>()
    for (const facts of cars) {
      const talk = new Talk(conversation, 'technician', facts)
      const turn = await turnerOf(r)(foldCase(talk.record, r), talk.caller)
      for (const check of prepared.knowledge.checks) {
        if (!check.probes || (check.circuit === 'charger') !== (facts.charger !== undefined)) continue
        // Where a car has no such point it is looked at from the pack's ends; that is the same for all of them.
        const nodes = netlistFor(check, facts)?.parts.flatMap(nodesOf) ?? []
        if (!nodes.includes(check.probes.red)) continue
        shown.add(check.id)
        const made = meterBody(r, turn, names, { check: check.id })
        if ('refuse' in made) bad.push(`${JSON.stringify(facts)} ${check.id}: ${made.refuse.text}`)
        else if (made.meter.readings.length < 2) bad.push(`${check.id}: no readings`)
      }
    }
    expect(bad).toEqual([])
    expect(prepared.knowledge.checks.filter((c) => c.probes && !shown.has(c.id)).map((c) => c.id)).toEqual([])
  }, 240_000)
})

describe('blocks', () => {
  it('are answered by their volts, judged by the handbook, and drawn', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    const volts = [6.31, 6.3, 5.2, 6.29, 6.3, 6.32]
    await talk.send({ type: 'answer', answers: [{ check: 'measure-block-volts', blocks: volts }] })
    expect(talk.events.find((e) => e.type === 'answered')).toMatchObject({ outcome: 'one-low', blocks: volts })
    const { pictures } = await meter(talk, { red: 'bus-bar' })
    expect(pictures.blocks!.bars.map((b) => b.low)).toEqual([false, false, true, false, false, false])
    expect(pictures.blocks!.say.join(' ')).toMatch(/Block 3: 5\.2 V, below the others/)
  })

  it('are refused where the check is another, or a block cannot read that', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    const other = await talk.raw({ type: 'answer', answers: [{ check: 'measure-pack-volts-at-rest', blocks: [6, 6] }] })
    expect(other.replies[0]).toMatchObject({ type: 'refused', code: 'no-reading' })
    const high = await talk.raw({
      type: 'answer',
      answers: [{ check: 'measure-block-volts', blocks: [6.3, 6.3, 36.3, 6.3, 6.3, 6.3] }],
    })
    expect(high.replies[0]).toMatchObject({ type: 'refused', code: 'out-of-range', field: 'answers[0].blocks[2]' })
  })
})

async function picked(talk: Talk): Promise<Of<'ask'>> {
  await talk.send({ type: 'pick', check: 'measure-bus-bar-volts.step-3' })
  return (await talk.acknowledgeAll()).of('ask')
}

describe('what good looks like', () => {
  it('names no other car’s volts where the wiring names this one’s', async () => {
    const talk = new Talk(conversation, 'technician', { ...CONTACTORS, packVolts: 48 })
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    const { ask } = await picked(talk)
    expect(ask!.reading!.expected!.low).toBeGreaterThan(36)
    expect(ask!.good ?? '').not.toMatch(/36 V|48 V/)
    const unknown = new Talk(conversation, 'technician', { drive: 'resistor-contactor' })
    await unknown.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    expect((await picked(unknown)).ask!.good).toMatch(/36 V car/)
  })
})
