import { join } from 'node:path'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { WebSocket } from 'ws'
import { FakeServer } from '../dev/fake-server.ts'
import type { Act } from '../state/messages.ts'
import { reduce } from '../state/reduce.ts'
import { EMPTY, type View } from '../state/view.ts'
import { Connection } from './connection.ts'
import { type Keep, Queue } from './queue.ts'

function memory(): Keep & { map: Map<string, string> } {
  const map = new Map<string, string>()
  return { map, get: (k) => map.get(k) ?? null, set: (k, v) => void map.set(k, v), remove: (k) => void map.delete(k) }
}
const say: Act = { type: 'say', text: 'it jerks' }
const yes: Act = { type: 'answer', answers: [{ check: 'recall-same-both-ways', outcome: 'yes' }] }

// Node 20 has none of its own; in a browser it is the browser's.
vi.stubGlobal('WebSocket', WebSocket)

describe('the queue', () => {
  it('is the same after a reload, whatever was added and settled', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.boolean(), fc.integer({ min: 0, max: 9 }))), (moves) => {
        const keep = memory()
        const queue = new Queue(keep, 'q')
        const expected: string[] = []
        for (const [add, n] of moves) {
          const id = String(n)
          if (add && !expected.includes(id)) {
            queue.add({ id, act: say })
            expected.push(id)
          } else if (!add) {
            expect(queue.settle(id)).toBe(expected.includes(id))
            if (expected.includes(id)) expected.splice(expected.indexOf(id), 1)
          }
        }
        expect(new Queue(keep, 'q').items.map((i) => i.id)).toEqual(expected)
      }),
    )
  })

  it('begins empty where what is kept can not be read', () => {
    const keep = memory()
    keep.set('q', '{"not": "a list"')
    expect(new Queue(keep, 'q').items).toEqual([])
    keep.set('q', '[1, {"id": 3}, {"id": "a", "act": {"type": "say"}}]')
    expect(new Queue(keep, 'q').items).toHaveLength(1)
  })
})

describe('the connection', () => {
  let server: FakeServer
  let url: string
  const open: Connection[] = []

  beforeEach(async () => {
    server = new FakeServer(join(import.meta.dirname, '../dist'))
    url = `${(await server.start(0)).replace('http', 'ws')}/converse`
  })
  afterEach(async () => {
    for (const c of open.splice(0)) c.close()
    await server.stop()
  })

  function connect(keep: Keep, ids = 'a') {
    let n = 0
    const held = { view: EMPTY as View }
    const connection = new Connection({
      url,
      keep,
      key: 'k',
      newId: () => `${ids}-${++n}-${'x'.repeat(20)}`,
      opening: () => ({ shop: 'demo', language: 'en' }),
      happened: (h) => {
        held.view = reduce(held.view, h)
      },
    })
    open.push(connection)
    return { connection, held }
  }
  const until = (what: () => boolean) => vi.waitFor(() => expect(what()).toBe(true), { timeout: 20_000, interval: 20 })

  it('keeps what is entered while there is no line, and sends each once, in order', async () => {
    const keep = memory()
    const { connection, held } = connect(keep)
    connection.connect()
    await until(() => held.view.line === 'open')
    await server.stop()
    await until(() => held.view.line === 'lost')
    connection.send(say)
    connection.send(yes)
    expect(held.view.waiting).toHaveLength(2)
    expect(JSON.parse(keep.get('k.queue')!)).toHaveLength(2)
    await server.start()
    await until(() => held.view.waiting.length === 0)
    expect(keep.get('k.queue')).toBeNull()
    expect(server.taken.map((m) => m.type)).toEqual(['open', 'open', 'say', 'answer'])
    expect(held.view.noted?.trail).toHaveLength(2)
  })

  it('goes on with the same case after a reload, with its pass and from what it has seen', async () => {
    const keep = memory()
    const first = connect(keep)
    first.connection.send(say)
    await until(() => first.held.view.noted?.trail.length === 1 && first.held.view.waiting.length === 0)
    first.connection.close()
    const second = connect(keep, 'b')
    expect(second.connection.started).toBe(true)
    second.connection.connect()
    await until(() => second.held.view.noted?.trail.length === 1)
    expect(server.cases.size).toBe(1)
    expect(server.taken.at(-1)).toMatchObject({ type: 'open', case: 'case-1', pass: 'pass-case-1', since: 2 })
  })

  it('opens one case, though the reply to the first try was lost', async () => {
    const keep = memory()
    keep.set('k.open', 'kept-id')
    const { connection, held } = connect(keep)
    connection.connect()
    await until(() => held.view.line === 'open')
    expect(server.taken[0]).toMatchObject({ type: 'open', id: 'kept-id' })
    expect(keep.get('k.open')).toBeNull()
  })

  it('sends the same id again after a lost reply, and it has its effect once', async () => {
    const keep = memory()
    keep.set('k.queue', JSON.stringify([{ id: 'same', act: say }]))
    const first = connect(keep)
    first.connection.connect()
    await until(() => first.held.view.waiting.length === 0)
    first.connection.close()
    keep.set('k.queue', JSON.stringify([{ id: 'same', act: say }]))
    const second = connect(keep, 'b')
    second.connection.connect()
    await until(() => second.held.view.waiting.length === 0)
    expect(server.taken.filter((m) => m.id === 'same')).toHaveLength(2)
    expect(second.held.view.noted?.trail).toHaveLength(1)
  })

  it('sends one after the other, and says how long ago it was entered', async () => {
    const keep = memory()
    const hourAgo = Date.now() - 3_600_000
    keep.set(
      'k.queue',
      JSON.stringify([
        { id: 'one', act: say, at: hourAgo },
        { id: 'two', act: yes, at: hourAgo + 60_000 },
        { id: 'three', act: { type: 'tell', text: 'in bay two' } },
      ]),
    )
    const { connection, held } = connect(keep)
    // Taken out of turn the second would find nothing to answer; the server asks for the first once more.
    let busy = 1
    server.before = (m) => (m.id === 'one' && busy-- > 0 ? 'busy' : undefined)
    connection.connect()
    await until(() => held.view.waiting.length === 0)
    expect(server.taken.map((m) => m.id).slice(1)).toEqual(['one', 'one', 'two', 'three'])
    const ago = Object.fromEntries(server.taken.map((m) => [m.type, m.ago]))
    expect(Math.round(ago['open']! / 60_000)).toBe(60)
    expect(Math.round(ago['say']! / 60_000)).toBe(60)
    expect(Math.round(ago['answer']! / 60_000)).toBe(59)
    expect(ago['tell']).toBeUndefined()
  })

  it('takes back what has not left, and only that', async () => {
    const { connection, held } = connect(memory())
    connection.connect()
    await until(() => held.view.line === 'open')
    await server.stop()
    await until(() => held.view.line === 'lost')
    const id = connection.send(say)
    expect(connection.drop(id)).toBe(true)
    expect(held.view.waiting).toHaveLength(0)
    await server.start()
    await until(() => held.view.line === 'open')
    const gone = connection.send(say)
    expect(connection.drop(gone)).toBe(false)
    await until(() => held.view.waiting.length === 0)
  })

  it('begins anew when left', async () => {
    const keep = memory()
    const { connection, held } = connect(keep)
    connection.send(say)
    await until(() => held.view.waiting.length === 0 && held.view.noted !== undefined)
    connection.leave()
    expect([...keep.map.keys()]).toEqual([])
    expect(held.view.opened).toBeUndefined()
  })
})
