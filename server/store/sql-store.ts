import canonicalize from 'canonicalize'
import type { CaseRecord } from '../../rules/conversation/types.ts'
import type { CaseEvent, Role, ServerMessage, StoredEvent } from '../../rules/protocol/index.ts'
import { type CaseSummary, emptySummary, summaryAfter, summaryOf } from '../../rules/record/summary.ts'
import type { Database, Row, Sql, Transaction } from './database.ts'
import { toCaseRow, toOverlay, toPass, toPerson, toPriceBook, toShop } from './rows.ts'
import {
  AlreadyOpened,
  type Appended,
  CaseDiffers,
  type CaseKey,
  CodeTaken,
  type ImportedCase,
  type ListedCase,
  LoginTaken,
  type MessageKey,
  type NewCase,
  type Overlay,
  type Pass,
  type Person,
  type PriceBook,
  SeqConflict,
  type Shop,
  type Store,
} from './store.ts'

/** Replies to older messages than this many are forgotten; that they had their effect is not. */
const REPLIES_KEPT = 100
/** Older price books than this many changes ago are forgotten. */
const PRICE_BOOKS_KEPT = 20

const THIS_CASE = 'shop = ? and case_id = ?'

/** The store in SQL that SQLite and PostgreSQL both take. */
export class SqlStore implements Store {
  readonly db: Database

  constructor(db: Database) {
    this.db = db
  }

  async shop(id: string) {
    const row = await this.db.get('select * from shops where id = ?', id)
    return row && toShop(row)
  }
  async shops() {
    return (await this.db.all('select * from shops order by id')).map(toShop)
  }
  async putShop(shop: Shop) {
    const { id, name, phone, hours, origins, ...settings } = shop
    await this.db.run(
      `insert into shops (id, name, phone, hours, origins, settings) values (?, ?, ?, ?, ?, ?)
       on conflict (id) do update set name = excluded.name, phone = excluded.phone, hours = excluded.hours,
         origins = excluded.origins, settings = excluded.settings`,
      id,
      name,
      phone ?? null,
      hours ?? null,
      JSON.stringify(origins),
      JSON.stringify(settings),
    )
  }

  async createCase(key: CaseKey, made: NewCase) {
    await this.db.transaction(async (sql) => {
      if (made.once) {
        await sql.lock(`open ${key.shop} ${made.message.sender} ${made.message.id}`)
        if ((await openedBy(sql, key.shop, made.message)) !== undefined) throw new AlreadyOpened('It is there already')
      }
      await freeCode(sql, key.shop, made.code)
      await sql.run(
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
      await sql.run('insert into case_knowledge values (?, ?, 1, ?, ?)', key.shop, key.case, made.knowledge, made.at)
      await write(sql, key, 0, emptySummary(), made)
      if (made.pass) await insertPass(sql, made.pass, made.at)
    })
  }

  caseOpenedBy(shop: string, message: MessageKey) {
    return openedBy(this.db, shop, message)
  }

  async caseByCode(shop: string, code: string) {
    const row = await this.db.get(
      `select case_id from cases where shop = ? and code = ?
       order by case when status = 'open' then 0 else 1 end, opened_at desc limit 1`,
      shop,
      code,
    )
    return row && String(row.case_id)
  }

  async row(key: CaseKey) {
    const row = await this.db.get(`select * from cases where ${THIS_CASE}`, key.shop, key.case)
    return row && toCaseRow(row)
  }

  async list(shop: string, filter: { status?: 'open' | 'closed'; limit?: number } = {}) {
    const { status, limit = 200 } = filter
    const rows = await this.db.all(
      `select * from cases where shop = ? ${status ? 'and status = ? ' : ''}order by changed_at desc, case_id limit ?`,
      ...(status ? [shop, status, limit] : [shop, limit]),
    )
    return rows.map(toCaseRow)
  }

  async summaries(shop: string) {
    const rows = await this.db.all('select * from cases where shop = ? order by changed_at desc, case_id', shop)
    return rows.map((row): ListedCase => ({ ...toCaseRow(row), summary: summaryIn(row) }))
  }

  async load(key: CaseKey): Promise<CaseRecord | undefined> {
    if (!(await this.db.get(`select 1 as one from cases where ${THIS_CASE}`, key.shop, key.case))) return undefined
    const events = await eventsOf(this.db, key)
    const words = await this.db.all(`select key, text from words where ${THIS_CASE} order by key`, key.shop, key.case)
    return {
      id: key.case,
      events: events.map((e): StoredEvent => ({ ...(JSON.parse(e.text) as CaseEvent), seq: e.seq })),
      words: Object.fromEntries(words.map((row) => [String(row.key), String(row.text)])),
    }
  }

  append(key: CaseKey, expectedSeq: number, what: Appended) {
    return this.db.transaction(async (sql) => {
      const row = await sql.get(
        `select seq, knowledge, summary from cases where ${THIS_CASE}${this.db.dialect.forUpdate}`,
        key.shop,
        key.case,
      )
      if (!row) throw new Error('No such case')
      if (Number(row.seq) !== expectedSeq) throw new SeqConflict(`Expected ${expectedSeq}, found ${row.seq}`)
      const seq = await write(sql, key, expectedSeq, summaryIn(row), what)
      if (what.knowledge !== undefined && what.knowledge !== row.knowledge && what.events.length > 0) {
        await sql.run(
          'insert into case_knowledge values (?, ?, ?, ?, ?)',
          key.shop,
          key.case,
          expectedSeq + 1,
          what.knowledge,
          what.at,
        )
        await sql.run(`update cases set knowledge = ? where ${THIS_CASE}`, what.knowledge, key.shop, key.case)
      }
      await sql.run(
        'insert into messages (shop, case_id, sender, id, seq, replies) values (?, ?, ?, ?, ?, ?)',
        key.shop,
        key.case,
        what.message.sender,
        what.message.id,
        seq,
        JSON.stringify(what.replies),
      )
      const { counted } = this.db.dialect
      await sql.run(
        `update messages set replies = null where ${THIS_CASE} and replies is not null and ${counted} not in
           (select ${counted} from messages where ${THIS_CASE} order by ${counted} desc limit ${REPLIES_KEPT})`,
        key.shop,
        key.case,
        key.shop,
        key.case,
      )
      if (seq > expectedSeq) await sql.notify(JSON.stringify([key.shop, key.case]))
      return seq
    })
  }

  async photo(key: CaseKey, photo: string) {
    const row = await this.db.get(`select data from photos where ${THIS_CASE} and key = ?`, key.shop, key.case, photo)
    return row && String(row.data)
  }
  async photosOf(key: CaseKey) {
    const rows = await this.db.all(`select key, data from photos where ${THIS_CASE} order by key`, key.shop, key.case)
    return Object.fromEntries(rows.map((row) => [String(row.key), String(row.data)]))
  }

  async repliesTo(key: CaseKey, message: MessageKey) {
    const row = await this.db.get(
      `select replies from messages where ${THIS_CASE} and sender = ? and id = ?`,
      key.shop,
      key.case,
      message.sender,
      message.id,
    )
    if (!row) return undefined
    return row.replies === null ? {} : { replies: JSON.parse(String(row.replies)) as ServerMessage[] }
  }

  async knowledgeOf(key: CaseKey) {
    const rows = await this.db.all(
      `select from_seq, hash, at from case_knowledge where ${THIS_CASE} order by from_seq`,
      key.shop,
      key.case,
    )
    return rows.map((row) => ({ from: Number(row.from_seq), hash: String(row.hash), at: String(row.at) }))
  }

  async eraseWords(key: CaseKey, by?: { at: string; who: string }) {
    const erased = await this.db.transaction(async (sql) => {
      const words = await sql.run(`delete from words where ${THIS_CASE}`, key.shop, key.case)
      const replies = await sql.run(
        `update messages set replies = null where ${THIS_CASE} and replies is not null`,
        key.shop,
        key.case,
      )
      const photos = await sql.run(`delete from photos where ${THIS_CASE}`, key.shop, key.case)
      if (words + replies + photos === 0) return false
      if (by) await sql.run("insert into erasures values (?, ?, ?, ?, 'words')", key.shop, key.case, by.at, by.who)
      await sql.notify(JSON.stringify([key.shop, key.case]))
      return true
    })
    if (erased) await this.db.scrub()
    return erased
  }

  async casesWithWords(shop: string, before?: string) {
    const rows = await this.db.all(
      `select case_id from cases c where shop = ?${before === undefined ? '' : ' and changed_at < ?'}
         and (exists (select 1 from words w where w.shop = c.shop and w.case_id = c.case_id)
           or exists (select 1 from photos p where p.shop = c.shop and p.case_id = c.case_id)
           or exists (select 1 from messages m where m.shop = c.shop and m.case_id = c.case_id and m.replies is not null))
       order by case_id`,
      ...(before === undefined ? [shop] : [shop, before]),
    )
    return rows.map((row) => String(row.case_id))
  }

  async eraseCase(key: CaseKey, by: { at: string; who: string }) {
    await this.db.transaction(async (sql) => {
      for (const table of ['words', 'photos', 'messages', 'events', 'case_knowledge', 'passes', 'cases']) {
        await sql.run(`delete from ${table} where ${THIS_CASE}`, key.shop, key.case)
      }
      await sql.run("insert into erasures values (?, ?, ?, ?, 'case')", key.shop, key.case, by.at, by.who)
    })
    await this.db.scrub()
  }

  async erasures(shop: string) {
    const rows = await this.db.all('select * from erasures where shop = ? order by at, case_id', shop)
    return rows.map((row) => ({
      case: String(row.case_id),
      at: String(row.at),
      who: String(row.who),
      what: row.what as 'words' | 'case',
    }))
  }

  async importCase(key: CaseKey, made: ImportedCase) {
    await this.db.transaction(async (sql) => {
      const texts = made.events.map(({ seq: _, ...event }) => canonicalize(event)!)
      const there = await sql.get(
        `select seq from cases where ${THIS_CASE}${this.db.dialect.forUpdate}`,
        key.shop,
        key.case,
      )
      if (there) {
        const events = await eventsOf(sql, key)
        if (events.length !== texts.length || events.some((e, i) => e.text !== texts[i])) {
          throw new CaseDiffers('The case is there with other events')
        }
        await sql.run(`delete from words where ${THIS_CASE}`, key.shop, key.case)
        await sql.run(`delete from photos where ${THIS_CASE}`, key.shop, key.case)
      } else await insertImported(sql, key, made, texts)
      for (const [name, text] of Object.entries(made.words)) {
        await sql.run('insert into words values (?, ?, ?, ?)', key.shop, key.case, name, text)
      }
      await putPhotos(sql, key, made.photos)
      await sql.notify(JSON.stringify([key.shop, key.case]))
    })
  }

  onChange(listener: (key: CaseKey | undefined) => void) {
    return this.db.listen((what) => {
      if (what === undefined) return listener(undefined)
      const [shop, id] = JSON.parse(what) as [string, string]
      listener({ shop, case: id })
    })
  }

  putPriceBook(shop: string, { at, who, lines }: Omit<PriceBook, 'version'>) {
    return this.db.transaction(async (sql) => {
      await sql.lock(`price book ${shop}`)
      const row = await sql.get('select coalesce(max(version), 0) as version from price_books where shop = ?', shop)
      const version = Number(row?.version) + 1
      await sql.run('insert into price_books values (?, ?, ?, ?, ?)', shop, version, at, who, JSON.stringify(lines))
      await sql.run('delete from price_books where shop = ? and version <= ?', shop, version - PRICE_BOOKS_KEPT)
      return version
    })
  }
  async priceBook(shop: string) {
    const row = await this.db.get('select * from price_books where shop = ? order by version desc limit 1', shop)
    return row && toPriceBook(row)
  }
  async undoPriceBook(shop: string) {
    const gone = await this.db.run(
      'delete from price_books where shop = ? and version = (select max(version) from price_books where shop = ?)',
      shop,
      shop,
    )
    return gone > 0
  }

  stageOverlay(shop: string, { at, who, files }: Pick<Overlay, 'at' | 'who' | 'files'>) {
    return this.db.transaction(async (sql) => {
      await sql.lock(`overlay ${shop}`)
      await sql.run("delete from overlays where shop = ? and status <> 'live'", shop)
      const row = await sql.get('select coalesce(max(version), 0) as version from overlays where shop = ?', shop)
      const version = Number(row?.version) + 1
      await sql.run(
        "insert into overlays (shop, version, at, who, status, problems, files) values (?, ?, ?, ?, 'checking', '[]', ?)",
        shop,
        version,
        at,
        who,
        JSON.stringify(files),
      )
      return { version, at, who, status: 'checking' as const, problems: [], files }
    })
  }
  async overlay(shop: string, which: 'staged' | 'live') {
    const row = await this.db.get(
      `select * from overlays where shop = ? and status ${which === 'live' ? '=' : '<>'} 'live' order by version desc limit 1`,
      shop,
    )
    return row && toOverlay(row)
  }
  async overlayChecked(shop: string, staged: Overlay, problems: Overlay['problems']) {
    await this.db.run(
      "update overlays set status = ?, problems = ? where shop = ? and version = ? and files = ? and status <> 'live'",
      problems.length === 0 ? 'good' : 'bad',
      JSON.stringify(problems),
      shop,
      staged.version,
      // Others may have been staged in their place while these were checked.
      JSON.stringify(staged.files),
    )
  }
  overlayLive(shop: string, at: string) {
    return this.db.transaction(async (sql) => {
      const live = await sql.run(
        "update overlays set status = 'live', at = ? where shop = ? and status = 'good'",
        at,
        shop,
      )
      if (live > 0) await sql.notify(JSON.stringify([shop, '']))
      return live > 0
    })
  }
  undoOverlay(shop: string) {
    return this.db.transaction(async (sql) => {
      const staged = await sql.run("delete from overlays where shop = ? and status <> 'live'", shop)
      const gone =
        staged ||
        (await sql.run(
          'delete from overlays where shop = ? and version = (select max(version) from overlays where shop = ?)',
          shop,
          shop,
        ))
      if (gone > 0) await sql.notify(JSON.stringify([shop, '']))
      return gone > 0
    })
  }

  async addPerson(p: Person) {
    await this.db.transaction(async (sql) => {
      await sql.lock(`login ${p.shop} ${p.login}`)
      if (await sql.get('select 1 as one from people where shop = ? and login = ?', p.shop, p.login)) {
        throw new LoginTaken(`"${p.login}" is taken`)
      }
      await sql.run(
        `insert into people (shop, id, login, name, role, hash, failures, locked_until, left_at, made_at)
         values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        p.shop,
        p.id,
        p.login,
        p.name,
        p.role,
        p.hash,
        p.failures,
        p.lockedUntil ?? null,
        p.leftAt ?? null,
        p.madeAt,
      )
    })
  }
  async people(shop: string) {
    return (await this.db.all('select * from people where shop = ? order by made_at, id', shop)).map(toPerson)
  }
  async person(shop: string, id: string) {
    const row = await this.db.get('select * from people where shop = ? and id = ?', shop, id)
    return row && toPerson(row)
  }
  async personByLogin(shop: string, login: string) {
    const row = await this.db.get('select * from people where shop = ? and login = ?', shop, login)
    return row && toPerson(row)
  }
  async changePerson(shop: string, id: string, change: Parameters<Store['changePerson']>[2]) {
    await this.db.transaction(async (sql) => {
      const set = (column: string, value: string | null | undefined) =>
        value === undefined
          ? undefined
          : sql.run(`update people set ${column} = ? where shop = ? and id = ?`, value, shop, id)
      await set('name', change.name)
      await set('role', change.role)
      await set('hash', change.hash)
      await set('left_at', change.leftAt)
    })
  }
  countFailure(shop: string, id: string, most: number, until: string) {
    return this.db.transaction(async (sql) => {
      await sql.run('update people set failures = failures + 1 where shop = ? and id = ?', shop, id)
      const row = await sql.get('select failures from people where shop = ? and id = ?', shop, id)
      const failures = Number(row?.failures ?? 0)
      if (failures >= most) {
        await sql.run('update people set locked_until = ? where shop = ? and id = ?', until, shop, id)
      }
      return failures
    })
  }
  async clearFailures(shop: string, id: string) {
    await this.db.run('update people set failures = 0, locked_until = null where shop = ? and id = ?', shop, id)
  }

  async addPass(pass: Pass, at: string) {
    await insertPass(this.db, pass, at)
  }
  async pass(id: string) {
    const row = await this.db.get('select * from passes where id = ? and ended_at is null', id)
    return row && toPass(row)
  }
  async endPass(id: string, at: string) {
    await this.db.run('update passes set ended_at = ? where id = ? and ended_at is null', at, id)
  }
  async endLinks(shop: string, at: string, but: string) {
    await this.db.run(
      `update passes set ended_at = ? where shop = ? and person is null and role <> 'customer' and id <> ? and ended_at is null`,
      at,
      shop,
      but,
    )
  }
  async endPassesOf(shop: string, person: string, at: string) {
    await this.db.run(
      'update passes set ended_at = ? where shop = ? and person = ? and ended_at is null',
      at,
      shop,
      person,
    )
  }
  async hasPasses(shop: string, role: Role) {
    return (
      (await this.db.get('select 1 as one from passes where shop = ? and role = ? limit 1', shop, role)) !== undefined
    )
  }

  async secret(name: string, make: () => string) {
    const kept = await this.db.get('select value from secrets where name = ?', name)
    if (kept) return String(kept.value)
    await this.db.run('insert into secrets values (?, ?) on conflict (name) do nothing', name, make())
    return String((await this.db.get('select value from secrets where name = ?', name))!.value)
  }

  close() {
    return this.db.close()
  }
}

/** Inside a transaction: events, words, and the row's own columns that follow from the events. */
async function write(
  sql: Transaction,
  key: CaseKey,
  seq: number,
  before: CaseSummary,
  what: Pick<Appended, 'at' | 'events' | 'words' | 'photos'>,
): Promise<number> {
  let newest = seq
  let summary = before
  for (const event of what.events) {
    if (event.type === 'contact') await dropContact(sql, key)
    await sql.run('insert into events values (?, ?, ?, ?)', key.shop, key.case, ++newest, canonicalize(event)!)
    summary = summaryAfter(summary, event)
  }
  for (const [name, text] of Object.entries(what.words)) {
    await sql.run('insert into words values (?, ?, ?, ?)', key.shop, key.case, name, text)
  }
  await putPhotos(sql, key, what.photos)
  if (newest > seq) {
    await sql.run(
      `update cases set seq = ?, changed_at = ?, status = ?, tag = ?, summary = ? where ${THIS_CASE}`,
      newest,
      what.at,
      summary.closedAt === undefined ? 'open' : 'closed',
      summary.tag ?? null,
      JSON.stringify(summary),
      key.shop,
      key.case,
    )
  }
  return newest
}

async function putPhotos(sql: Sql, key: CaseKey, photos: Appended['photos'] = {}) {
  for (const [name, data] of Object.entries(photos)) {
    await sql.run('insert into photos values (?, ?, ?, ?)', key.shop, key.case, name, data)
  }
}

/** A name and phone that are replaced are gone: their texts, and the replies that showed them. */
async function dropContact(sql: Sql, key: CaseKey) {
  const rows = await sql.all(
    `select event from events where ${THIS_CASE} and event like '%"type":"contact"%'`,
    key.shop,
    key.case,
  )
  let gone = 0
  for (const row of rows) {
    const event = JSON.parse(String(row.event)) as CaseEvent
    if (event.type !== 'contact') continue
    for (const text of [event.name, event.phone]) {
      if (text === undefined) continue
      gone += await sql.run(`delete from words where ${THIS_CASE} and key = ?`, key.shop, key.case, text)
    }
  }
  if (gone > 0) await sql.run(`update messages set replies = null where ${THIS_CASE}`, key.shop, key.case)
}

async function insertImported(sql: Sql, key: CaseKey, made: ImportedCase, texts: readonly string[]) {
  const summary = summaryOf(made.events)
  if (summary.closedAt === undefined) await freeCode(sql, key.shop, made.code)
  const first = made.events[0]!
  const last = made.events.at(-1)!
  await sql.run(
    `insert into cases (shop, case_id, code, seq, status, tag, knowledge, opened_sender, opened_message, opened_at, changed_at, summary)
     values (?, ?, ?, ?, ?, ?, ?, 'import', ?, ?, ?, ?)`,
    key.shop,
    key.case,
    made.code,
    texts.length,
    summary.closedAt === undefined ? 'open' : 'closed',
    summary.tag ?? null,
    made.knowledge.at(-1)!.hash,
    first.cause,
    first.at,
    last.at,
    JSON.stringify(summary),
  )
  for (const [i, text] of texts.entries()) {
    await sql.run('insert into events values (?, ?, ?, ?)', key.shop, key.case, i + 1, text)
  }
  for (const k of made.knowledge) {
    await sql.run('insert into case_knowledge values (?, ?, ?, ?, ?)', key.shop, key.case, k.from, k.hash, k.at)
  }
}

async function freeCode(sql: Sql, shop: string, code: string) {
  if (await sql.get(`select 1 as one from cases where shop = ? and code = ? and status = 'open'`, shop, code)) {
    throw new CodeTaken(`The code ${code} is in use`)
  }
}

async function openedBy(sql: Sql, shop: string, message: MessageKey) {
  const row = await sql.get(
    'select case_id from cases where shop = ? and opened_sender = ? and opened_message = ?',
    shop,
    message.sender,
    message.id,
  )
  return row && String(row.case_id)
}

async function eventsOf(sql: Sql, key: CaseKey): Promise<{ seq: number; text: string }[]> {
  const rows = await sql.all(`select seq, event from events where ${THIS_CASE} order by seq`, key.shop, key.case)
  return rows.map((row) => ({ seq: Number(row.seq), text: String(row.event) }))
}

async function insertPass(sql: Sql, pass: Pass, at: string) {
  await sql.run(
    'insert into passes (id, shop, role, case_id, name, made_at, person, ends_at) values (?, ?, ?, ?, ?, ?, ?, ?)',
    pass.id,
    pass.shop,
    pass.role,
    pass.case ?? null,
    pass.name ?? null,
    at,
    pass.person ?? null,
    pass.endsAt ?? null,
  )
}

function summaryIn(row: Row): CaseSummary {
  return { ...emptySummary(), ...(JSON.parse(String(row.summary)) as Partial<CaseSummary>) }
}
