import { createHash } from 'node:crypto'
import type { Database, Row, Sql } from './database.ts'

/** Every table with something in it that must not be lost, in the order in which rows may be put in. */
const TABLES: readonly { name: string; order: string }[] = [
  { name: 'shops', order: 'id' },
  { name: 'cases', order: 'shop, case_id' },
  { name: 'events', order: 'shop, case_id, seq' },
  { name: 'words', order: 'shop, case_id, key' },
  { name: 'photos', order: 'shop, case_id, key' },
  // In the order in which they came, which says whose replies are forgotten first.
  { name: 'messages', order: '' },
  { name: 'case_knowledge', order: 'shop, case_id, from_seq' },
  { name: 'passes', order: 'id' },
  { name: 'secrets', order: 'name' },
  { name: 'people', order: 'shop, id' },
  { name: 'price_books', order: 'shop, version' },
  { name: 'overlays', order: 'shop, version' },
  { name: 'erasures', order: 'shop, case_id, at' },
]
export const TABLE_NAMES = TABLES.map((t) => t.name)

const BATCH = 500

export interface CopiedRow {
  table: string
  row: Row
}

/** All rows of all tables that are there, table by table. */
export async function* rowsOf(sql: Sql, { dialect }: Pick<Database, 'dialect'>): AsyncGenerator<CopiedRow> {
  for (const { name, order } of TABLES) {
    if (!(await hasTable(sql, name, dialect.name))) continue
    for (let at = 0; ; at += BATCH) {
      const rows = await sql.all(
        `select * from ${name} order by ${order || dialect.counted} limit ${BATCH} offset ${at}`,
      )
      for (const row of rows) {
        // The counter is the database's own.
        if (dialect.counter && name === 'messages') delete row[dialect.counted]
        yield { table: name, row }
      }
      if (rows.length < BATCH) break
    }
  }
}

export async function putRow(sql: Sql, { table, row }: CopiedRow): Promise<void> {
  if (!TABLE_NAMES.includes(table)) throw new Error(`There is no table "${table}"`)
  const columns = Object.keys(row)
  if (!columns.every((c) => /^[a-z_]+$/.test(c))) throw new Error(`A column of "${table}" has no proper name`)
  await sql.run(
    `insert into ${table} (${columns.join(', ')}) values (${columns.map(() => '?').join(', ')})`,
    ...columns.map((c) => row[c] ?? null),
  )
}

/** Does it hold anything that somebody would miss? What a first start makes does not count. */
export async function inUse(sql: Sql): Promise<boolean> {
  for (const table of ['cases', 'people', 'price_books', 'overlays']) {
    if (await sql.get(`select 1 as one from ${table} limit 1`)) return true
  }
  return false
}

export async function empty(sql: Sql): Promise<void> {
  for (const { name } of [...TABLES].reverse()) await sql.run(`delete from ${name}`)
}

export interface Tally {
  rows: number
  /** of every row in order, so that equal counts can't hide unequal rows */
  digest: string
}

export async function tallies(db: Database): Promise<Record<string, Tally>> {
  return db.snapshot(async (sql) => {
    const found: Record<string, { rows: number; hash: ReturnType<typeof createHash> }> = {}
    for (const name of TABLE_NAMES) found[name] = { rows: 0, hash: createHash('sha256') }
    for await (const { table, row } of rowsOf(sql, db)) {
      found[table]!.rows++
      found[table]!.hash.update(JSON.stringify(Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1))))
    }
    return Object.fromEntries(
      Object.entries(found).map(([name, { rows, hash }]) => [name, { rows, digest: hash.digest('hex') }]),
    )
  })
}

async function hasTable(sql: Sql, name: string, on: Database['dialect']['name']): Promise<boolean> {
  const found =
    on === 'sqlite'
      ? await sql.get("select 1 as one from sqlite_master where type = 'table' and name = ?", name)
      : await sql.get('select 1 as one where to_regclass(?) is not null', name)
  return found !== undefined
}
