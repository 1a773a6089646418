import { expect, test } from 'vitest'
import type { Caller, CaseRecord } from '../../rules/conversation/types.ts'
import type { ServerMessage, StepMessage, StoredEvent } from '../../rules/protocol/index.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

/** A case told in Spanish, with a screen of each language on it. */
const prepared = await prepareKnowledge(undefined, '.cache')
if (!prepared.conversation) throw new Error('The knowledge has problems')
const { conversation } = prepared
let ids = 0
const outside = { now: '2026-11-25T10:00:00Z', newId: () => `w${++ids}` }
const customer: Caller = { role: 'customer' }

function opened(language: string): CaseRecord {
  const events = conversation.open({
    shop: 'demo',
    language,
    code: 'K7-204',
    caller: customer,
    messageId: 'open',
    outside,
  })
  return { id: 'case', events: events.map((e, i): StoredEvent => ({ ...e, seq: i + 1 })), words: {} }
}

async function take(record: CaseRecord, caller: Caller, message: Record<string, unknown>) {
  const sent = { v: 1, id: `m${++ids}`, case: record.id, ...message } as unknown as StepMessage
  const { events, words, replies } = await conversation.step(record, caller, sent, outside)
  let seq = record.events.at(-1)!.seq
  const after: CaseRecord = {
    ...record,
    events: [...record.events, ...events.map((e): StoredEvent => ({ ...e, seq: ++seq }))],
    words: { ...record.words, ...words },
  }
  return { record: after, replies }
}

const of = <T extends ServerMessage['type']>(messages: readonly ServerMessage[], type: T) =>
  messages.find((m) => m.type === type) as Extract<ServerMessage, { type: T }>

test('what the customer says in Spanish is answered in Spanish', async () => {
  const { replies } = await take(opened('es'), customer, { type: 'say', text: 'da tirones cuando piso el pedal' })
  expect(of(replies, 'understood')).toMatchObject({ sure: true, text: 'Entendí: Da tirones al acelerar.' })
  expect(of(replies, 'noted').complaint).toBe('Da tirones al acelerar')
  expect(of(replies, 'ask').ask!.title).toMatch(/^¿|[áéíóúñ]|\?$/)
})

test('each screen reads the case in its own language, and reads and writes it in that', async () => {
  const { record } = await take(opened('es'), customer, { type: 'say', text: 'da tirones cuando piso el pedal' })
  const english: Caller = { role: 'technician', language: 'en-US' }
  const view = await conversation.view(record, english)
  expect(of(view, 'noted').complaint).toBe('Jerks on acceleration')
  expect(conversation.opening(record, english)).toMatchObject({ language: 'en-US' })
  expect(conversation.opening(record, customer)).toMatchObject({ language: 'es' })
  const said = await take(record, english, { type: 'say', text: 'it also cuts out on bumps' })
  expect(of(said.replies, 'noted').say).toMatch(/^Written down/)
  const seen = await conversation.view(said.record, customer)
  expect(of(seen, 'noted').complaint).toContain('Da tirones al acelerar')
})

test('a language that there is nothing of is read, and said to be, in English', () => {
  expect(conversation.opening(opened('fr'), customer)).toMatchObject({ language: 'en' })
  expect(conversation.opening(opened('es-MX'), customer)).toMatchObject({ language: 'es-MX' })
})

test('a reading that cannot be is refused in Spanish', async () => {
  const technician: Caller = { role: 'technician', language: 'es' }
  const { replies } = await take(opened('es'), technician, {
    type: 'answer',
    answers: [{ check: 'measure-pack-volts-at-rest', text: '400 voltios' }],
  })
  expect(of(replies, 'refused')).toMatchObject({ code: 'out-of-range', text: expect.stringContaining('está fuera') })
})
