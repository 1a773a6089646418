import { chmodSync, closeSync, mkdirSync, openSync } from 'node:fs'
import { join } from 'node:path'
import canonicalize from 'canonicalize'
import Database from 'libsql'
import type { CaseRecord } from '../../rules/conversation/types.ts'
import type { CaseEvent, Role, ServerMessage, StoredEvent } from '../../rules/protocol/index.ts'
import { MIGRATIONS, type Migration } from './migrations.ts'
import {
  type Appended,
  type CaseKey,
  type CaseRow,
  CodeTaken,
  type MessageKey,
  type NewCase,
  NewerSchema,
  type Pass,
  SeqConflict,
  type Shop,
  type Store,
} from './store.ts'

export const DATABASE_FILE = 'benchlamp.db'
/** Replies to older messages than this many are forgotten; that they had their effect is not. */
const REPLIES_KEPT = 100

type Row = Record<string, string | number | null>

/**
 * One SQLite file, written ahead and fully synced: when `append` has returned, a power cut does not take it back.
 * `file` may be ":memory:", for a conversation that is not kept.
 */
export class SqliteStore implements Store {
  readonly #db: Database.Database
  readonly #statements = new Map<string, Database.Statement>()

  /** @throws NewerSchema */
  constructor(file: string, at: string, migrations: readonly Migration[] = MIGRATIONS) {
    this.#db = new Database(file)
    try {
      this.#db.pragma('busy_timeout = 5000')
      if (file !== ':memory:') this.#db.pragma('journal_mode = WAL')
      this.#db.pragma('synchronous = FULL')
      this.#db.pragma('foreign_keys = ON')
      // What is deleted is overwritten with zeros, so that erased words are not legible in free pages.
      this.#db.pragma('secure_delete = ON')
      this.#migrate(migrations, at)
    } catch (error) {
      this.#db.close()
      throw error
    }
  }

  /** Opens or makes the file of a data folder, readable by its owner alone. */
  static inFolder(folder: string, at: string): SqliteStore {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    const file = join(folder, DATABASE_FILE)
    // Made before it is opened: the log beside it takes its permissions from it.
    closeSync(openSync(file, 'a', 0o600))
    chmodSync(file, 0o600)
    return new SqliteStore(file, at)
  }

  #migrate(migrations: readonly Migration[], at: string) {
    this.#db.exec(
      'create table if not exists schema_migrations (version integer primary key, name text not null, at text not null) strict',
    )
    const found = this.#get('select coalesce(max(version), 0) as version from schema_migrations')
    const version = Number(found?.version)
    const newest = migrations.at(-1)?.version ?? 0
    if (version > newest) {
      throw new NewerSchema(
        `The database has schema ${version}, this server knows ${newest} and older. Start the newer version of the server, or restore a back-up made before it.`,
      )
    }
    for (const step of migrations.filter((m) => m.version > version)) {
      this.#inTransaction(() => {
        this.#db.exec(step.sql)
        this.#run('insert into schema_migrations values (?, ?, ?)', step.version, step.name, at)
      })
    }
  }

  async shop(id: string) {
    const row = this.#get('select * from shops where id = ?', id)
    return row && toShop(row)
  }
  async shops() {
    return this.#all('select * from shops order by id').map(toShop)
  }
  async putShop(shop: Shop) {
    this.#run(
      `insert into shops (id, name, phone, hours, origins) values (?, ?, ?, ?, ?)
       on conflict (id) do update set name = excluded.name, phone = excluded.phone, hours = excluded.hours,
         origins = excluded.origins`,
      shop.id,
      shop.name,
      shop.phone ?? null,
      shop.hours ?? null,
      JSON.stringify(shop.origins),
    )
  }

  async createCase(key: CaseKey, made: NewCase) {
    this.#inTransaction(() => {
      if (this.#get(`select 1 from cases where shop = ? and code = ? and status = 'open'`, key.shop, made.code)) {
        throw new CodeTaken(`The code ${made.code} is in use`)
      }
      this.#run(
        `insert into cases (shop, case_id, code, seq, status, tag, knowledge, opened_sender, opened_message, opened_at, changed_at)
         values (?, ?, ?, 0, 'open', null, ?, ?, ?, ?, ?)`,
        key.shop,
        key.case,
        made.code,
        made.knowledge,
        made.message.sender,
        made.message.id,
        made.at,
        made.at,
      )
      this.#run('insert into case_knowledge values (?, ?, 1, ?, ?)', key.shop, key.case, made.knowledge, made.at)
      this.#write(key, 0, made)
      if (made.pass) this.#insertPass(made.pass, made.at)
    })
  }

  async caseOpenedBy(shop: string, message: MessageKey) {
    const row = this.#get(
      'select case_id from cases where shop = ? and opened_sender = ? and opened_message = ?',
      shop,
      message.sender,
      message.id,
    )
    return row && String(row.case_id)
  }

  async caseByCode(shop: string, code: string) {
    const row = this.#get(
      `select case_id from cases where shop = ? and code = ? order by (status = 'open') desc, opened_at desc limit 1`,
      shop,
      code,
    )
    return row && String(row.case_id)
  }

  async row(key: CaseKey) {
    const row = this.#get('select * from cases where shop = ? and case_id = ?', key.shop, key.case)
    return row && toCaseRow(row)
  }

  async list(shop: string, filter: { status?: 'open' | 'closed'; limit?: number } = {}) {
    return this.#all(
      'select * from cases where shop = ? and (? is null or status = ?) order by changed_at desc, case_id limit ?',
      shop,
      filter.status ?? null,
      filter.status ?? null,
      filter.limit ?? 200,
    ).map(toCaseRow)
  }

  async load(key: CaseKey): Promise<CaseRecord | undefined> {
    if (!this.#get('select 1 from cases where shop = ? and case_id = ?', key.shop, key.case)) return undefined
    const events = this.#all(
      'select seq, event from events where shop = ? and case_id = ? order by seq',
      key.shop,
      key.case,
    ).map((row): StoredEvent => ({ ...(JSON.parse(String(row.event)) as CaseEvent), seq: Number(row.seq) }))
    const words = Object.fromEntries(
      this.#all('select key, text from words where shop = ? and case_id = ?', key.shop, key.case).map((row) => [
        String(row.key),
        String(row.text),
      ]),
    )
    return { id: key.case, events, words }
  }

  async append(key: CaseKey, expectedSeq: number, what: Appended) {
    return this.#inTransaction(() => {
      const row = this.#get('select seq, knowledge from cases where shop = ? and case_id = ?', key.shop, key.case)
      if (!row) throw new Error('No such case')
      if (Number(row.seq) !== expectedSeq) throw new SeqConflict(`Expected ${expectedSeq}, found ${row.seq}`)
      const seq = this.#write(key, expectedSeq, what)
      if (what.knowledge !== undefined && what.knowledge !== row.knowledge && what.events.length > 0) {
        this.#run(
          'insert into case_knowledge values (?, ?, ?, ?, ?)',
          key.shop,
          key.case,
          expectedSeq + 1,
          what.knowledge,
          what.at,
        )
        this.#run('update cases set knowledge = ? where shop = ? and case_id = ?', what.knowledge, key.shop, key.case)
      }
      this.#run(
        'insert into messages (shop, case_id, sender, id, seq, replies) values (?, ?, ?, ?, ?, ?)',
        key.shop,
        key.case,
        what.message.sender,
        what.message.id,
        seq,
        JSON.stringify(what.replies),
      )
      this.#run(
        `update messages set replies = null where shop = ? and case_id = ? and replies is not null and rowid not in
           (select rowid from messages where shop = ? and case_id = ? order by rowid desc limit ${REPLIES_KEPT})`,
        key.shop,
        key.case,
        key.shop,
        key.case,
      )
      return seq
    })
  }

  /** Inside a transaction: events, words, and the row's own columns that follow from the events. */
  #write(key: CaseKey, seq: number, what: Pick<Appended, 'at' | 'events' | 'words'>): number {
    let newest = seq
    for (const event of what.events) {
      this.#run('insert into events values (?, ?, ?, ?)', key.shop, key.case, ++newest, canonicalize(event)!)
      if ((event.type === 'facts' || event.type === 'opened') && event.tag !== undefined) {
        this.#run('update cases set tag = ? where shop = ? and case_id = ?', event.tag, key.shop, key.case)
      }
      if (event.type === 'closed') {
        this.#run(`update cases set status = 'closed' where shop = ? and case_id = ?`, key.shop, key.case)
      }
    }
    for (const [name, text] of Object.entries(what.words)) {
      this.#run('insert into words values (?, ?, ?, ?)', key.shop, key.case, name, text)
    }
    if (newest > seq) {
      this.#run(
        'update cases set seq = ?, changed_at = ? where shop = ? and case_id = ?',
        newest,
        what.at,
        key.shop,
        key.case,
      )
    }
    return newest
  }

  async repliesTo(key: CaseKey, message: MessageKey) {
    const row = this.#get(
      'select replies from messages where shop = ? and case_id = ? and sender = ? and id = ?',
      key.shop,
      key.case,
      message.sender,
      message.id,
    )
    if (!row) return undefined
    return row.replies === null ? {} : { replies: JSON.parse(String(row.replies)) as ServerMessage[] }
  }

  async knowledgeOf(key: CaseKey) {
    return this.#all(
      'select from_seq, hash, at from case_knowledge where shop = ? and case_id = ? order by from_seq',
      key.shop,
      key.case,
    ).map((row) => ({ from: Number(row.from_seq), hash: String(row.hash), at: String(row.at) }))
  }

  async eraseWords(key: CaseKey) {
    this.#inTransaction(() => {
      this.#run('delete from words where shop = ? and case_id = ?', key.shop, key.case)
      this.#run('update messages set replies = null where shop = ? and case_id = ?', key.shop, key.case)
    })
    // The write-ahead log still holds them until it is folded back.
    this.#db.pragma('wal_checkpoint(TRUNCATE)')
  }

  async addPass(pass: Pass, at: string) {
    this.#insertPass(pass, at)
  }
  #insertPass(pass: Pass, at: string) {
    this.#run(
      'insert into passes (id, shop, role, case_id, name, made_at) values (?, ?, ?, ?, ?, ?)',
      pass.id,
      pass.shop,
      pass.role,
      pass.case ?? null,
      pass.name ?? null,
      at,
    )
  }
  async pass(id: string) {
    const row = this.#get('select * from passes where id = ?', id)
    return row && toPass(row)
  }
  async hasPasses(shop: string, role: Role) {
    return this.#get('select 1 from passes where shop = ? and role = ? limit 1', shop, role) !== undefined
  }

  async secret(name: string, make: () => string) {
    return this.#inTransaction(() => {
      const kept = this.#get('select value from secrets where name = ?', name)
      if (kept) return String(kept.value)
      const value = make()
      this.#run('insert into secrets values (?, ?)', name, value)
      return value
    })
  }

  /** 2: every commit waits for the disk. */
  synchronous(): number {
    return Number((this.#db.pragma('synchronous') as { synchronous: number }[])[0]?.synchronous)
  }

  async close() {
    if (!this.#db.open) return
    this.#statements.clear()
    this.#db.pragma('wal_checkpoint(TRUNCATE)')
    this.#db.close()
  }

  #prepare(sql: string): Database.Statement {
    let statement = this.#statements.get(sql)
    if (!statement) {
      statement = this.#db.prepare(sql)
      this.#statements.set(sql, statement)
    }
    return statement
  }
  #run(sql: string, ...values: (string | number | null)[]) {
    this.#prepare(sql).run(...values)
  }
  #get(sql: string, ...values: (string | number | null)[]): Row | undefined {
    return this.#prepare(sql).get(...values) as Row | undefined
  }
  #all(sql: string, ...values: (string | number | null)[]): Row[] {
    return this.#prepare(sql).all(...values) as Row[]
  }
  #inTransaction<T>(work: () => T): T {
    return this.#db.transaction(work).immediate()
  }
}

function toShop(row: Row): Shop {
  return {
    id: String(row.id),
    name: String(row.name),
    ...(row.phone === null ? {} : { phone: String(row.phone) }),
    ...(row.hours === null ? {} : { hours: String(row.hours) }),
    origins: JSON.parse(String(row.origins)) as string[],
  }
}

function toCaseRow(row: Row): CaseRow {
  return {
    shop: String(row.shop),
    case: String(row.case_id),
    code: String(row.code),
    seq: Number(row.seq),
    status: row.status as 'open' | 'closed',
    ...(row.tag === null ? {} : { tag: String(row.tag) }),
    knowledge: String(row.knowledge),
    openedAt: String(row.opened_at),
    changedAt: String(row.changed_at),
  }
}

function toPass(row: Row): Pass {
  return {
    id: String(row.id),
    shop: String(row.shop),
    role: row.role as Role,
    ...(row.case_id === null ? {} : { case: String(row.case_id) }),
    ...(row.name === null ? {} : { name: String(row.name) }),
  }
}
