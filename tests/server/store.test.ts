import { chmodSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'libsql'
import { afterAll, describe, expect, it } from 'vitest'
import type { CaseEvent, ServerMessage } from '../../rules/protocol/index.ts'
import { MIGRATIONS } from '../../server/store/migrations.ts'
import { DATABASE_FILE, SqliteStore } from '../../server/store/sqlite.ts'
import { CodeTaken, NewerSchema, SeqConflict } from '../../server/store/store.ts'
import { removeFolders, temporaryFolder } from './harness.ts'

const AT = '2025-05-05T08:00:00.000Z'
const common = { at: AT, by: 'technician' as const, cause: 'm1' }
const opened: CaseEvent = {
  ...common,
  type: 'opened',
  code: 'K7-204',
  shop: 'demo',
  language: 'en',
  knowledge: 'k1',
  facts: { packVolts: 36, drive: 'resistor-contactor' },
  tag: '12',
}
const told = (words: string): CaseEvent => ({ ...common, type: 'told', words })
const closed: CaseEvent = { ...common, type: 'closed' }
const key = { shop: 'demo', case: 'c1' }
const message = (id: string, sender = 'p1') => ({ id, sender })
const nothing = { at: AT, events: [], words: {}, replies: [] }

async function withCase(store = new SqliteStore(':memory:', AT)) {
  await store.putShop({ id: 'demo', name: 'Larch Lake', origins: [] })
  await store.putShop({ id: 'other', name: 'Other', origins: ['https://a.example'] })
  await store.createCase(key, {
    code: 'K7-204',
    at: AT,
    knowledge: 'k1',
    events: [opened],
    words: {},
    message: message('open-1'),
  })
  return store
}

afterAll(removeFolders)

describe('the SQLite store', () => {
  it('gives back what was appended, in order, numbered, with the words beside it', async () => {
    const store = await withCase()
    const seq = await store.append(key, 1, {
      at: AT,
      events: [told('w1'), closed],
      words: { w1: 'smells of fish' },
      message: message('m2'),
      replies: [],
    })
    expect(seq).toBe(3)
    const record = await store.load(key)
    expect(record?.events.map((e) => [e.seq, e.type])).toEqual([
      [1, 'opened'],
      [2, 'told'],
      [3, 'closed'],
    ])
    expect(record?.events[0]).toEqual({ ...opened, seq: 1 })
    expect(record?.words).toEqual({ w1: 'smells of fish' })
    expect(await store.row(key)).toMatchObject({ seq: 3, status: 'closed', tag: '12', code: 'K7-204' })
  })

  it('keeps events as RFC 8785 text: keys sorted, no blanks, numbers as ECMAScript writes them', async () => {
    const folder = temporaryFolder()
    const store = await withCase(SqliteStore.inFolder(folder, AT))
    // RFC 8785, 3.2.2: the number samples of its worked example, as readings.
    const samples = JSON.parse('[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]') as number[]
    for (const [i, value] of samples.entries()) {
      await store.append(key, 1 + i, {
        ...nothing,
        events: [{ ...common, type: 'answered', check: 'c', reading: { value, unit: 'Ω' } }],
        message: message(`r${i}`),
      })
    }
    await store.close()
    const db = new Database(join(folder, DATABASE_FILE))
    const texts = db.prepare('select event from events order by seq').all() as { event: string }[]
    db.close()
    expect(texts[0]!.event).toBe(
      `{"at":"${AT}","by":"technician","cause":"m1","code":"K7-204","facts":{"drive":"resistor-contactor","packVolts":36},"knowledge":"k1","language":"en","shop":"demo","tag":"12","type":"opened"}`,
    )
    const values = texts.slice(1).map(({ event }) => /"reading":\{"unit":"Ω","value":([^}]+)\}/.exec(event)?.[1])
    expect(values).toEqual(['333333333.3333333', '1e+30', '4.5', '0.002', '1e-27'])
  })

  it('refuses to append to a case that has moved on', async () => {
    const store = await withCase()
    await store.append(key, 1, { ...nothing, events: [told('w1')], words: { w1: 'x' }, message: message('a') })
    await expect(
      store.append(key, 1, { ...nothing, events: [told('w2')], words: { w2: 'y' }, message: message('b') }),
    ).rejects.toThrow(SeqConflict)
    expect((await store.load(key))?.events).toHaveLength(2)
    expect(await store.repliesTo(key, message('b'))).toBeUndefined()
  })

  it('keeps all of one message or nothing of it', async () => {
    const store = await withCase()
    await store.append(key, 1, { ...nothing, events: [told('w1')], words: { w1: 'x' }, message: message('a') })
    await expect(
      // The key of the words is taken: found out only after the event is written.
      store.append(key, 2, { ...nothing, events: [told('w1')], words: { w1: 'y' }, message: message('b') }),
    ).rejects.toThrow()
    expect((await store.load(key))?.events).toHaveLength(2)
    expect(await store.row(key)).toMatchObject({ seq: 2 })
  })

  it('remembers a message by its sender, with its replies', async () => {
    const store = await withCase()
    const reply: ServerMessage = { v: 1, type: 'because', case: 'c1', seq: 1, say: ['so'] }
    await store.append(key, 1, { ...nothing, message: message('a'), replies: [reply] })
    expect(await store.repliesTo(key, message('a'))).toEqual({ replies: [reply] })
    expect(await store.repliesTo(key, message('a', 'p2'))).toBeUndefined()
    expect(await store.repliesTo({ shop: 'other', case: 'c1' }, message('a'))).toBeUndefined()
  })

  it('forgets old replies, but not that the message had its effect', async () => {
    const store = await withCase()
    for (let i = 0; i < 102; i++) await store.append(key, 1, { ...nothing, message: message(`m${i}`) })
    expect(await store.repliesTo(key, message('m0'))).toEqual({})
    expect(await store.repliesTo(key, message('m1'))).toEqual({})
    expect(await store.repliesTo(key, message('m2'))).toEqual({ replies: [] })
  })

  it('gives a code to one open case of a shop only', async () => {
    const store = await withCase()
    const made = { code: 'K7-204', at: AT, knowledge: 'k1', events: [opened], words: {}, message: message('open-2') }
    await expect(store.createCase({ shop: 'demo', case: 'c2' }, made)).rejects.toThrow(CodeTaken)
    await store.createCase({ shop: 'other', case: 'c2' }, made)
    await store.append(key, 1, { ...nothing, events: [closed], message: message('z') })
    await store.createCase({ shop: 'demo', case: 'c3' }, made)
    expect(await store.caseByCode('demo', 'K7-204')).toBe('c3')
    expect(await store.caseByCode('other', 'K7-204')).toBe('c2')
    expect(await store.caseByCode('demo', 'A1-000')).toBeUndefined()
  })

  it('keeps shops apart', async () => {
    const store = await withCase()
    expect(await store.load({ shop: 'other', case: 'c1' })).toBeUndefined()
    expect(await store.row({ shop: 'other', case: 'c1' })).toBeUndefined()
    expect(await store.list('other')).toEqual([])
    expect((await store.list('demo')).map((r) => r.case)).toEqual(['c1'])
    expect(await store.caseOpenedBy('other', message('open-1'))).toBeUndefined()
    expect(await store.caseOpenedBy('demo', message('open-1'))).toBe('c1')
  })

  it('records which knowledge a case went on with', async () => {
    const store = await withCase()
    await store.append(key, 1, { ...nothing, message: message('a'), knowledge: 'k2' })
    expect(await store.knowledgeOf(key)).toEqual([{ from: 1, hash: 'k1', at: AT }])
    await store.append(key, 1, {
      ...nothing,
      events: [told('w1')],
      words: { w1: 'x' },
      message: message('b'),
      knowledge: 'k2',
    })
    expect(await store.knowledgeOf(key)).toEqual([
      { from: 1, hash: 'k1', at: AT },
      { from: 2, hash: 'k2', at: AT },
    ])
    expect(await store.row(key)).toMatchObject({ knowledge: 'k2' })
  })

  it('erases words so that they are not left in the file', async () => {
    const folder = temporaryFolder()
    const store = await withCase(SqliteStore.inFolder(folder, AT))
    const secret = 'call Robin at the boathouse'
    await store.append(key, 1, {
      at: AT,
      events: [told('w1')],
      words: { w1: secret },
      message: message('a'),
      replies: [{ v: 1, type: 'because', case: 'c1', seq: 2, say: [secret] }],
    })
    const bytes = () =>
      ['', '-wal']
        .map((end) => {
          try {
            return readFileSync(join(folder, DATABASE_FILE + end), 'latin1')
          } catch {
            return ''
          }
        })
        .join('')
    expect(bytes()).toContain(secret)
    await store.eraseWords(key)
    expect(bytes()).not.toContain(secret)
    const record = await store.load(key)
    expect(record?.words).toEqual({})
    expect(record?.events).toHaveLength(2)
    expect(await store.repliesTo(key, message('a'))).toEqual({})
    await store.close()
  })

  it("is its owner's alone, also in a folder that others may read", async () => {
    const folder = temporaryFolder()
    chmodSync(folder, 0o755)
    const store = await withCase(SqliteStore.inFolder(folder, AT))
    const files = readdirSync(folder)
    expect(files).toContain(DATABASE_FILE)
    for (const file of files) expect([file, statSync(join(folder, file)).mode & 0o077]).toEqual([file, 0])
    await store.close()
  })

  it('makes a secret once', async () => {
    const store = await withCase()
    expect(await store.secret('s', () => 'one')).toBe('one')
    expect(await store.secret('s', () => 'two')).toBe('one')
  })

  it('is fully synced and written ahead', async () => {
    const folder = temporaryFolder()
    const store = SqliteStore.inFolder(folder, AT)
    const db = new Database(join(folder, DATABASE_FILE))
    expect(db.pragma('journal_mode')).toEqual([{ journal_mode: 'wal' }])
    db.close()
    // FULL is 2: https://www.sqlite.org/pragma.html#pragma_synchronous
    expect(store.synchronous()).toBe(2)
    await store.close()
  })

  it('runs migrations forward, records them, and refuses a newer schema', async () => {
    const folder = temporaryFolder()
    const file = join(folder, DATABASE_FILE)
    await (await withCase(SqliteStore.inFolder(folder, AT))).close()
    const next = {
      version: 2,
      name: 'a colour for shops',
      sql: "alter table shops add column colour text not null default ''",
    }
    const newer = new SqliteStore(file, '2026-01-01T00:00:00.000Z', [...MIGRATIONS, next])
    expect((await newer.load(key))?.events).toHaveLength(1)
    await newer.close()
    const db = new Database(file)
    expect(db.prepare('select version, name, at from schema_migrations order by version').raw().all()).toEqual([
      [1, MIGRATIONS[0]!.name, AT],
      [2, next.name, '2026-01-01T00:00:00.000Z'],
    ])
    db.close()
    expect(() => new SqliteStore(file, AT)).toThrow(NewerSchema)
    expect(() => new SqliteStore(file, AT)).toThrow(/has schema 2.*knows 1.*Start the newer version/s)
  })

  it('leaves the schema as it was where a migration fails', async () => {
    const folder = temporaryFolder()
    const file = join(folder, DATABASE_FILE)
    await SqliteStore.inFolder(folder, AT).close()
    const broken = { version: 2, name: 'broken', sql: 'create table half (a text); create table half (a text)' }
    expect(() => new SqliteStore(file, AT, [...MIGRATIONS, broken])).toThrow()
    const store = new SqliteStore(file, AT)
    await store.close()
    const db = new Database(file)
    expect(db.prepare("select count(*) as n from sqlite_master where name = 'half'").raw().get()).toEqual([0])
    db.close()
  })
})
