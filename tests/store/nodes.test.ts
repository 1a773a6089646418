import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import { readConfig } from '../../server/config.ts'
import { realOutside } from '../../server/outside.ts'
import { openStore } from '../../server/store/open.ts'
import { as, staff } from '../server/api.ts'
import { type Harness, removeFolders, startHarness, temporaryFolder } from '../server/harness.ts'
import { type ServerProcess, spawnNode, spawnServer } from '../server/process.ts'
import { one, Screen } from '../server/screen.ts'
import { startPostgres, type TestPostgres } from './postgres.ts'

const FAKE = 'tests/server/fake-main.ts'
let postgres: TestPostgres
beforeAll(async () => {
  postgres = await startPostgres()
})
const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})
afterAll(async () => {
  await postgres?.stop()
  removeFolders()
})

async function node(url: string): Promise<ServerProcess> {
  const server = await spawnServer(FAKE, { DATABASE_URL: url, DATA_DIR: temporaryFolder() })
  ends.push(async () => {
    server.child.kill('SIGKILL')
    await server.exited
  })
  return server
}
async function inThisProcess(url: string): Promise<Harness> {
  const server = await startHarness({ env: { DATABASE_URL: url } })
  ends.push(() => server.stop())
  return server
}
async function screen(server: { port: number }): Promise<Screen> {
  const made = await Screen.connect(server.port)
  ends.push(() => made.close())
  return made
}
/** The replies to a message sent more than once: those to the last time. */
const newest = (replies: readonly ServerMessage[]) => replies.slice(replies.findLastIndex((m) => m.type === 'noted'))
const tryAgain = { type: 'error', code: 'try-again' }

describe('several servers on one PostgreSQL', () => {
  it('a screen on one follows a case that another serves', async () => {
    const url = await postgres.create()
    const [a, b] = [await node(url), await node(url)]
    // The pass that the first printed is good on both; the second prints none.
    expect(a.pass).toBeDefined()
    expect(b.pass).toBeUndefined()
    const customer = await screen(a)
    const opened = await customer.open()
    const technician = await screen(b)
    await technician.open({ pass: a.pass, code: opened.code })
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] })
    const noted = await technician.until((m) => m.type === 'noted' && m.trail.length === 1, 'what the other node took')
    expect(noted).toMatchObject({ trail: [{ check: 'check-1', answer: 'no', by: 'customer' }] })
    expect(noted.re).toBeUndefined()
    // And back.
    await technician.ask({ type: 'answer', answers: [{ check: 'check-2', outcome: 'yes' }] })
    await customer.until((m) => m.type === 'noted' && m.trail.length === 2, 'what the technician found')
    // A message repeated on the other node has had its effect.
    const id = Screen.id()
    await customer.ask({ type: 'answer', id, answers: [{ check: 'check-3', outcome: 'yes' }] })
    const elsewhere = await screen(b)
    await elsewhere.open({ pass: opened.pass })
    const again = await elsewhere.ask({ type: 'answer', id, answers: [{ check: 'check-3', outcome: 'yes' }] })
    expect(one(again, 'noted').trail).toHaveLength(3)
    expect(one(again, 'noted').seq).toBe(4)
  })

  it('both step one case at once: nothing is lost, nothing counts twice', async () => {
    const url = await postgres.create()
    const [a, b] = [await node(url), await node(url)]
    const first = await screen(a)
    const opened = await first.open()
    const second = await screen(b)
    await second.open({ pass: opened.pass })
    const last: Promise<unknown>[] = []
    for (let i = 0; i < 15; i++) {
      last.push(first.ask({ type: 'tell', text: `a${i}` }), second.ask({ type: 'tell', text: `b${i}` }))
    }
    const replies = (await Promise.all(last)) as { type: string; code?: string }[][]
    const refused = replies.flat().filter((m) => m.type === 'error')
    // One that lost five times in a row is told to try again; what was replied to is there.
    for (const error of refused) expect(error.code).toBe('try-again')
    const view = await (await screen(a)).ask({ type: 'open', pass: opened.pass })
    const texts = one(view, 'noted').notes.map((n) => n.text)
    expect(texts).toHaveLength(30 - refused.length)
    expect(new Set(texts).size).toBe(texts.length)
    for (const who of ['a', 'b']) {
      const own = texts.filter((t) => t.startsWith(who)).map((t) => Number(t.slice(1)))
      expect(own).toEqual([...own].sort((x, y) => x - y))
    }
  })

  it('signed out on one, a screen on the other is shown no more', async () => {
    const url = await postgres.create()
    const [a, b] = [await inThisProcess(url), await inThisProcess(url)]
    const { technician, asTechnician } = await staff(a)
    const customer = await screen(a)
    const opened = await customer.open()
    const bench = await screen(b)
    await bench.open({ pass: technician.pass, code: opened.code })
    // The first that is told may come before the ear of the other is there.
    let heard = false
    const first = bench.until((m) => m.type === 'noted' && m.re === undefined, 'a change').then(() => (heard = true))
    while (!heard) {
      await customer.ask({ type: 'tell', text: 'for both' })
      await Promise.race([first, new Promise((resolve) => setTimeout(resolve, 50))])
    }
    await asTechnician.post('/sign-out').expect(200)
    await customer.ask({ type: 'tell', text: 'not for everybody' })
    expect(await bench.until((m) => m.type === 'error', 'that it is over')).toMatchObject({ code: 'bad-pass' })
    expect(JSON.stringify(bench.received)).not.toContain('not for everybody')
  })

  it('export, erase and import go over different servers, byte for byte', async () => {
    const url = await postgres.create()
    const [a, b] = [await inThisProcess(url), await inThisProcess(url)]
    const { dealer } = await staff(a)
    const [deskA, deskB] = [as(a, dealer.pass), as(b, dealer.pass)]
    const customer = await screen(a)
    const opened = await customer.open({ tag: 'Car 12' })
    await customer.ask({ type: 'tell', text: 'größer "als" 日本' })
    const path = `/cases/${opened.case}`
    const before = (await deskA.get(`${path}/export`).expect(200)).text
    expect(before).toContain('größer')
    await deskB.post('/erase', { cases: [opened.case] }).expect(200, { erased: [opened.case], nothingLeft: [] })
    expect((await deskA.get(`${path}/export`)).text).not.toContain('größer')
    await deskB.delete(path).expect(200)
    await deskA.get(path).expect(404)
    await deskA.post('/cases/import', before).expect(200)
    expect((await deskB.get(`${path}/export`)).text).toBe(before)
    expect((await deskB.get('/cases?tag=car12')).body).toMatchObject({ total: 1, cases: [{ code: opened.code }] })
  })

  it('one is killed in the middle of a conversation: the other goes on with nothing lost', async () => {
    const url = await postgres.create()
    const [a, b] = [await node(url), await node(url)]
    const customer = await screen(a)
    const opened = await customer.open()
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] })
    // A technician's screen, on the other server, looks on all the while.
    const technician = await screen(b)
    await technician.open({ pass: a.pass, code: opened.code })
    for (let i = 0; i < 200; i++) customer.send({ type: 'tell', text: `note ${i}` })
    await customer.until((m) => m.type === 'noted' && m.notes.length >= 20, 'twenty notes')
    a.child.kill('SIGKILL')
    expect(await a.exited).toBe('SIGKILL')
    await customer.untilClosed()
    const least = Math.max(...customer.received.flatMap((m) => (m.type === 'noted' ? [m.notes.length] : [])))
    const again = await screen(b)
    const view = await again.ask({ type: 'open', pass: opened.pass, since: 1 })
    const { notes, trail } = one(view, 'noted')
    expect(trail).toMatchObject([{ check: 'check-1', answer: 'no' }])
    expect(notes.length).toBeGreaterThanOrEqual(least)
    expect(notes.map((n) => n.text)).toEqual(notes.map((_, i) => `note ${i}`))
    const next = await again.ask({ type: 'answer', answers: [{ check: 'check-2' }] })
    expect(one(next, 'noted').trail).toHaveLength(2)
    // It saw what the killed server had kept, to the last note, and sees what the other keeps now.
    const followed = await technician.until((m) => m.type === 'noted' && m.trail.length === 2, 'the next answer')
    expect(followed).toMatchObject({ notes: notes.map((n) => ({ text: n.text })) })
    expect(followed.re).toBeUndefined()
  })
})

describe('when PostgreSQL fails', () => {
  it('every connection is cut in the middle: the conversation goes on, also on the other server', async () => {
    const url = await postgres.create()
    const [a, b] = [await inThisProcess(url), await inThisProcess(url)]
    const customer = await screen(a)
    const opened = await customer.open()
    const technician = await screen(b)
    await technician.open({ pass: a.pass, code: opened.code })
    await postgres.cut(url)
    // The first message may find a dead connection; sent again with the same id it counts once.
    const id = Screen.id()
    const message = { type: 'answer', id, answers: [{ check: 'check-1', outcome: 'no' }] } satisfies Parameters<
      Screen['ask']
    >[0]
    let replies = await customer.ask(message)
    for (let i = 0; i < 5 && replies.at(-1)?.type === 'error'; i++) {
      expect(replies.at(-1)).toMatchObject(tryAgain)
      replies = await customer.ask(message)
    }
    expect(one(newest(replies), 'noted').trail).toHaveLength(1)
    // The ear of the other server comes back by itself and shows what it missed.
    await technician.until((m) => m.type === 'noted' && m.trail.length === 1, 'what was missed')
  })

  it('while it is stopped every message says so, and is taken once it runs again', async () => {
    const url = await postgres.create()
    const server = await inThisProcess(url)
    const customer = await screen(server)
    const opened = await customer.open()
    const start = await postgres.restart()
    const id = Screen.id()
    const message = { type: 'tell', id, text: 'the brake squeals' } as const
    const down = await customer.ask(message)
    expect(down).toMatchObject([{ ...tryAgain, re: id }])
    expect((down[0] as { mend: string }).mend).toMatch(/same id/)
    expect(await (await screen(server)).ask({ type: 'open' })).toMatchObject([tryAgain])
    expect((await fetch(`${server.base}/healthz`)).status).toBe(503)
    const desk = await as(server, server.dealerPass).get('/cases').expect(503)
    expect(desk.body.error).toMatchObject({ code: 'try-again' })
    await start()
    const replies = await customer.ask(message)
    expect(one(newest(replies), 'noted').notes.map((n) => n.text)).toEqual(['the brake squeals'])
    expect(one(newest(await customer.ask(message)), 'noted').notes).toHaveLength(1)
    expect((await fetch(`${server.base}/healthz`)).status).toBe(200)
    expect(one(await (await screen(server)).ask({ type: 'open', pass: opened.pass }), 'noted').notes).toHaveLength(1)
  })

  it('its disk is full: nothing of the message is kept, and it is taken once there is room', async () => {
    const url = await postgres.create()
    const server = await inThisProcess(url)
    const customer = await screen(server)
    const opened = await customer.open()
    const database = await postgres.as(url)
    // 53100, disk_full: PostgreSQL's manual, appendix A. Raised where the words are written, after the event.
    await database.query(`
      create function full_disk() returns trigger language plpgsql as
        $$ begin raise exception 'No space left on device' using errcode = '53100'; end $$;
      create trigger full_disk before insert on words for each row execute function full_disk()`)
    const id = Screen.id()
    const message = { type: 'tell', id, text: 'the brake squeals' } as const
    expect(await customer.ask(message)).toMatchObject([{ ...tryAgain, re: id }])
    const { rows } = await database.query('select count(*)::int as n from events where case_id = $1', [opened.case])
    expect(rows).toEqual([{ n: 1 }])
    await database.query('drop trigger full_disk on words')
    await database.end()
    expect(one(newest(await customer.ask(message)), 'noted').notes).toHaveLength(1)
  })
})

describe('when the disk under SQLite is full', () => {
  it('nothing of the message is kept, and it is taken once there is room', async () => {
    const dataDir = temporaryFolder()
    const store = await openStore({ database: 'sqlite', dataDir }, realOutside.now())
    const server = await startHarness({ dataDir, store })
    ends.push(() => server.stop())
    const customer = await screen(server)
    const opened = await customer.open()
    const db = store.db as unknown as { pragma(source: string): { page_count: number }[] }
    // SQLite itself says SQLITE_FULL at this size: https://www.sqlite.org/pragma.html#pragma_max_page_count
    db.pragma(`max_page_count = ${db.pragma('page_count')[0]!.page_count}`)
    const texts: string[] = []
    let refused: { id: string; text: string } | undefined
    for (let i = 0; i < 50 && !refused; i++) {
      const text = `${i} ${'squeals '.repeat(200)}`.trim()
      const id = Screen.id()
      const replies = await customer.ask({ type: 'tell', id, text })
      if (replies[0]?.type === 'error') {
        expect(replies).toMatchObject([{ ...tryAgain, re: id }])
        refused = { id, text }
      } else texts.push(text)
    }
    expect(refused).toBeDefined()
    const key = { shop: 'demo', case: opened.case }
    expect(Object.values((await store.load(key))!.words)).toHaveLength(texts.length)
    db.pragma('max_page_count = 1000000')
    const replies = await customer.ask({ type: 'tell', ...refused! })
    expect(one(newest(replies), 'noted').notes.map((n) => n.text)).toEqual([...texts, refused!.text])
  })
})

describe('a PostgreSQL that can not be used', () => {
  it.each([
    ['nothing there', (url: URL) => Object.assign(url, { port: '1' }), /nothing answers there.*Start PostgreSQL/],
    ['a wrong password', (url: URL) => Object.assign(url, { password: 'wrong' }), /password is not accepted/],
    ['no such database', (url: URL) => Object.assign(url, { pathname: '/nowhere' }), /no such database\. Create it/],
  ])('%s: the server does not start, says what to mend, and shows no password', async (_name, change, says) => {
    const url = change(new URL(await postgres.create())).href
    const run = spawnNode([FAKE], { PORT: '0', DATABASE_URL: url, LOG_LEVEL: 'silent' })
    expect(await run.exited).toBe(1)
    expect(run.err()).toMatch(says)
    expect(run.err()).toMatch(/^DATABASE_URL can't be used/)
    expect(run.err()).not.toMatch(/wrong|tests:tests|\n {4}at /)
  })

  it('one from the future is left alone', async () => {
    const url = await postgres.create()
    const config = readConfig({ DATABASE_URL: url })
    const store = await openStore(config, realOutside.now())
    await store.db.run("insert into schema_migrations values (999, 'later', '')")
    await store.close()
    const run = spawnNode([FAKE], { PORT: '0', DATABASE_URL: url, LOG_LEVEL: 'silent' })
    expect(await run.exited).toBe(1)
    expect(run.err()).toMatch(/schema 999.*newer version/)
  })
})
