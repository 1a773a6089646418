import { afterEach, describe, expect, it, vi } from 'vitest'
import type { CaseStore, KeptCase } from '../../client/local/case-store.ts'
import type { Handed, LocalOptions } from '../../client/local/host.ts'
import { Shop } from '../../client/local/shop.ts'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import { fakeConversation } from '../server/fake-conversation.ts'

// The files that a build makes are not needed here.
vi.mock('../../client/local/assets.ts', () => ({ loadConversation: vi.fn() }))

const OPEN = { type: 'open', shop: 'demo', language: 'en' }
const answer = (check = 'check-1') => ({ type: 'answer', answers: [{ check }] })
const HANDED: Handed = { case: 'case-9', code: 'K7-204', seq: 2 }

class MemoryStore implements CaseStore {
  readonly cases = new Map<string, KeptCase>()
  full = false
  get = async (id: string) => structuredClone(this.cases.get(id))
  all = async () => structuredClone([...this.cases.values()])
  remove = async (id: string) => void this.cases.delete(id)
  async put(kept: KeptCase) {
    if (this.full) throw new Error('QuotaExceededError')
    this.cases.set(kept.id, structuredClone(kept))
  }
}

function make() {
  const store = new MemoryStore()
  const learned: string[] = []
  const shop = new Shop(
    { conversation: fakeConversation(), learn: async (language) => void learned.push(language) },
    store,
  )
  const screen = (role: LocalOptions['role'], server = 'ws://one/converse') => {
    const heard: ServerMessage[] = []
    const handed: Handed[] = []
    const session = shop.open(
      { server, role },
      { messages: (m) => void heard.push(...m), handed: (to) => void handed.push(to) },
    )
    const send = async (message: object, id: string): Promise<ServerMessage[]> => {
      const from = heard.length
      session.send(JSON.stringify({ v: 1, id, ...message }))
      await vi.waitFor(() => expect(heard.slice(from).some((m) => m.re === id) || handed.length > 0).toBe(true))
      await new Promise((done) => setTimeout(done, 5))
      return heard.slice(from)
    }
    return { send, heard, handed, raw: (text: string) => session.send(text) }
  }
  return { shop, store, screen, learned }
}
const one = <T extends ServerMessage['type']>(messages: readonly ServerMessage[], type: T) => {
  const found = messages.filter((m) => m.type === type)
  expect(found.length, type).toBe(1)
  return found[0] as Extract<ServerMessage, { type: T }>
}
afterEach(() => vi.useRealTimers())

describe('the shop in a browser', () => {
  it('replies as the server does: opened and all that a screen needs, then what each message brings', async () => {
    const { screen, learned } = make()
    const { send } = screen('customer')
    const opening = await send({ ...OPEN, tag: '12' }, 'o')
    expect(opening.map((m) => m.type)).toEqual(['opened', 'noted', 'standing', 'ask'])
    expect(one(opening, 'opened')).toMatchObject({ role: 'customer', tag: '12', re: 'o', shop: { id: 'demo' } })
    expect(one(opening, 'opened').code).toMatch(/^[A-HJ-NP-Z]\d-\d{3}$/)
    expect(one(await send(answer(), 'a'), 'noted').trail).toHaveLength(1)
    expect(learned).toContain('en')
  })

  it('gives the same id the effect of once, of an open too', async () => {
    const { store, screen } = make()
    const { send } = screen('customer')
    await send(OPEN, 'o')
    await send(OPEN, 'o')
    expect(store.cases.size).toBe(1)
    await send(answer(), 'a')
    expect(one(await send(answer(), 'a'), 'noted').trail).toHaveLength(1)
    const [kept] = store.cases.values()
    expect(kept!.log.map((l) => l.message.id)).toEqual(['a'])
    expect(kept!.events.map((e) => e.seq)).toEqual(kept!.events.map((_, i) => i + 1))
  })

  it('says what is wrong with a message in the words of the server, and keeps nothing of it', async () => {
    const { store, screen } = make()
    const { send, heard, raw } = screen('customer')
    expect((await send(answer(), 'a'))[0]).toMatchObject({ type: 'refused', code: 'open-first', re: 'a' })
    raw('not JSON')
    await vi.waitFor(() => expect(heard.at(-1)).toMatchObject({ type: 'error', code: 'malformed' }))
    await send(OPEN, 'o')
    const long = await send({ type: 'tell', text: 'x'.repeat(2001) }, 'b')
    expect(long[0]).toMatchObject({ type: 'error', code: 'invalid', field: 'text', re: 'b' })
    expect([...store.cases.values()][0]!.log).toEqual([])
  })

  it('keeps no pass, and the time at which a message was entered', async () => {
    const { store, screen } = make()
    const { send } = screen('technician')
    await send({ ...OPEN, pass: 'secret', ago: 3_600_000 }, 'o')
    await send({ ...answer(), ago: 1_800_000 }, 'a')
    const [kept] = store.cases.values()
    expect(JSON.stringify(kept)).not.toContain('secret')
    const minutes = kept!.events.map((e) => Math.round((Date.now() - Date.parse(e.at)) / 60_000))
    expect(minutes[0]).toBe(60)
    expect(minutes.slice(1).every((m) => m === 30)).toBe(true)
    expect(kept!.log[0]!.message).not.toHaveProperty('ago')
  })

  it('opens a case to a technician by its code, tells both what the other does, and nobody of another server', async () => {
    const { screen } = make()
    const customer = screen('customer')
    const { code } = one(await customer.send(OPEN, 'o'), 'opened')
    const technician = screen('technician')
    const typed = code.toLowerCase().replace('-', ' ')
    expect(one(await technician.send({ ...OPEN, code: typed }, 'p'), 'opened').code).toBe(code)
    customer.heard.length = 0
    await technician.send(answer(), 'a')
    expect(one(customer.heard, 'noted').trail).toHaveLength(1)
    expect(customer.heard.every((m) => m.re === undefined)).toBe(true)
    const elsewhere = await screen('technician', 'ws://two/converse').send({ ...OPEN, code }, 'q')
    expect(elsewhere[0]).toMatchObject({ type: 'error', code: 'no-such-case' })
  })

  it('where the device is full nothing is lost: it says so, and takes the same message later', async () => {
    const { store, screen } = make()
    const { send } = screen('customer')
    await send(OPEN, 'o')
    store.full = true
    expect((await send(answer(), 'a'))[0]).toMatchObject({ type: 'error', code: 'try-again', re: 'a' })
    store.full = false
    expect(one(await send(answer(), 'a'), 'noted').trail).toHaveLength(1)
  })

  it('lets go of a case only when all of it is on the server, and sends everybody after it', async () => {
    const { shop, store, screen } = make()
    const customer = screen('customer')
    const opened = one(await customer.send(OPEN, 'o'), 'opened')
    expect(await shop.waiting('ws://one/converse', 'demo')).toEqual([])
    await customer.send(answer(), 'a')
    await customer.send(answer('check-2'), 'b')
    const [waiting] = await shop.waiting('ws://one/converse', 'demo')
    expect(waiting!.log).toHaveLength(2)
    await shop.progress(opened.case, 1, HANDED)
    expect(await shop.handOver(opened.case, 1, HANDED)).toBe(false)
    expect(customer.handed).toEqual([])
    expect(await shop.handOver(opened.case, 2, HANDED)).toBe(true)
    expect(customer.handed).toEqual([HANDED])
    // A message that comes too late is not taken here: it goes where the case went.
    expect((await customer.send(answer('check-3'), 'c'))[0]).toMatchObject({ type: 'error', code: 'busy', re: 'c' })
    const late = screen('customer')
    await late.send({ ...OPEN, case: opened.case }, 'p')
    expect(late.handed).toEqual([HANDED])
    // Nothing that was said is left behind.
    expect([...store.cases.values()][0]).toMatchObject({ gone: true, log: [], events: [], words: {} })
    expect(await shop.waiting('ws://one/converse', 'demo')).toEqual([])
  })
})
