import { chmodSync, closeSync, mkdirSync, openSync } from 'node:fs'
import { join, resolve } from 'node:path'
import SqliteFile from 'libsql'
import { type Database, type Dialect, type Row, type Sql, storable, type Transaction, type Value } from './database.ts'

export const DATABASE_FILE = 'benchlamp.db'

const DIALECT: Dialect = {
  name: 'sqlite',
  text: 'text',
  strict: ' strict',
  keyed: ' strict, without rowid',
  counter: '',
  counted: 'rowid',
  forUpdate: '',
}

/**
 * Whose turn it is. Nobody reads between the statements of a transaction; and a second connection of this process to the
 * same file must not wait for the first inside SQLite, which would keep the first from ever ending.
 */
interface Turn {
  tail: Promise<unknown>
}
const turns = new Map<string, Turn>()
function turnOf(file: string): Turn {
  if (file === ':memory:') return { tail: Promise.resolve() }
  const path = resolve(file)
  const turn = turns.get(path) ?? { tail: Promise.resolve() }
  turns.set(path, turn)
  return turn
}

/**
 * One SQLite file, written ahead and fully synced: when a transaction has returned, a power cut does not take it back.
 * `file` may be ":memory:", for a conversation that is not kept.
 */
export class SqliteDatabase implements Database {
  readonly dialect = DIALECT
  readonly #db: SqliteFile.Database
  readonly #statements = new Map<string, SqliteFile.Statement>()
  readonly #turn: Turn

  constructor(file: string) {
    this.#turn = turnOf(file)
    this.#db = new SqliteFile(file)
    try {
      this.#db.pragma('busy_timeout = 5000')
      if (file !== ':memory:') this.#db.pragma('journal_mode = WAL')
      this.#db.pragma('synchronous = FULL')
      this.#db.pragma('foreign_keys = ON')
      // What is deleted is overwritten with zeros, so that erased words are not legible in free pages.
      this.#db.pragma('secure_delete = ON')
    } catch (error) {
      this.#db.close()
      throw error
    }
  }

  /** Opens or makes the file of a data folder, readable by its owner alone. */
  static inFolder(folder: string): SqliteDatabase {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    const file = join(folder, DATABASE_FILE)
    // Made before it is opened: the log beside it takes its permissions from it.
    closeSync(openSync(file, 'a', 0o600))
    chmodSync(file, 0o600)
    return new SqliteDatabase(file)
  }

  readonly #sql: Transaction = {
    get: async (sql, ...values) => {
      const row = this.#prepare(sql).get(...values.map(storable)) as Row | undefined
      // The library's own note of how long it took.
      if (row) delete row._metadata
      return row
    },
    all: async (sql, ...values) => this.#prepare(sql).all(...values.map(storable)) as Row[],
    run: async (sql, ...values) => this.#prepare(sql).run(...values.map(storable)).changes,
    exec: async (sql) => void this.#db.exec(sql),
    // A transaction that writes has the whole file to itself.
    lock: async () => undefined,
    notify: async () => undefined,
  }

  get = (sql: string, ...values: Value[]) => this.#alone(() => this.#sql.get(sql, ...values))
  all = (sql: string, ...values: Value[]) => this.#alone(() => this.#sql.all(sql, ...values))
  run = (sql: string, ...values: Value[]) => this.#alone(() => this.#sql.run(sql, ...values))
  exec = (sql: string) => this.#alone(() => this.#sql.exec(sql))

  transaction<T>(work: (sql: Transaction) => Promise<T>): Promise<T> {
    return this.#within('begin immediate', work)
  }
  snapshot<T>(work: (sql: Sql) => Promise<T>): Promise<T> {
    return this.#within('begin', work)
  }

  #within<T>(begin: string, work: (sql: Transaction) => Promise<T>): Promise<T> {
    return this.#alone(async () => {
      this.#db.exec(begin)
      try {
        const result = await work(this.#sql)
        this.#db.exec('commit')
        return result
      } catch (error) {
        // A full disk may have rolled it back already.
        if (this.#db.inTransaction) this.#db.exec('rollback')
        throw error
      }
    })
  }

  listen() {
    return () => undefined
  }

  /** The write-ahead log holds what was deleted until it is folded back. */
  scrub(): Promise<void> {
    return this.#alone(async () => void this.#db.pragma('wal_checkpoint(TRUNCATE)'))
  }

  pragma(source: string): unknown {
    return this.#db.pragma(source)
  }

  async close() {
    await this.#turn.tail
    if (!this.#db.open) return
    this.#statements.clear()
    this.#db.pragma('wal_checkpoint(TRUNCATE)')
    this.#db.close()
  }

  #alone<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#turn.tail.then(work)
    this.#turn.tail = done.catch(() => undefined)
    return done
  }

  #prepare(sql: string): SqliteFile.Statement {
    let statement = this.#statements.get(sql)
    if (!statement) {
      statement = this.#db.prepare(sql)
      this.#statements.set(sql, statement)
    }
    return statement
  }
}
