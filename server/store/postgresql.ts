import pg from 'pg'
import { type Database, type Dialect, type Row, type Sql, storable, type Transaction, type Value } from './database.ts'

const DIALECT: Dialect = {
  name: 'postgresql',
  text: 'text collate "C"',
  strict: '',
  keyed: '',
  counter: ', n bigint generated always as identity',
  counted: 'n',
  forUpdate: ' for update',
}

const CHANNEL = 'benchlamp'
const CONNECT_MS = 5_000
const STATEMENT_MS = 15_000
/** after a lost connection, and at most; doubled each time */
const RETRY_MS = 100
const RETRY_MOST_MS = 5_000
const INT8 = 20

/** Counts and sizes come as numbers; none is near what a number can't hold. */
const types: pg.CustomTypesConfig = {
  getTypeParser: ((oid: number, format?: 'text' | 'binary') =>
    oid === INT8 ? Number : pg.types.getTypeParser(oid, format)) as pg.CustomTypesConfig['getTypeParser'],
}

/**
 * A PostgreSQL database, shared by any number of servers. A lost connection fails what was under way and nothing else:
 * the next statement connects again.
 */
export class PostgresDatabase implements Database {
  readonly dialect = DIALECT
  readonly #pool: pg.Pool
  readonly #settings: pg.ClientConfig
  readonly #listeners = new Set<(what: string | undefined) => void>()
  readonly #me = `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}`
  #ear: pg.Client | undefined
  #retry: NodeJS.Timeout | undefined
  #closed = false

  constructor(url: string) {
    this.#settings = {
      connectionString: url,
      connectionTimeoutMillis: CONNECT_MS,
      query_timeout: STATEMENT_MS,
      statement_timeout: STATEMENT_MS,
      application_name: 'benchlamp',
      keepAlive: true,
      types,
    }
    this.#pool = new pg.Pool({ ...this.#settings, max: 10 })
    // An idle connection that breaks is replaced when one is needed.
    this.#pool.on('error', () => undefined)
    // One that breaks while it is out of the pool fails the statement that is under way.
    this.#pool.on('connect', (client) => client.on('error', () => undefined))
  }

  get = (sql: string, ...values: Value[]) => sqlOf(this.#pool).get(sql, ...values)
  all = (sql: string, ...values: Value[]) => sqlOf(this.#pool).all(sql, ...values)
  run = (sql: string, ...values: Value[]) => sqlOf(this.#pool).run(sql, ...values)
  exec = (sql: string) => sqlOf(this.#pool).exec(sql)

  transaction<T>(work: (sql: Transaction) => Promise<T>): Promise<T> {
    // Whatever the server's own setting: kept means on the disk.
    return this.#within('begin; set local synchronous_commit = on', (client) => {
      const sql = sqlOf(client)
      return work({
        ...sql,
        lock: async (name) => {
          await sql.get('select pg_advisory_xact_lock(hashtextextended(?, 0)) is null as got', `benchlamp ${name}`)
        },
        notify: async (what) => {
          await sql.get('select pg_notify(?, ?) is null as told', CHANNEL, JSON.stringify([this.#me, what]))
        },
      })
    })
  }
  snapshot<T>(work: (sql: Sql) => Promise<T>): Promise<T> {
    return this.#within('begin isolation level repeatable read read only', (client) => work(sqlOf(client)))
  }

  async #within<T>(begin: string, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
    const client = await this.#pool.connect()
    let broken = false
    try {
      await client.query(begin)
      const result = await work(client)
      await client.query('commit')
      return result
    } catch (error) {
      await client.query('rollback').catch(() => {
        broken = true
      })
      throw error
    } finally {
      client.release(broken)
    }
  }

  listen(listener: (what: string | undefined) => void): () => void {
    this.#listeners.add(listener)
    if (!this.#ear && !this.#retry) void this.#hear(RETRY_MS, false)
    return () => {
      this.#listeners.delete(listener)
    }
  }

  async #hear(wait: number, again: boolean): Promise<void> {
    if (this.#closed) return
    const ear = new pg.Client({ ...this.#settings, query_timeout: undefined, statement_timeout: undefined })
    this.#ear = ear
    const lost = () => {
      if (this.#ear !== ear) return
      this.#ear = undefined
      ear.end().catch(() => undefined)
      if (this.#closed) return
      this.#retry = setTimeout(() => {
        this.#retry = undefined
        void this.#hear(Math.min(wait * 2, RETRY_MOST_MS), true)
      }, wait)
      this.#retry.unref()
    }
    ear.on('error', lost)
    ear.on('end', lost)
    ear.on('notification', ({ payload }) => {
      const [from, what] = JSON.parse(payload ?? '[]') as [string?, string?]
      if (from !== this.#me) this.#tell(what)
    })
    try {
      await ear.connect()
      await ear.query(`listen ${CHANNEL}`)
      wait = RETRY_MS
      if (again) this.#tell(undefined)
    } catch {
      lost()
    }
  }

  #tell(what: string | undefined) {
    for (const listener of this.#listeners) listener(what)
  }

  /** Free pages are vacuumed by PostgreSQL itself; its write-ahead log and its back-ups are its keeper's. */
  async scrub(): Promise<void> {
    await this.exec('vacuum words').catch(() => undefined)
    await this.exec('vacuum messages').catch(() => undefined)
  }

  async close() {
    if (this.#closed) return
    this.#closed = true
    clearTimeout(this.#retry)
    const ear = this.#ear
    this.#ear = undefined
    await ear?.end().catch(() => undefined)
    await this.#pool.end()
  }
}

function sqlOf(on: pg.Pool | pg.PoolClient): Sql {
  const query = (sql: string, values: Value[]) => on.query(numbered(sql), values.map(storable))
  return {
    get: async (sql, ...values) => (await query(sql, values)).rows[0] as Row | undefined,
    all: async (sql, ...values) => (await query(sql, values)).rows as Row[],
    run: async (sql, ...values) => (await query(sql, values)).rowCount ?? 0,
    exec: async (sql) => {
      await on.query(sql)
    },
  }
}

const known = new Map<string, string>()
/** `?` to `$1`, `$2` … */
function numbered(sql: string): string {
  let made = known.get(sql)
  if (made === undefined) {
    let n = 0
    made = sql.replace(/\?/g, () => `$${++n}`)
    known.set(sql, made)
  }
  return made
}
