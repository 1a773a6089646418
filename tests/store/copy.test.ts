import { readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { realOutside } from '../../server/outside.ts'
import { BadBackUp, backUp, restore } from '../../server/store/back-up.ts'
import { tallies } from '../../server/store/copy.ts'
import { moveStore } from '../../server/store/move.ts'
import { openStore } from '../../server/store/open.ts'
import type { SqlStore } from '../../server/store/sql-store.ts'
import { removeFolders, startHarness, temporaryFolder } from '../server/harness.ts'
import { spawnNode } from '../server/process.ts'
import { one, Screen } from '../server/screen.ts'
import { startPostgres, type TestPostgres } from './postgres.ts'

const AT = '2025-05-05T08:00:00.000Z'
let postgres: TestPostgres
const stores: SqlStore[] = []
beforeAll(async () => {
  postgres = await startPostgres()
})
afterAll(async () => {
  for (const store of stores) await store.close()
  await postgres?.stop()
  removeFolders()
})

const sqlite = async (dataDir = temporaryFolder()) => keep(await openStore({ database: 'sqlite', dataDir }, AT))
const postgresql = async (url?: string) =>
  keep(await openStore({ database: { postgresql: url ?? (await postgres.create()) }, dataDir: '' }, AT))
function keep(store: SqlStore) {
  stores.push(store)
  return store
}

/** A shop's data folder after a day's work, over a real server. */
async function aDay() {
  const server = await startHarness()
  const made = []
  for (let i = 0; i < 3; i++) {
    const customer = await Screen.connect(server.port)
    made.push(await customer.open({ tag: `Car ${i}` }))
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] })
    for (let n = 0; n < 4; n++) await customer.ask({ type: 'tell', text: `größer als ${n} Ω, "quoted"` })
    customer.close()
  }
  await server.stop()
  const store = await sqlite(server.dataDir)
  await store.addPerson({
    shop: 'demo',
    id: 'p-1',
    login: 'sam',
    name: 'Sam',
    role: 'dealer',
    hash: 'h',
    failures: 0,
    madeAt: AT,
  })
  await store.putPriceBook('demo', { at: AT, who: 'p-1', lines: [{ remedy: 'r', price: 12.5 }] })
  return { server, made, store }
}

describe('move-store', () => {
  it('copies every row from SQLite to PostgreSQL and counts both sides; the case goes on there', async () => {
    const { server, made, store } = await aDay()
    await store.close()
    const url = await postgres.create()
    const env = { DATA_DIR: server.dataDir, DATABASE_URL: url }
    const run = spawnNode(['server/commands/move-store.ts'], env)
    expect([await run.exited, run.err()]).toEqual([0, ''])
    expect(run.out()).toMatch(/^events +18 +18 +the same$/m)
    expect(run.out()).toMatch(/^cases +3 +3 +the same$/m)
    expect(run.out()).not.toContain('DIFFERENT')
    // Counted apart from the command, on both sides.
    const to = await postgresql(url)
    const from = await sqlite(server.dataDir)
    for (const table of ['cases', 'events', 'words', 'messages', 'passes', 'people', 'price_books', 'secrets']) {
      const count = `select count(*) as n from ${table}`
      expect([table, await to.db.get(count)]).toEqual([table, await from.db.get(count)])
    }
    const key = { shop: 'demo', case: made[0]!.case }
    expect(await to.load(key)).toEqual(await from.load(key))

    const again = spawnNode(['server/commands/move-store.ts'], env)
    expect(await again.exited).toBe(1)
    expect(again.err()).toMatch(/in that store already/)

    const there = await startHarness({ env: { DATABASE_URL: url } })
    const customer = await Screen.connect(there.port)
    const view = await customer.ask({ type: 'open', pass: made[0]!.pass })
    expect(one(view, 'noted').notes).toHaveLength(4)
    expect(one(await customer.ask({ type: 'tell', text: 'and on' }), 'noted').notes).toHaveLength(5)
    customer.close()
    await there.stop()
  })

  it('sees a row that is not the same, though the counts are', async () => {
    const { store } = await aDay()
    const to = await postgresql()
    expect((await moveStore(store.db, to.db)).every((m) => m.same)).toBe(true)
    await to.db.run("update words set text = 'changed' where key = (select min(key) from words)")
    const [a, b] = [await tallies(store.db), await tallies(to.db)]
    expect(a.words!.rows).toBe(b.words!.rows)
    expect(Object.keys(a).filter((t) => a[t]!.digest !== b[t]!.digest)).toEqual(['words'])
  })

  it('without a target it says what to set', async () => {
    const run = spawnNode(['server/commands/move-store.ts'], { DATA_DIR: temporaryFolder() })
    expect(await run.exited).toBe(2)
    expect(run.err()).toMatch(/DATABASE_URL is not set/)
  })
})

describe('back-up and restore', () => {
  it.each(['SQLite', 'PostgreSQL'])('with one command each, into %s', async (kind) => {
    const { server, store } = await aDay()
    const file = join(temporaryFolder(), 'shop.back-up')
    const out = spawnNode(['server/commands/back-up.ts', file], { DATA_DIR: server.dataDir })
    expect([await out.exited, out.err()]).toEqual([0, ''])
    expect(out.out()).toMatch(/^events +18$/m)
    // Words are in it: nobody else may read it.
    expect(statSync(file).mode & 0o077).toBe(0)
    const DATA_DIR = temporaryFolder()
    const url = kind === 'PostgreSQL' ? await postgres.create() : 'sqlite'
    const into = spawnNode(['server/commands/restore.ts', file], { DATA_DIR, DATABASE_URL: url })
    expect([await into.exited, into.err()]).toEqual([0, ''])
    const restored = kind === 'PostgreSQL' ? await postgresql(url) : await sqlite(DATA_DIR)
    expect(await tallies(restored.db)).toEqual(await tallies(store.db))
    // And back again: the two back-ups say the same.
    const second = join(temporaryFolder(), 'again.back-up')
    await backUp(restored.db, second, AT)
    const lines = (path: string) => gunzipSync(readFileSync(path)).toString().split('\n').slice(1).map(sorted)
    expect(lines(second)).toEqual(lines(file))
  })

  it('leaves a store in use alone, unless told to replace it', async () => {
    const { store } = await aDay()
    const file = join(temporaryFolder(), 'shop.back-up')
    await backUp(store.db, file, AT)
    const other = await aDay()
    await expect(restore(other.store.db, file, { at: AT })).rejects.toThrow(/--replace/)
    await restore(other.store.db, file, { at: AT, replace: true })
    expect(await tallies(other.store.db)).toEqual(await tallies(store.db))
  })

  it.each([
    ['is not there', (_: Buffer, file: string) => `${file}x`, /not there/],
    ['breaks off', (b: Buffer, file: string) => put(file, b.subarray(0, b.length / 2)), /breaks off/],
    ['has lost its last line', (b: Buffer, file: string) => put(file, zip(text(b).slice(0, -2))), /breaks off/],
    ['has lost a row', (b: Buffer, file: string) => put(file, zip(text(b).toSpliced(3, 1))), /says \d+ rows of/],
    ['is something else', (_: Buffer, file: string) => put(file, Buffer.from('hello')), /is not a back-up/],
    ['is of something else', (_: Buffer, file: string) => put(file, zip(['{"a":1}'])), /is not a back-up/],
    [
      'comes from the future',
      (b: Buffer, file: string) =>
        put(file, zip([`{"format":"benchlamp-back-up","schema":999,"at":""}`, ...text(b).slice(1)])),
      /newer version/,
    ],
  ])('one that %s changes nothing', async (_name, spoil, says) => {
    const { store } = await aDay()
    const file = join(temporaryFolder(), 'shop.back-up')
    await backUp(store.db, file, AT)
    const before = await tallies(store.db)
    const spoilt = spoil(readFileSync(file), file)
    const restoring = restore(store.db, spoilt, { at: AT, replace: true })
    await expect(restoring).rejects.toThrow(BadBackUp)
    await expect(restoring).rejects.toThrow(says)
    expect(await tallies(store.db)).toEqual(before)
  })

  it('one of the first schema is brought to today’s', async () => {
    const { store, made } = await aDay()
    const file = join(temporaryFolder(), 'old.back-up')
    await backUp(store.db, file, AT)
    const old = text(readFileSync(file))
      .map((line) => JSON.parse(line || '{}'))
      .filter((l) => !['people', 'price_books', 'erasures'].includes(l.table))
      .map((l) => {
        if (l.format) return { ...l, schema: 1 }
        if (l.rows)
          return { rows: Object.fromEntries(Object.entries(l.rows).filter(([t]) => !/people|price|eras/.test(t))) }
        for (const column of ['summary', 'settings', 'person', 'ends_at', 'ended_at']) delete l.row?.[column]
        return l
      })
    put(file, zip(old.filter((l) => Object.keys(l).length > 0).map((l) => JSON.stringify(l))))
    const into = await postgresql()
    await restore(into.db, file, { at: realOutside.now() })
    expect((await into.summaries('demo')).map((c) => c.summary.tag).sort()).toEqual(['Car 0', 'Car 1', 'Car 2'])
    expect((await into.load({ shop: 'demo', case: made[1]!.case }))?.events).toHaveLength(6)
  })
})

const text = (b: Buffer) => gunzipSync(b).toString().trimEnd().split('\n')
const zip = (lines: readonly string[]) => gzipSync(`${lines.join('\n')}\n`)
function put(file: string, bytes: Buffer): string {
  writeFileSync(file, bytes)
  return file
}
function sorted(line: string): unknown {
  if (!line) return line
  const { table, row, ...rest } = JSON.parse(line)
  return { table, row: row && Object.fromEntries(Object.entries(row).sort()), ...rest }
}
