import { beforeEach, describe, expect, it } from 'vitest'
import type { AskBody, CautionBody, ServerMessage } from '../../rules/protocol/index.ts'
import { Teller } from '../../server/commands/teller.ts'
import { readFacts, readState, readTyped } from '../../server/commands/typed.ts'

const envelope = { v: 1 as const, case: 'c', seq: 3 }
const check: AskBody = {
  check: 'look-at-lamp',
  kind: 'check',
  way: 'look',
  title: 'Does the lamp light?',
  how: ['Clip on pack negative'],
  reason: 'one minute',
  minutes: 1,
  setUpMinutes: 0,
  setUp: [],
  tools: ['test-lamp'],
  outcomes: [{ id: 'yes', label: 'Yes' }],
  cautions: [],
  carState: {},
  picked: false,
  others: [{ check: 'listen-for-click', title: 'A click?', minutes: 2 }],
}
const ask = (body: AskBody | null): ServerMessage => ({ ...envelope, type: 'ask', ask: body })
const caution: CautionBody = {
  id: 'wheels',
  signal: 'WARNING',
  hazard: 'It can leap.',
  act: ['Raise it.'],
  acknowledge: true,
  acknowledged: false,
  source: 's',
}
const noted: ServerMessage = {
  ...envelope,
  type: 'noted',
  trail: [
    { check: 'complaint.jerks', question: 'What is wrong?', answer: 'Jerks', by: 'customer', seq: 2, at: '' },
    { check: 'listen-for-click', question: 'A click?', answer: 'Yes', by: 'technician', seq: 3, at: '' },
  ],
  facts: {},
  carState: {},
  reminders: [],
  repaired: [],
  notes: [],
  status: 'open',
}

let lines: string[]
let teller: Teller
beforeEach(() => {
  lines = []
  teller = new Teller('technician', (line) => lines.push(line))
})
const sent = (line: string) => {
  const typed = readTyped(line, teller)
  return typed?.do === 'send' ? typed.message : typed
}

describe('what is typed in the terminal', () => {
  it('answers the question, or says what is wrong', () => {
    teller.tell([ask({ ...check, check: 'complaint', kind: 'complaint' })])
    expect(sent('it jerks')).toEqual({ type: 'say', text: 'it jerks' })
    teller.tell([ask(check)])
    expect(sent('about 31 volts')).toEqual({
      type: 'answer',
      answers: [{ check: 'look-at-lamp', text: 'about 31 volts' }],
    })
    // Words that begin like a command are still an answer.
    for (const text of [
      'why not',
      'skip it for now',
      'close to it',
      'state it again',
      'ok it lights',
      'undo the belt',
    ]) {
      expect(sent(text)).toEqual({ type: 'answer', answers: [{ check: 'look-at-lamp', text }] })
    }
    expect(readTyped('   ', teller)).toBeUndefined()
  })

  it('or is one of the commands', () => {
    teller.tell([noted, ask(check)])
    expect(sent('skip')).toEqual({ type: 'answer', answers: [{ check: 'look-at-lamp', outcome: 'dont-know' }] })
    expect(sent('undo')).toEqual({ type: 'retract', check: 'listen-for-click' })
    expect(sent('undo 1')).toEqual({ type: 'retract', check: 'complaint.jerks' })
    expect(sent('undo 9')).toEqual({ do: 'say', text: 'The trail has 1 to 2.' })
    expect(sent('WHY')).toEqual({ type: 'why', check: 'look-at-lamp' })
    expect(sent('pick 1')).toEqual({ type: 'pick', check: 'listen-for-click' })
    expect(sent('pick none')).toEqual({ type: 'pick', check: null })
    expect(sent('note smells of fish')).toEqual({ type: 'tell', text: 'smells of fish' })
    expect(sent('say it squeals too')).toEqual({ type: 'say', text: 'it squeals too' })
    expect(sent('facts packVolts=36, fieldBypass=yes')).toEqual({
      type: 'facts',
      facts: { packVolts: 36, fieldBypass: true },
    })
    expect(sent('state wheels=raised bridged=main-contactor')).toEqual({
      type: 'car-state',
      state: { wheels: 'raised', bridged: ['main-contactor'] },
    })
    expect(sent('repaired replace-contactor')).toEqual({ type: 'repaired', remedy: 'replace-contactor' })
    expect(sent('close')).toEqual({ type: 'close' })
    expect(sent('quit')).toEqual({ do: 'quit' })
  })

  it('takes a row of answers at once, and answers that nobody asked for', () => {
    const row = ['volts.step-2', 'volts.step-3'].map((id) => ({ check: id, title: id, outcomes: [] }))
    teller.tell([noted, ask({ ...check, check: 'volts.step-2', row })])
    expect(lines.join('\n')).toContain('Several at once: step-2=…, step-3=…')
    expect(sent('step-2=31,2 V, step-3 = 33')).toEqual({
      type: 'answer',
      answers: [
        { check: 'volts.step-2', text: '31,2 V' },
        { check: 'volts.step-3', text: '33' },
      ],
    })
    expect(sent('listen-for-click=yes')).toEqual({
      type: 'answer',
      answers: [{ check: 'listen-for-click', text: 'yes' }],
    })
  })

  it('waits for a caution to be read', () => {
    teller.tell([{ ...envelope, type: 'caution', stop: false, cautions: [caution] }, ask(null)])
    expect(lines.slice(0, 2)).toEqual(['WARNING: It can leap.', '  - Raise it.'])
    expect(sent('yes')).toMatchObject({ do: 'say', text: /Read the caution first/ })
    expect(sent('ok')).toEqual({ type: 'acknowledge', caution: 'wheels' })
  })

  it('takes a number for what was offered, else as an answer', () => {
    const options = [{ id: 'jerks', name: 'Jerks', plain: 'It jerks' }]
    teller.tell([ask({ ...check, check: 'complaint', kind: 'complaint' })])
    teller.tell([
      { ...envelope, type: 'understood', sure: false, text: 'Which?', complaints: [], circumstances: [], options },
    ])
    expect(sent('1')).toEqual({ type: 'say', complaints: ['jerks'] })
    expect(sent('2')).toMatchObject({ do: 'say', text: /1 to 1/ })
    teller.tell([
      {
        ...envelope,
        type: 'understood',
        sure: false,
        text: 'Which?',
        complaints: [],
        circumstances: [],
        options: [{ id: 'yes', name: 'Yes', plain: 'Yes' }],
        check: 'look-at-lamp',
      },
    ])
    expect(sent('1')).toEqual({ type: 'answer', answers: [{ check: 'look-at-lamp', outcome: 'yes' }] })
    teller.tell([noted, ask(check)])
    expect(sent('1')).toEqual({ type: 'answer', answers: [{ check: 'look-at-lamp', text: '1' }] })
  })

  it('says everything once', () => {
    teller.tell([
      noted,
      { ...envelope, type: 'caution', stop: false, cautions: [{ ...caution, acknowledge: false }] },
      ask(check),
    ])
    const first = lines.length
    teller.tell([
      noted,
      { ...envelope, type: 'caution', stop: false, cautions: [{ ...caution, acknowledge: false }] },
      ask(check),
    ])
    expect(lines.length).toBe(first)
    expect(lines.join('\n')).toContain('Does the lamp light?\n  1. Clip on pack negative\n  Answer: Yes')
  })
})

describe('car facts and car state in words', () => {
  it.each([
    ['drive=resistor-contactor,packVolts=36', { drive: 'resistor-contactor', packVolts: 36 }],
    ['packVolts=48, blocks=6x8, steps=5', { packVolts: 48, blocks: '6x8', steps: 5 }],
    ['runTow=no,mainFuse=true', { runTow: false, mainFuse: true }],
    ['changed=new motor', { changed: 'new motor' }],
  ])('%s', (text, facts) => {
    expect(readFacts(text)).toEqual({ facts })
  })

  it.each([
    ['colour=red', /no car fact "colour".*drive, packVolts/],
    ['packVolts=37', /24, 36, 48, 72/],
    ['packVolts=', /can't be ""/],
    ['runTow=maybe', /yes or no/],
    ['drive', /resistor-sliding/],
    ['', /drive=resistor-contactor/],
    ['changed=new motor, bigger wheels', /no car fact "bigger wheels"/],
  ])('%s is not taken', (text, says) => {
    expect(readFacts(text)).toMatchObject({ problem: expect.stringMatching(says) })
  })

  it('a state that a car can not have is not taken', () => {
    expect(readState('wheels=off')).toMatchObject({ problem: /on-ground, raised/ })
    expect(readState('doors=open')).toMatchObject({ problem: /no "doors"/ })
    expect(readState('lifted=a+b,bridged=none')).toEqual({ state: { lifted: ['a', 'b'], bridged: [] } })
  })
})
