import { chmodSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import SqliteFile from 'libsql'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { CaseEvent, ServerMessage } from '../../rules/protocol/index.ts'
import type { Database } from '../../server/store/database.ts'
import { MIGRATIONS, type Migration, migrate } from '../../server/store/migrations.ts'
import { PostgresDatabase } from '../../server/store/postgresql.ts'
import { SqlStore } from '../../server/store/sql-store.ts'
import { DATABASE_FILE, SqliteDatabase } from '../../server/store/sqlite.ts'
import {
  AlreadyOpened,
  CaseDiffers,
  CodeTaken,
  LoginTaken,
  NewerSchema,
  SeqConflict,
} from '../../server/store/store.ts'
import { removeFolders, temporaryFolder } from '../server/harness.ts'
import { startPostgres, type TestPostgres } from './postgres.ts'

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

let postgres: TestPostgres
const opened_: SqlStore[] = []
beforeAll(async () => {
  postgres = await startPostgres()
})
afterEach(async () => {
  for (const store of opened_.splice(0)) await store.close()
})

/** Where a suite keeps its data, to be opened more than once. */
interface Place {
  connect(): Promise<Database>
}
const PLACES: Record<string, () => Promise<Place>> = {
  SQLite: async () => {
    const folder = temporaryFolder()
    return { connect: async () => SqliteDatabase.inFolder(folder) }
  },
  PostgreSQL: async () => {
    const url = await postgres.create()
    return { connect: async () => new PostgresDatabase(url) }
  },
}

async function openAt(place: Place, migrations: readonly Migration[] = MIGRATIONS, at = AT): Promise<SqlStore> {
  const db = await place.connect()
  const store = new SqlStore(db)
  opened_.push(store)
  await migrate(db, at, migrations)
  return store
}

async function inFolder(folder = temporaryFolder()) {
  const store = new SqlStore(SqliteDatabase.inFolder(folder))
  opened_.push(store)
  await migrate(store.db, AT)
  return { store, folder }
}

async function withCase(store: SqlStore) {
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

afterAll(async () => {
  await postgres?.stop()
  removeFolders()
})

describe.each(Object.entries(PLACES))('the store on %s', (name, makePlace) => {
  const fresh = async () => withCase(await openAt(await makePlace()))

  it('gives back what was appended, in order, numbered, with the words beside it', async () => {
    const store = await fresh()
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
    const store = await fresh()
    // RFC 8785, 3.2.2: the number samples of its worked example, as readings.
    const samples = JSON.parse('[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]') as number[]
    for (const [i, value] of samples.entries()) {
      await store.append(key, 1 + i, {
        ...nothing,
        events: [{ ...common, type: 'answered', check: 'c', reading: { value, unit: 'Ω' } }],
        message: message(`r${i}`),
      })
    }
    const texts = (await store.db.all('select event from events order by seq')) as { event: string }[]
    expect(texts[0]!.event).toBe(
      `{"at":"${AT}","by":"technician","cause":"m1","code":"K7-204","facts":{"drive":"resistor-contactor","packVolts":36},"knowledge":"k1","language":"en","shop":"demo","tag":"12","type":"opened"}`,
    )
    const values = texts.slice(1).map(({ event }) => /"reading":\{"unit":"Ω","value":([^}]+)\}/.exec(event)?.[1])
    expect(values).toEqual(['333333333.3333333', '1e+30', '4.5', '0.002', '1e-27'])
  })

  it('refuses to append to a case that has moved on', async () => {
    const store = await fresh()
    await store.append(key, 1, { ...nothing, events: [told('w1')], words: { w1: 'x' }, message: message('a') })
    await expect(
      store.append(key, 1, { ...nothing, events: [told('w2')], words: { w2: 'y' }, message: message('b') }),
    ).rejects.toThrow(SeqConflict)
    expect((await store.load(key))?.events).toHaveLength(2)
    expect(await store.repliesTo(key, message('b'))).toBeUndefined()
  })

  it('keeps all of one message or nothing of it', async () => {
    const store = await fresh()
    await store.append(key, 1, { ...nothing, events: [told('w1')], words: { w1: 'x' }, message: message('a') })
    await expect(
      // The key of the words is taken: found out only after the event is written.
      store.append(key, 2, { ...nothing, events: [told('w1')], words: { w1: 'y' }, message: message('b') }),
    ).rejects.toThrow()
    expect((await store.load(key))?.events).toHaveLength(2)
    expect(await store.row(key)).toMatchObject({ seq: 2 })
  })

  it('remembers a message by its sender, with its replies', async () => {
    const store = await fresh()
    const reply: ServerMessage = { v: 1, type: 'because', case: 'c1', seq: 1, say: ['so'] }
    await store.append(key, 1, { ...nothing, message: message('a'), replies: [reply] })
    expect(await store.repliesTo(key, message('a'))).toEqual({ replies: [reply] })
    expect(await store.repliesTo(key, message('a', 'p2'))).toBeUndefined()
    expect(await store.repliesTo({ shop: 'other', case: 'c1' }, message('a'))).toBeUndefined()
  })

  it('forgets old replies, but not that the message had its effect', async () => {
    const store = await fresh()
    for (let i = 0; i < 102; i++) await store.append(key, 1, { ...nothing, message: message(`m${i}`) })
    expect(await store.repliesTo(key, message('m0'))).toEqual({})
    expect(await store.repliesTo(key, message('m1'))).toEqual({})
    expect(await store.repliesTo(key, message('m2'))).toEqual({ replies: [] })
  })

  it('gives a code to one open case of a shop only', async () => {
    const store = await fresh()
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
    const store = await fresh()
    expect(await store.load({ shop: 'other', case: 'c1' })).toBeUndefined()
    expect(await store.row({ shop: 'other', case: 'c1' })).toBeUndefined()
    expect(await store.list('other')).toEqual([])
    expect((await store.list('demo')).map((r) => r.case)).toEqual(['c1'])
    expect(await store.caseOpenedBy('other', message('open-1'))).toBeUndefined()
    expect(await store.caseOpenedBy('demo', message('open-1'))).toBe('c1')
  })

  it('records which knowledge a case went on with', async () => {
    const store = await fresh()
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

  it('makes a secret once', async () => {
    const store = await fresh()
    expect(await store.secret('s', () => 'one')).toBe('one')
    expect(await store.secret('s', () => 'two')).toBe('one')
  })

  it('runs migrations forward, records them, and refuses a newer schema', async () => {
    const place = await makePlace()
    // A database of the first release, with a case in it.
    const old = await place.connect()
    await migrate(old, AT, MIGRATIONS.slice(0, 1))
    await old.run(`insert into shops (id, name, origins) values ('demo', 'Larch Lake', '[]')`)
    await old.run(
      `insert into cases values ('demo', 'c1', 'K7-204', 1, 'open', '12', 'k1', 'p1', 'open-1', '${AT}', '${AT}')`,
    )
    await old.run('insert into events values (?, ?, ?, ?)', 'demo', 'c1', 1, JSON.stringify(opened))
    await old.close()

    const newest = MIGRATIONS.length
    const next: Migration = {
      version: newest + 1,
      name: 'a bay for cases',
      sql: ({ text }) => `alter table cases add column bay ${text} not null default ''`,
    }
    const newer = await openAt(place, [...MIGRATIONS, next], '2026-01-01T00:00:00.000Z')
    expect((await newer.load(key))?.events).toEqual([{ ...opened, seq: 1 }])
    // What the second step added is there for the case that was before it.
    expect((await newer.summaries('demo'))[0]?.summary).toMatchObject({ tag: '12', drive: 'resistor-contactor' })
    expect(await newer.db.all('select version, name, at from schema_migrations order by version')).toEqual([
      { version: 1, name: MIGRATIONS[0]!.name, at: AT },
      ...[...MIGRATIONS.slice(1), next].map(({ version, name }) => ({ version, name, at: '2026-01-01T00:00:00.000Z' })),
    ])
    await expect(openAt(place)).rejects.toThrow(NewerSchema)
    await expect(openAt(place)).rejects.toThrow(
      new RegExp(`has schema ${newest + 1}.*knows ${newest}.*Start the newer version`, 's'),
    )
  })

  it('leaves the schema as it was where a migration fails', async () => {
    const place = await makePlace()
    await openAt(place)
    const broken: Migration = {
      version: MIGRATIONS.length + 1,
      name: 'broken',
      sql: () => 'create table half (a text); create table half (a text)',
    }
    await expect(openAt(place, [...MIGRATIONS, broken])).rejects.toThrow(/half/)
    const store = await openAt(place)
    await expect(store.db.all('select * from half')).rejects.toThrow(/half/)
    expect(await store.db.all('select max(version) as v from schema_migrations')).toEqual([{ v: MIGRATIONS.length }])
  })

  it('two servers that start at once on an empty database run each migration once', async () => {
    const place = await makePlace()
    const stores = await Promise.all([openAt(place), openAt(place), openAt(place)])
    expect(await stores[0]!.db.all('select version from schema_migrations order by version')).toEqual(
      MIGRATIONS.map(({ version }) => ({ version })),
    )
  })

  it('one message makes one case, also where two servers take it at once', async () => {
    const place = await makePlace()
    const stores = [await withCase(await openAt(place)), await openAt(place), await openAt(place)]
    const results = await Promise.allSettled(
      stores.map((store, i) =>
        store.createCase(
          { shop: 'demo', case: `twin-${i}` },
          {
            code: `K7-30${i}`,
            at: AT,
            knowledge: 'k1',
            events: [opened],
            words: {},
            message: message('the-same'),
            once: true,
          },
        ),
      ),
    )
    expect(results.filter((r) => r.status === 'fulfilled')).toHaveLength(1)
    for (const r of results) if (r.status === 'rejected') expect(r.reason).toBeInstanceOf(AlreadyOpened)
    expect((await stores[0]!.list('demo')).filter((r) => r.case.startsWith('twin'))).toHaveLength(1)
  })

  it('of two servers that append at once one is told so', async () => {
    const place = await makePlace()
    const first = await withCase(await openAt(place))
    const second = await openAt(place)
    const results = await Promise.allSettled(
      [first, second].map((store, i) =>
        store.append(key, 1, {
          ...nothing,
          events: [told(`w${i}`)],
          words: { [`w${i}`]: 'x' },
          message: message(`m${i}`),
        }),
      ),
    )
    expect(results.map((r) => r.status).sort()).toEqual(['fulfilled', 'rejected'])
    expect(results.find((r) => r.status === 'rejected')?.reason).toBeInstanceOf(SeqConflict)
    expect((await first.load(key))?.events).toHaveLength(2)
  })

  it('texts come back as they were: any script, quotes, and what looks like SQL', async () => {
    const store = await fresh()
    const texts = ['Robin\'s "car"; drop table cases; --', 'größer, Ω, 日本, 🛠', '  blanks  ', 'a\nb\tc', '? $1 ?']
    for (const [i, text] of texts.entries()) {
      await store.append(key, 1 + i, {
        ...nothing,
        events: [told(`w${i}`)],
        words: { [`w${i}`]: text },
        message: message(`t${i}`),
      })
    }
    expect(Object.values((await store.load(key))!.words)).toEqual(texts)
  })

  it('a text with U+0000 does not stop a case', async () => {
    const store = await fresh()
    await store.append(key, 1, {
      ...nothing,
      events: [{ ...told('w1'), cause: 'a\0b' }],
      words: { w1: 'a\0b' },
      message: message('id\0'),
    })
    const record = await store.load(key)
    expect(record?.events[1]).toMatchObject({ cause: 'a\0b' })
    expect(record?.words.w1).toBe('a\uFFFDb')
    expect(await store.repliesTo(key, message('id\0'))).toEqual({ replies: [] })
  })

  it('erases the words of a case, and its replies; the events stay', async () => {
    const store = await fresh()
    await store.append(key, 1, { ...nothing, events: [told('w1')], words: { w1: 'x' }, message: message('a') })
    expect(await store.eraseWords(key, { at: AT, who: 'p-1' })).toBe(true)
    expect((await store.load(key))?.words).toEqual({})
    expect((await store.load(key))?.events).toHaveLength(2)
    expect(await store.repliesTo(key, message('a'))).toEqual({})
    expect(await store.eraseWords(key, { at: AT, who: 'p-1' })).toBe(false)
    expect(await store.erasures('demo')).toEqual([{ case: 'c1', at: AT, who: 'p-1', what: 'words' }])
  })

  it('erases a case as a whole, with the pass that opens it, and puts an exported one back', async () => {
    const store = await fresh()
    const pass = { id: 'customers', shop: 'demo', role: 'customer' as const, case: 'c1' }
    await store.addPass(pass, AT)
    await store.append(key, 1, {
      ...nothing,
      events: [told('w1')],
      words: { w1: 'x' },
      message: message('a'),
      knowledge: 'k2',
    })
    const before = { record: await store.load(key), row: await store.row(key), knowledge: await store.knowledgeOf(key) }
    await store.eraseCase(key, { at: AT, who: 'p-1' })
    expect(await store.load(key)).toBeUndefined()
    expect(await store.pass('customers')).toBeUndefined()
    const made = { code: 'K7-204', events: before.record!.events, words: { w1: 'x' }, knowledge: before.knowledge }
    await store.importCase(key, made)
    expect({
      record: await store.load(key),
      row: await store.row(key),
      knowledge: await store.knowledgeOf(key),
    }).toEqual(before)
    // Once more is nothing; with other events it is refused.
    await store.importCase(key, made)
    await expect(store.importCase(key, { ...made, events: made.events.slice(0, 1) })).rejects.toThrow(CaseDiffers)
    await store.append(key, 2, { ...nothing, events: [told('w2')], words: { w2: 'y' }, message: message('b') })
    await expect(store.importCase(key, made)).rejects.toThrow(CaseDiffers)
    await expect(store.importCase({ shop: 'demo', case: 'c9' }, made)).rejects.toThrow(CodeTaken)
  })

  it('keeps a summary of each case beside it', async () => {
    const store = await fresh()
    await store.append(key, 1, {
      ...nothing,
      events: [
        { ...common, type: 'said', complaints: ['jerks-on-acceleration'], circumstances: [], sure: true },
        { ...common, type: 'shown', ask: null, cautions: [], finding: ['contactor-4.contacts-open'] },
      ],
      message: message('a'),
    })
    const [listed] = await store.summaries('demo')
    expect(listed).toMatchObject({
      case: 'c1',
      tag: '12',
      summary: { complaints: ['jerks-on-acceleration'], finding: ['contactor-4.contacts-open'] },
    })
  })

  it('keeps the settings of a shop, its price books, and takes the newest back', async () => {
    const store = await fresh()
    const shop = { id: 'demo', name: 'Larch Lake', origins: [], colour: '#225588', currency: 'EUR', ratePerHour: 72.5 }
    await store.putShop(shop)
    expect(await store.shop('demo')).toEqual(shop)
    expect(await store.priceBook('demo')).toBeUndefined()
    const lines = (price: number) => [{ remedy: 'replace-main-contactor', price }]
    expect(await store.putPriceBook('demo', { at: AT, who: 'p-1', lines: lines(40) })).toBe(1)
    expect(await store.putPriceBook('demo', { at: AT, who: 'p-1', lines: lines(45) })).toBe(2)
    expect(await store.priceBook('demo')).toEqual({ version: 2, at: AT, who: 'p-1', lines: lines(45) })
    expect(await store.priceBook('other')).toBeUndefined()
    expect(await store.undoPriceBook('demo')).toBe(true)
    expect((await store.priceBook('demo'))?.lines).toEqual(lines(40))
    expect(await store.undoPriceBook('demo')).toBe(true)
    expect(await store.undoPriceBook('demo')).toBe(false)
  })

  it('keeps people, counts wrong passwords, ends sessions', async () => {
    const store = await fresh()
    const sam = {
      shop: 'demo',
      id: 'p-1',
      login: 'sam',
      name: 'Sam',
      role: 'technician' as const,
      hash: 'h',
      failures: 0,
      madeAt: AT,
    }
    await store.addPerson(sam)
    await expect(store.addPerson({ ...sam, id: 'p-2' })).rejects.toThrow(LoginTaken)
    await store.addPerson({ ...sam, shop: 'other' })
    expect(await store.personByLogin('demo', 'sam')).toEqual(sam)
    expect(await store.countFailure('demo', 'p-1', 2, '2025-05-05T08:15:00.000Z')).toBe(1)
    expect((await store.person('demo', 'p-1'))?.lockedUntil).toBeUndefined()
    expect(await store.countFailure('demo', 'p-1', 2, '2025-05-05T08:15:00.000Z')).toBe(2)
    expect(await store.person('demo', 'p-1')).toMatchObject({ failures: 2, lockedUntil: '2025-05-05T08:15:00.000Z' })
    expect((await store.person('other', 'p-1'))?.failures).toBe(0)
    await store.clearFailures('demo', 'p-1')
    await store.changePerson('demo', 'p-1', { role: 'dealer', leftAt: AT })
    expect(await store.person('demo', 'p-1')).toEqual({ ...sam, role: 'dealer', leftAt: AT })
    const session = { id: 's1', shop: 'demo', role: 'dealer' as const, person: 'p-1', name: 'Sam', endsAt: AT }
    await store.addPass(session, AT)
    await store.addPass({ ...session, id: 's2' }, AT)
    expect(await store.pass('s1')).toEqual(session)
    await store.endPass('s1', AT)
    expect(await store.pass('s1')).toBeUndefined()
    expect(await store.pass('s2')).toBeDefined()
    await store.endPassesOf('demo', 'p-1', AT)
    expect(await store.pass('s2')).toBeUndefined()
  })

  if (name === 'PostgreSQL') {
    it('tells the other servers of a change, never itself', async () => {
      const place = await makePlace()
      const here = await withCase(await openAt(place))
      const there = await openAt(place)
      const heard: unknown[] = []
      const own: unknown[] = []
      here.onChange((k) => own.push(k))
      const told_ = new Promise<void>((resolve) =>
        there.onChange((k) => {
          heard.push(k)
          resolve()
        }),
      )
      // The ear may not be there for the first ones.
      let seq = 1
      const done = told_.then(() => true)
      while (!(await Promise.race([done, new Promise<false>((r) => setTimeout(() => r(false), 20))]))) {
        const at = seq++
        await here.append(key, at, {
          ...nothing,
          events: [told(`w${at}`)],
          words: { [`w${at}`]: 'x' },
          message: message(`m${at}`),
        })
      }
      expect(heard[0]).toEqual(key)
      expect(own).toEqual([])
    })
  }
})

describe('the SQLite file', () => {
  it('erases words so that they are not left in the file', async () => {
    const { store, folder } = await inFolder()
    await withCase(store)
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
  })

  it("is its owner's alone, also in a folder that others may read", async () => {
    const folder = temporaryFolder()
    chmodSync(folder, 0o755)
    await withCase((await inFolder(folder)).store)
    const files = readdirSync(folder)
    expect(files).toContain(DATABASE_FILE)
    for (const file of files) expect([file, statSync(join(folder, file)).mode & 0o077]).toEqual([file, 0])
  })

  it('is fully synced and written ahead', async () => {
    const { store, folder } = await inFolder()
    const db = new SqliteFile(join(folder, DATABASE_FILE))
    expect(db.pragma('journal_mode')).toEqual([{ journal_mode: 'wal' }])
    db.close()
    // FULL is 2: https://www.sqlite.org/pragma.html#pragma_synchronous
    expect((store.db as SqliteDatabase).pragma('synchronous')).toEqual([{ synchronous: 2 }])
  })
})
