import { describe, expect, it } from 'vitest'
import type { OpenMessage, ServerMessage, StepMessage } from '../../rules/protocol/index.ts'
import { CaseService, type Follower } from '../../server/cases/service.ts'
import { DEMO_SHOP } from '../../server/demo.ts'
import { Shelf } from '../../server/knowledge/shelf.ts'
import { makeLog } from '../../server/log.ts'
import { CODE_SHAPE, countingOutside, realOutside, tidyCode } from '../../server/outside.ts'
import { migrate } from '../../server/store/migrations.ts'
import { KeyedQueue } from '../../server/store/queue.ts'
import { SqlStore } from '../../server/store/sql-store.ts'
import { SqliteDatabase } from '../../server/store/sqlite.ts'
import { type Appended, type CaseKey, SeqConflict } from '../../server/store/store.ts'
import { fakeConversation } from './fake-conversation.ts'
import { one } from './screen.ts'

/** A store that fails when told to, as a full disk does. */
class FailingStore extends SqlStore {
  failures: Error[] = []
  override async append(key: CaseKey, expected: number, what: Appended) {
    const failure = this.failures.shift()
    if (failure) throw failure
    return super.append(key, expected, what)
  }
}

async function make(outside = countingOutside()) {
  const db = new SqliteDatabase(':memory:')
  await migrate(db, outside.now())
  const store = new FailingStore(db)
  await store.putShop(DEMO_SHOP)
  const service = new CaseService({ store, shelf: new Shelf(fakeConversation()), outside, log: makeLog('silent') })
  const open = async (id = 'o') => {
    const opening = await service.open({ v: 1, id, type: 'open', shop: 'demo', language: 'en' } satisfies OpenMessage)
    if (!opening.ok) throw new Error(JSON.stringify(opening.replies))
    return opening
  }
  return { store, service, open }
}
const answer = (id: string, check = 'check-1'): StepMessage => ({ v: 1, id, type: 'answer', answers: [{ check }] })

describe('when the store fails', () => {
  it('says that nothing was kept, tells nobody, and takes the same message when it is sent again', async () => {
    const { store, service, open } = await make()
    const { key, pass } = await open()
    const told: ServerMessage[] = []
    const other: Follower = { caller: { role: 'technician' }, send: (messages) => told.push(...messages) }
    service.follow(key, other)
    store.failures.push(Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' }))
    const [failed] = await service.take(key, pass, answer('a'))
    expect(failed).toMatchObject({ type: 'error', code: 'try-again', re: 'a', case: key.case })
    expect(told).toEqual([])
    expect((await store.load(key))?.events).toHaveLength(1)
    const replies = await service.take(key, pass, answer('a'))
    expect(one(replies, 'noted').trail).toHaveLength(1)
    expect(one(told, 'noted').seq).toBe(2)
  })

  it('takes the step again where another process was faster', async () => {
    const { store, service, open } = await make()
    const { key, pass } = await open()
    store.failures.push(new SeqConflict('somebody else'), new SeqConflict('again'))
    expect(one(await service.take(key, pass, answer('a')), 'noted').trail).toHaveLength(1)
    store.failures.push(...Array.from({ length: 5 }, () => new SeqConflict('always')))
    expect((await service.take(key, pass, answer('b', 'check-2')))[0]).toMatchObject({ code: 'try-again' })
  })

  it('two services on one store: neither loses what the other appended', async () => {
    const { store, service, open } = await make()
    const second = new CaseService({
      store,
      shelf: new Shelf(fakeConversation()),
      outside: countingOutside(),
      log: makeLog('silent'),
    })
    const { key, pass } = await open()
    await Promise.all(
      Array.from({ length: 5 }, (_, i) =>
        (i % 2 ? service : second).take(key, pass, answer(`a${i}`, `check-${i + 1}`)),
      ),
    )
    const record = await store.load(key)
    expect(record?.events.map((e) => e.seq)).toEqual([1, 2, 3, 4, 5, 6])
    expect(record?.events.flatMap((e) => (e.type === 'answered' ? [e.check] : [])).sort()).toEqual([
      'check-1',
      'check-2',
      'check-3',
      'check-4',
      'check-5',
    ])
  })

  it('a screen that can not be told does not harm the others', async () => {
    const { service, open } = await make()
    const { key, pass } = await open()
    const told: ServerMessage[] = []
    service.follow(key, {
      caller: { role: 'technician' },
      send: () => {
        throw new Error('gone')
      },
    })
    const leave = service.follow(key, { caller: { role: 'technician' }, send: (messages) => told.push(...messages) })
    await service.take(key, pass, answer('a'))
    expect(told.length).toBeGreaterThan(0)
    leave()
    told.length = 0
    await service.take(key, pass, answer('b', 'check-2'))
    expect(told).toEqual([])
  })
})

describe('codes', () => {
  it('are a letter and a digit, a dash, three digits; no letter that is read as a digit', () => {
    for (let i = 0; i < 500; i++) expect(realOutside.code()).toMatch(CODE_SHAPE)
    expect('I1-000').not.toMatch(CODE_SHAPE)
    expect('O0-000').not.toMatch(CODE_SHAPE)
  })

  it.each(['K7-204', 'k7 204', ' K7204', 'k-7-2-0-4'])('"%s" is K7-204', (typed) => {
    expect(tidyCode(typed)).toBe('K7-204')
  })

  it('one that is taken is not given again', async () => {
    const codes = ['K7-204', 'K7-204', 'K7-204', 'K7-205']
    const { open } = await make({ ...countingOutside(), code: () => codes.shift()! })
    expect(one((await open('1')).replies, 'opened').code).toBe('K7-204')
    expect(one((await open('2')).replies, 'opened').code).toBe('K7-205')
  })

  it('where none is free, no case is made and it says so', async () => {
    const { service, open } = await make({ ...countingOutside(), code: () => 'K7-204' })
    await open('1')
    const opening = await service.open({ v: 1, id: '2', type: 'open', shop: 'demo', language: 'en' })
    expect(opening).toMatchObject({ ok: false, replies: [{ type: 'error', code: 'try-again' }] })
  })
})

describe('the queue', () => {
  it('runs one key in order, goes on after a failure, and other keys meanwhile', async () => {
    const queue = new KeyedQueue()
    const ran: string[] = []
    let release = () => {}
    const first = queue.run('a', async () => {
      await new Promise<void>((resolve) => (release = resolve))
      ran.push('a1')
      throw new Error('a1 failed')
    })
    const second = queue.run('a', async () => void ran.push('a2'))
    await queue.run('b', async () => void ran.push('b1'))
    expect(ran).toEqual(['b1'])
    release()
    await expect(first).rejects.toThrow('a1 failed')
    await second
    await queue.idle()
    expect(ran).toEqual(['b1', 'a1', 'a2'])
  })
})

describe('what was entered while there was no line', () => {
  /** Noon, and one minute more with each look at the clock. */
  const make12 = () => make(countingOutside('2026-06-01T12:00:00.000Z'))

  it('bears the time at which it was entered, never one before what is on record', async () => {
    const { store, service } = await make12()
    const opening = await service.open({
      v: 1,
      id: 'o',
      type: 'open',
      shop: 'demo',
      ago: 60 * 60_000,
    } satisfies OpenMessage)
    if (!opening.ok) throw new Error('not opened')
    const { key, pass } = opening
    const at = async () => (await store.load(key))!.events.map((e) => e.at)
    const [opened] = await at()
    expect(opened! < '2026-06-01T11:10:00.000Z').toBe(true)
    await service.take(key, pass, { ...answer('a'), ago: 30 * 60_000 })
    const [, answered] = await at()
    expect(answered! > opened! && answered! < '2026-06-01T11:50:00.000Z').toBe(true)
    // A device whose clock was put back in between.
    await service.take(key, pass, { ...answer('b', 'check-2'), ago: 24 * 60 * 60_000 })
    expect((await at())[2]).toBe(answered)
    await service.take(key, pass, answer('c', 'check-3'))
    expect((await at())[3]! > '2026-06-01T12:00:00.000Z').toBe(true)
    // When it changed is when it came: what is kept for so long is kept from then.
    expect((await store.row(key))!.changedAt > '2026-06-01T12:00:00.000Z').toBe(true)
  })

  it('keeps the code that the case had, where it is free', async () => {
    const { service } = await make12()
    const open = async (id: string) => {
      const opening = await service.open({
        v: 1,
        id,
        type: 'open',
        shop: 'demo',
        hadCode: 'Q7-123',
      } satisfies OpenMessage)
      return one(opening.replies, 'opened').code
    }
    expect(await open('first')).toBe('Q7-123')
    expect(await open('second')).not.toBe('Q7-123')
  })
})
