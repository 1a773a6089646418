import type { CaseEvent } from '../../rules/protocol/index.ts'
import { type CaseSummary, summaryOf } from '../../rules/record/summary.ts'
import type { Database, Dialect, Sql } from './database.ts'
import { NewerSchema } from './store.ts'

/**
 * The schema, forward only: a step that has been released is never changed, a new one is added below it. Each is
 * recorded in `schema_migrations` when it has run.
 */
export interface Migration {
  version: number
  name: string
  sql: (d: Dialect) => string
  /** fills in what the new columns hold for the rows that are there */
  then?: (sql: Sql) => Promise<void>
}

export const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    name: 'cases, events, words, passes',
    sql: ({ text, strict, keyed, counter }) => `
      create table shops (
        id ${text} primary key,
        name ${text} not null,
        phone ${text},
        hours ${text},
        origins ${text} not null
      )${strict};
      create table cases (
        shop ${text} not null references shops (id),
        case_id ${text} not null,
        code ${text} not null,
        seq integer not null,
        status ${text} not null check (status in ('open', 'closed')),
        tag ${text},
        knowledge ${text} not null,
        opened_sender ${text} not null,
        opened_message ${text} not null,
        opened_at ${text} not null,
        changed_at ${text} not null,
        primary key (shop, case_id)
      )${strict};
      create unique index cases_open_code on cases (shop, code) where status = 'open';
      create index cases_code on cases (shop, code);
      create index cases_changed on cases (shop, changed_at);
      create index cases_opened_by on cases (shop, opened_sender, opened_message);
      create table events (
        shop ${text} not null,
        case_id ${text} not null,
        seq integer not null,
        event ${text} not null,
        primary key (shop, case_id, seq),
        foreign key (shop, case_id) references cases (shop, case_id)
      )${keyed};
      create table words (
        shop ${text} not null,
        case_id ${text} not null,
        key ${text} not null,
        text ${text} not null,
        primary key (shop, case_id, key),
        foreign key (shop, case_id) references cases (shop, case_id)
      )${keyed};
      create table messages (
        shop ${text} not null,
        case_id ${text} not null,
        sender ${text} not null,
        id ${text} not null,
        seq integer not null,
        replies ${text}${counter},
        primary key (shop, case_id, sender, id),
        foreign key (shop, case_id) references cases (shop, case_id)
      )${strict};
      create table case_knowledge (
        shop ${text} not null,
        case_id ${text} not null,
        from_seq integer not null,
        hash ${text} not null,
        at ${text} not null,
        primary key (shop, case_id, from_seq),
        foreign key (shop, case_id) references cases (shop, case_id)
      )${keyed};
      create table passes (
        id ${text} primary key,
        shop ${text} not null references shops (id),
        role ${text} not null check (role in ('customer', 'technician', 'dealer')),
        case_id ${text},
        name ${text},
        made_at ${text} not null
      )${keyed};
      create table secrets (
        name ${text} primary key,
        value ${text} not null
      )${keyed};
    `,
  },
  {
    version: 2,
    name: 'summaries, settings, price books, people, sessions, erasures',
    sql: ({ text, keyed }) => `
      alter table cases add column summary ${text} not null default '{}';
      alter table shops add column settings ${text} not null default '{}';
      alter table passes add column person ${text};
      alter table passes add column ends_at ${text};
      alter table passes add column ended_at ${text};
      create index passes_person on passes (shop, person);
      create table people (
        shop ${text} not null references shops (id),
        id ${text} not null,
        login ${text} not null,
        name ${text} not null,
        role ${text} not null check (role in ('technician', 'dealer')),
        hash ${text} not null,
        failures integer not null default 0,
        locked_until ${text},
        left_at ${text},
        made_at ${text} not null,
        primary key (shop, id)
      )${keyed};
      create unique index people_login on people (shop, login);
      create table price_books (
        shop ${text} not null references shops (id),
        version integer not null,
        at ${text} not null,
        who ${text} not null,
        book ${text} not null,
        primary key (shop, version)
      )${keyed};
      create table erasures (
        shop ${text} not null references shops (id),
        case_id ${text} not null,
        at ${text} not null,
        who ${text} not null,
        what ${text} not null check (what in ('words', 'case')),
        primary key (shop, case_id, at)
      )${keyed};
    `,
    async then(sql) {
      for (const row of await sql.all('select shop, case_id from cases')) {
        const events = await sql.all(
          'select event from events where shop = ? and case_id = ? order by seq',
          row.shop!,
          row.case_id!,
        )
        const summary: CaseSummary = summaryOf(events.map((e) => JSON.parse(String(e.event)) as CaseEvent))
        await sql.run(
          'update cases set summary = ? where shop = ? and case_id = ?',
          JSON.stringify(summary),
          row.shop!,
          row.case_id!,
        )
      }
    },
  },
  {
    version: 3,
    name: "shops' own knowledge",
    sql: ({ text, keyed }) => `
      create table overlays (
        shop ${text} not null references shops (id),
        version integer not null,
        at ${text} not null,
        who ${text} not null,
        status ${text} not null check (status in ('checking', 'bad', 'good', 'live')),
        problems ${text} not null,
        files ${text} not null,
        primary key (shop, version)
      )${keyed};
    `,
  },
  {
    version: 4,
    name: 'photos',
    sql: ({ text, strict }) => `
      create table photos (
        shop ${text} not null,
        case_id ${text} not null,
        key ${text} not null,
        data text not null,
        primary key (shop, case_id, key),
        foreign key (shop, case_id) references cases (shop, case_id)
      )${strict};
    `,
  },
]

/**
 * Brings a database to the newest schema that this server knows.
 *
 * @param at ISO 8601, for the record of what ran
 * @throws NewerSchema
 */
export async function migrate(db: Database, at: string, migrations: readonly Migration[] = MIGRATIONS): Promise<void> {
  const newest = migrations.at(-1)?.version ?? 0
  for (;;) {
    // One step a transaction; two servers that start at once take turns.
    const done = await db.transaction(async (sql) => {
      await sql.lock('migrations')
      await sql.exec(
        `create table if not exists schema_migrations (version integer primary key, name ${db.dialect.text} not null, at ${db.dialect.text} not null)${db.dialect.strict}`,
      )
      const version = await versionOf(sql)
      if (version > newest) {
        throw new NewerSchema(
          `The database has schema ${version}, this server knows ${newest} and older. Start the newer version of the server, or restore a back-up made before it.`,
        )
      }
      const next = migrations.find((m) => m.version > version)
      if (!next) return true
      await sql.exec(next.sql(db.dialect))
      await next.then?.(sql)
      await sql.run('insert into schema_migrations values (?, ?, ?)', next.version, next.name, at)
      return false
    })
    if (done) return
  }
}

export async function versionOf(sql: Sql): Promise<number> {
  const found = await sql.get('select coalesce(max(version), 0) as version from schema_migrations')
  return Number(found?.version)
}
