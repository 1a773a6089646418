import fc from 'fast-check'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { MAX_FRAME_BYTES, type ServerMessage } from '../../rules/protocol/index.ts'
import { CODE_SHAPE, realOutside } from '../../server/outside.ts'
import { openStore } from '../../server/store/open.ts'
import { fakeConversation } from './fake-conversation.ts'
import { type Harness, removeFolders, startHarness } from './harness.ts'
import { one, Screen } from './screen.ts'

const running: Harness[] = []
const screens: Screen[] = []
async function start(options: Parameters<typeof startHarness>[0] = {}) {
  const server = await startHarness(options)
  running.push(server)
  return server
}
async function screen(server: Harness, headers?: Record<string, string>) {
  const made = await Screen.connect(server.port, headers)
  screens.push(made)
  return made
}
afterEach(async () => {
  for (const s of screens.splice(0)) s.close()
  for (const server of running.splice(0)) await server.stop()
})
afterAll(removeFolders)

const say = (messages: readonly ServerMessage[]) => messages.map((m) => m.type)

describe('a conversation over the socket', () => {
  it('opens a customer case with a pass and a code, and asks', async () => {
    const server = await start()
    const customer = await screen(server)
    const replies = await customer.ask({ type: 'open', tag: '12', facts: { packVolts: 36 } })
    expect(say(replies)).toEqual(['opened', 'noted', 'standing', 'ask'])
    const opened = one(replies, 'opened')
    expect(opened).toMatchObject({ role: 'customer', tag: '12', facts: { packVolts: 36 }, status: 'open', seq: 1 })
    expect(opened.shop).toEqual({
      id: 'demo',
      name: 'Larch Lake holiday park garage',
      phone: '555-0142',
      hours: 'Monday to Saturday, 8 to 5',
    })
    expect(opened.code).toMatch(CODE_SHAPE)
    expect(opened.pass!.length).toBeGreaterThanOrEqual(40)
  })

  it('takes answers, takes one back, and a reply means stored', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'yes' }] })
    const replies = await customer.ask({ type: 'answer', answers: [{ check: 'check-2', outcome: 'no' }] })
    expect(one(replies, 'noted').trail.map((t) => t.answer)).toEqual(['yes', 'no'])
    const undone = await customer.ask({ type: 'retract', check: 'check-1' })
    expect(one(undone, 'noted').trail.map((t) => t.check)).toEqual(['check-2'])
    expect(one(undone, 'ask').ask?.check).toBe('check-1')

    // Another reader of the same file sees it as soon as the reply is here.
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    const record = await store.load({ shop: 'demo', case: opened.case })
    expect(record?.events.map((e) => e.type)).toEqual(['opened', 'answered', 'answered', 'retracted'])
    await store.close()
  })

  it('answers why without changing anything', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const [because] = await customer.ask({ type: 'why' })
    expect(because).toMatchObject({ type: 'because', seq: 1 })
  })

  it('brings what was missed, and goes on where it stood', async () => {
    const server = await start()
    const first = await screen(server)
    const opened = await first.open()
    const pass = opened.pass!
    await first.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    first.close()
    const technician = await screen(server)
    await technician.open({ pass: server.pass, code: opened.code })
    await technician.ask({ type: 'answer', answers: [{ check: 'check-2' }] })
    await technician.ask({ type: 'tell', text: 'oil on the floor' })
    const again = await screen(server)
    const replies = await again.ask({ type: 'open', pass, since: 2 })
    const reopened = one(replies, 'opened')
    expect(reopened.case).toBe(opened.case)
    expect(reopened.pass).toBeUndefined()
    expect(reopened.missed?.map((m) => [m.seq, m.type, m.by])).toEqual([
      [3, 'answered', 'technician'],
      [4, 'told', 'technician'],
    ])
    expect(one(replies, 'ask').ask?.check).toBe('check-3')
  })

  it('survives a restart of the server', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    await server.stop()
    const second = await start({ dataDir: server.dataDir })
    expect(second.signIn).toBeUndefined()
    const again = await screen(second)
    const replies = await again.ask({ type: 'open', pass: opened.pass })
    expect(one(replies, 'opened')).toMatchObject({ case: opened.case, code: opened.code, seq: 2 })
    expect(one(replies, 'ask').ask?.check).toBe('check-2')
    const technician = await screen(second)
    expect((await technician.open({ pass: server.pass, code: opened.code })).role).toBe('technician')
  })
})

describe('the same message twice', () => {
  it('has the effect of once and gets the same replies', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const message = { type: 'tell', text: 'smells warm', id: 'once' } as const
    const first = await customer.ask(message)
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    const second = await customer.ask(message)
    // `ask` of the screen collects every message with this `re`: the first time's and the second's.
    expect(second.slice(first.length)).toEqual(first)
    const now = await customer.ask({ type: 'retract', check: 'check-1' })
    expect(one(now, 'noted').notes).toHaveLength(1)
  })

  it('across a reconnect and a restart', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    const message = { type: 'tell', text: 'smells warm', id: 'once' } as const
    const first = await customer.ask(message)
    await server.stop()
    const second = await start({ dataDir: server.dataDir })
    const again = await screen(second)
    await again.open({ pass: opened.pass })
    expect(await again.ask(message)).toEqual(first)
    const view = await again.ask({ type: 'open', pass: opened.pass })
    expect(one(view, 'noted').notes).toHaveLength(1)
  })

  it('also where the two come at once', async () => {
    const server = await start()
    const a = await screen(server)
    const opened = await a.open()
    const b = await screen(server)
    await b.open({ pass: opened.pass })
    const message = { type: 'tell', text: 'twice', id: 'both' } as const
    const [first, second] = await Promise.all([a.ask(message), b.ask(message)])
    expect(first).toEqual(second)
    expect(one(first, 'noted').notes).toHaveLength(1)
  })

  it('also where it was refused, though it could be taken now', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const early = { type: 'retract', check: 'check-1', id: 'early' } as const
    expect(say(await customer.ask(early))).toEqual(['refused'])
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    expect(say(await customer.ask(early))).toEqual(['refused', 'refused'])
  })

  it('is told apart from the same id of another sender', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    const technician = await screen(server)
    await technician.open({ pass: server.pass, case: opened.case })
    await customer.ask({ type: 'tell', text: 'from the customer', id: '1' })
    const replies = await technician.ask({ type: 'tell', text: 'from the technician', id: '1' })
    expect(one(replies, 'noted').notes.map((n) => n.text)).toEqual(['from the customer', 'from the technician'])
  })

  it('"open" with an unguessable id comes back to its case with its pass', async () => {
    const server = await start()
    const id = 'V1StGXR8_Z5jdHi6B-myT'
    const a = await (await screen(server)).open({ id })
    const b = await (await screen(server)).open({ id })
    expect([b.case, b.pass, b.code]).toEqual([a.case, a.pass, a.code])
    const other = await (await screen(server)).open({ id: `${id}x` })
    expect(other.case).not.toBe(a.case)
  })

  it('"open" with an id that another may choose too does not', async () => {
    const server = await start()
    const a = await (await screen(server)).open({ id: '1' })
    const b = await (await screen(server)).open({ id: '1' })
    expect(b.case).not.toBe(a.case)
    expect(b.pass).not.toBe(a.pass)
  })

  it("a technician's new case is made once", async () => {
    const server = await start()
    const a = await (await screen(server)).open({ id: '1', pass: server.pass })
    const b = await (await screen(server)).open({ id: '1', pass: server.pass })
    expect(b.case).toBe(a.case)
  })
})

describe('several screens on one case', () => {
  it('each is shown what the others change, without "re"', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    const technician = await screen(server)
    await technician.open({ pass: server.pass, code: opened.code.toLowerCase().replace('-', ' ') })
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] })
    const shown = await technician.until((m) => m.type === 'ask' && m.re === undefined, 'the new question')
    expect(shown).toMatchObject({ seq: 2, ask: { check: 'check-2' } })
    expect(customer.received.filter((m) => m.re === undefined)).toEqual([])
  })

  it('is not shown what changes nothing, nor another case', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    const other = await screen(server)
    await other.open()
    const technician = await screen(server)
    await technician.open({ pass: server.pass, code: opened.code })
    await technician.ask({ type: 'why' })
    await technician.ask({ type: 'retract', check: 'check-5' })
    await other.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    await technician.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    await customer.until((m) => m.type === 'ask' && m.re === undefined, 'the one change')
    expect(customer.received.filter((m) => m.re === undefined).map((m) => m.seq)).toEqual([2, 2, 2])
    expect(other.received.filter((m) => m.re === undefined)).toEqual([])
  })

  it('a screen that opens another case no longer follows the first', async () => {
    const server = await start()
    const technician = await screen(server)
    const first = await technician.open({ pass: server.pass })
    await technician.open({ pass: server.pass })
    const second = await screen(server)
    await second.open({ pass: server.pass, case: first.case })
    await second.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    await technician.ask({ type: 'why' })
    expect(technician.received.filter((m) => m.re === undefined)).toEqual([])
  })

  it('messages of many screens at once are all kept, one after the other', async () => {
    const server = await start()
    const technicians = await Promise.all([1, 2, 3, 4].map(() => screen(server)))
    const { case: id } = await technicians[0]!.open({ pass: server.pass })
    for (const t of technicians.slice(1)) await t.open({ pass: server.pass, case: id })
    await Promise.all(
      technicians.flatMap((t, n) => Array.from({ length: 10 }, (_, i) => t.ask({ type: 'tell', text: `${n}.${i}` }))),
    )
    const view = await technicians[0]!.ask({ type: 'open', pass: server.pass, case: id })
    const notes = one(view, 'noted').notes
    expect(notes.map((n) => n.seq)).toEqual(Array.from({ length: 40 }, (_, i) => i + 2))
    expect(new Set(notes.map((n) => n.text)).size).toBe(40)
    for (const n of [0, 1, 2, 3]) {
      const own = notes.map((note) => note.text).filter((text) => text.startsWith(`${n}.`))
      expect(own).toEqual(Array.from({ length: 10 }, (_, i) => `${n}.${i}`))
    }
  })
})

describe('who may do what', () => {
  it('a customer reaches only the own case', async () => {
    const server = await start()
    const mine = await (await screen(server)).open()
    const theirs = await (await screen(server)).open()
    const intruder = await screen(server)
    const [no] = await intruder.ask({ type: 'open', pass: mine.pass, case: theirs.case })
    const [none] = await intruder.ask({ type: 'open', pass: mine.pass, case: 'not-there' })
    expect(no).toMatchObject({ type: 'error', code: 'no-such-case', field: 'case' })
    expect({ ...no, re: 0 }).toEqual({ ...none, re: 0 })
    expect(say(await intruder.ask({ type: 'why' }))).toEqual(['refused'])
  })

  it.each([
    ['a code without a pass', { code: 'K7-204' }, { type: 'refused', code: 'not-your-role', field: 'code' }],
    ['a case without a pass', { case: 'c1' }, { type: 'error', code: 'bad-pass', field: 'pass' }],
    ['a made-up pass', { pass: 'let-me-in' }, { type: 'error', code: 'bad-pass', field: 'pass' }],
    ['a shop that is not there', { shop: 'nowhere' }, { type: 'error', code: 'invalid', field: 'shop' }],
  ])('%s is turned away', async (_name, open, expected) => {
    const server = await start()
    const [reply] = await (await screen(server)).ask({ type: 'open', ...open })
    expect(reply).toMatchObject(expected)
    expect((reply as { mend: string }).mend.length).toBeGreaterThan(5)
  })

  it("a customer's pass opens no code; a technician's wrong code is said", async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    const [reply] = await customer.ask({ type: 'open', pass: opened.pass, code: opened.code })
    expect(reply).toMatchObject({ type: 'refused', code: 'not-your-role' })
    const wrong = opened.code === 'A0-000' ? 'A0-001' : 'A0-000'
    const [none] = await (await screen(server)).ask({ type: 'open', pass: server.pass, code: wrong })
    expect(none).toMatchObject({ type: 'error', code: 'no-such-case', field: 'code' })
  })

  it('the role comes from the pass, whatever the message says', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const [refused] = await customer.ask({ type: 'repaired', remedy: 'replace-part' })
    expect(refused).toMatchObject({ type: 'refused', code: 'not-your-role' })
    customer.raw(JSON.stringify({ v: 1, id: 'claim', type: 'repaired', remedy: 'x', role: 'technician' }))
    expect(await customer.until((m) => m.re === 'claim', 'a reply')).toMatchObject({ type: 'error', code: 'invalid' })
    const technician = await screen(server)
    await technician.open({ pass: server.pass })
    expect(say(await technician.ask({ type: 'repaired', remedy: 'replace-part' }))).toContain('noted')
  })

  it("a pass of one shop opens nothing in another's", async () => {
    const server = await start()
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    await store.putShop({ id: 'boathouse', name: 'Boathouse', origins: [] })
    await store.close()
    const here = await (await screen(server)).open()
    const [technician] = await (await screen(server)).ask({ type: 'open', pass: server.pass, shop: 'boathouse' })
    expect(technician).toMatchObject({ type: 'error', code: 'bad-pass' })
    const [customer] = await (await screen(server)).ask({ type: 'open', pass: here.pass, shop: 'boathouse' })
    expect(customer).toMatchObject({ type: 'error', code: 'bad-pass' })
  })

  it('passes are not in the database', async () => {
    const server = await start()
    const opened = await (await screen(server)).open()
    await server.stop()
    const { readFileSync } = await import('node:fs')
    const bytes = readFileSync(`${server.dataDir}/benchlamp.db`, 'latin1')
    expect(bytes).toContain(opened.case)
    expect(bytes).not.toContain(opened.pass!)
    expect(bytes).not.toContain(server.pass)
  })
})

describe('bad input leaves the case and the connection unharmed', () => {
  it('before "open"', async () => {
    const server = await start()
    const customer = await screen(server)
    const [reply] = await customer.ask({ type: 'say', text: 'it jerks' })
    expect(reply).toMatchObject({ type: 'refused', code: 'open-first', mend: 'Send "open" first.' })
    await customer.open()
  })

  it.each([
    ['malformed', '{"v":1', 'malformed'],
    ['binary', Buffer.from('{}'), 'malformed'],
    ['oversized', JSON.stringify({ v: 1, id: 'a', type: 'tell', text: 'x'.repeat(MAX_FRAME_BYTES) }), 'too-large'],
    ['unknown version', '{"v":9,"id":"a","type":"why"}', 'unknown-version'],
    ['unknown type', '{"v":1,"id":"a","type":"explode"}', 'unknown-type'],
    [
      'a reading without a unit',
      '{"v":1,"id":"a","type":"answer","answers":[{"check":"c","reading":{"value":3}}]}',
      'invalid',
    ],
  ])('%s', async (_name, frame, code) => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    customer.raw(frame)
    expect(await customer.until((m) => m.type === 'error', 'an error')).toMatchObject({ code })
    const replies = await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    expect(one(replies, 'noted')).toMatchObject({ seq: 2 })
  })

  it('an unknown check among good answers: none is taken', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const [refused] = await customer.ask({
      type: 'answer',
      answers: [{ check: 'check-1' }, { check: 'kick-the-tyre' }],
    })
    expect(refused).toMatchObject({ type: 'refused', code: 'unknown-check', field: 'answers[1].check' })
    const view = await customer.ask({ type: 'answer', answers: [{ check: 'check-2' }] })
    expect(one(view, 'noted').trail.map((t) => t.check)).toEqual(['check-2'])
  })

  it('a bridged part holds the case open; a closed case takes nothing', async () => {
    const server = await start()
    const technician = await screen(server)
    await technician.open({ pass: server.pass })
    await technician.ask({ type: 'car-state', state: { bridged: ['main-contactor'] } })
    expect((await technician.ask({ type: 'close' }))[0]).toMatchObject({ type: 'refused', code: 'bridged' })
    await technician.ask({ type: 'car-state', state: { bridged: [] } })
    await technician.ask({ type: 'close' })
    expect((await technician.ask({ type: 'tell', text: 'late' }))[0]).toMatchObject({ code: 'case-closed' })
  })

  it('a failure inside says so without the words, and the next message is taken', async () => {
    const server = await start()
    const customer = await screen(server)
    await customer.open()
    const [failed] = await customer.ask({ type: 'tell', text: 'throw' })
    expect(failed).toMatchObject({ type: 'error', code: 'try-again' })
    const replies = await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    expect(one(replies, 'noted')).toMatchObject({ seq: 2 })
  })

  it('a frame beyond any reason ends the connection, not the server', async () => {
    const server = await start()
    const customer = await screen(server)
    const opened = await customer.open()
    customer.raw('x'.repeat(300 * 1024))
    // 1009, message too big: RFC 6455, 7.4.1.
    expect(await customer.untilClosed()).toBe(1009)
    expect((await (await screen(server)).open({ pass: opened.pass })).case).toBe(opened.case)
  })

  it('too many messages in a short time are turned away, and only from that connection', async () => {
    const server = await start({ limits: { messages: 5, perSeconds: 600, newCases: 100, requests: 100 } })
    const customer = await screen(server)
    const opened = await customer.open()
    for (let i = 0; i < 4; i++) await customer.ask({ type: 'why' })
    const [over] = await customer.ask({ type: 'why' })
    expect(over).toMatchObject({ type: 'error', code: 'too-many', mend: /send it again/ })
    expect((await (await screen(server)).open({ pass: opened.pass })).case).toBe(opened.case)
  })

  it('too many new cases from one address are turned away; going on with one is not', async () => {
    const server = await start({ limits: { messages: 100, perSeconds: 1, newCases: 2, requests: 100 } })
    const first = await (await screen(server)).open()
    await (await screen(server)).open()
    const third = await screen(server)
    expect((await third.ask({ type: 'open' }))[0]).toMatchObject({ type: 'error', code: 'too-many' })
    expect((await third.open({ pass: first.pass })).case).toBe(first.case)
    expect((await third.open({ pass: server.pass })).role).toBe('technician')
  })

  it('any garbage is answered with a typed error, and the server lives', async () => {
    const server = await start({ limits: { messages: 100_000, perSeconds: 1, newCases: 10, requests: 100 } })
    const customer = await screen(server)
    await customer.open()
    await fc.assert(
      fc.asyncProperty(fc.oneof(fc.string({ unit: 'binary' }), fc.json(), fc.uint8Array()), async (garbage) => {
        customer.raw(typeof garbage === 'string' ? garbage : Buffer.from(garbage))
        const reply = await customer.until((m) => m.re === undefined, 'an error')
        expect(reply.type).toBe('error')
      }),
      { numRuns: 300 },
    )
    const replies = await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    expect(one(replies, 'noted')).toMatchObject({ seq: 2 })
  })
})

describe('origins', () => {
  it('its own pages and programs may connect; another page may not, until it is allowed', async () => {
    const server = await start({ env: { ORIGINS: 'https://larch-lake.example' } })
    const own = `127.0.0.1:${server.port}`
    for (const origin of [`http://${own}`, `https://${own}`, 'https://larch-lake.example']) {
      await (await screen(server, { origin })).open()
    }
    for (const origin of ['https://elsewhere.example', 'https://larch-lake.example:8443', 'null', 'not a url']) {
      const [said] = await (await screen(server, { origin })).ask({ type: 'open', shop: 'demo' })
      expect(said).toMatchObject({ type: 'error', code: 'bad-pass', field: 'shop' })
      if (origin !== 'null') expect(said).toMatchObject({ text: expect.stringContaining(origin) })
    }
  })

  it('a page allowed by one shop does not reach another', async () => {
    const server = await start()
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    await store.putShop({ id: 'boathouse', name: 'Boathouse', origins: ['https://boathouse.example'] })
    await store.close()
    const page = await screen(server, { origin: 'https://boathouse.example' })
    expect((await page.open({ shop: 'boathouse' })).shop.name).toBe('Boathouse')
    expect((await page.ask({ type: 'open', shop: 'demo' }))[0]).toMatchObject({ type: 'error', code: 'bad-pass' })
  })

  it('there is no socket elsewhere', async () => {
    const server = await start()
    const { WebSocket } = await import('ws')
    const status = await new Promise((resolve) => {
      const ws = new WebSocket(`ws://127.0.0.1:${server.port}/elsewhere`)
      ws.on('error', () => undefined)
      ws.once('unexpected-response', (_q, r) => resolve(r.statusCode))
    })
    expect(status).toBe(404)
  })
})

describe('stopping', () => {
  it('finishes what was taken, then says goodbye with 1001', async () => {
    let go = () => {}
    const slow = () => new Promise<void>((resolve) => (go = resolve))
    const server = await start({ conversation: fakeConversation({ slow }) })
    const customer = await screen(server)
    const opened = await customer.open()
    const other = await screen(server)
    await other.open({ pass: opened.pass })
    const id = customer.send({ type: 'tell', text: 'slow' })
    while (String(go) === '() => {}') await new Promise((r) => setTimeout(r, 5))
    const stopping = server.stop()
    const [late] = await other.ask({ type: 'tell', text: 'late' })
    expect(late).toMatchObject({ type: 'error', code: 'busy' })
    go()
    await stopping
    // 1001, going away: RFC 6455, 7.4.1.
    expect(await customer.untilClosed()).toBe(1001)
    expect(customer.received.filter((m) => m.re === id).map((m) => m.type)).toContain('noted')
    const second = await start({ dataDir: server.dataDir })
    const view = await (await screen(second)).ask({ type: 'open', pass: opened.pass })
    expect(one(view, 'noted').notes.map((n) => n.text)).toEqual(['slow'])
  })
})
