/**
 * The SQLite schema, forward only: a step that has been released is never changed, a new one is added below it.
 * Each is recorded in `schema_migrations` when it has run.
 */
export interface Migration {
  version: number
  name: string
  sql: string
}

export const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    name: 'cases, events, words, passes',
    sql: `
      create table shops (
        id text primary key,
        name text not null,
        phone text,
        hours text,
        origins text not null
      ) strict;
      create table cases (
        shop text not null references shops (id),
        case_id text not null,
        code text not null,
        seq integer not null,
        status text not null check (status in ('open', 'closed')),
        tag text,
        knowledge text not null,
        opened_sender text not null,
        opened_message text not null,
        opened_at text not null,
        changed_at text not null,
        primary key (shop, case_id)
      ) strict;
      create unique index cases_open_code on cases (shop, code) where status = 'open';
      create index cases_code on cases (shop, code);
      create index cases_changed on cases (shop, changed_at);
      create index cases_opened_by on cases (shop, opened_sender, opened_message);
      create table events (
        shop text not null,
        case_id text not null,
        seq integer not null,
        event text not null,
        primary key (shop, case_id, seq),
        foreign key (shop, case_id) references cases (shop, case_id)
      ) strict, without rowid;
      create table words (
        shop text not null,
        case_id text not null,
        key text not null,
        text text not null,
        primary key (shop, case_id, key),
        foreign key (shop, case_id) references cases (shop, case_id)
      ) strict, without rowid;
      create table messages (
        shop text not null,
        case_id text not null,
        sender text not null,
        id text not null,
        seq integer not null,
        replies text,
        primary key (shop, case_id, sender, id),
        foreign key (shop, case_id) references cases (shop, case_id)
      ) strict;
      create table case_knowledge (
        shop text not null,
        case_id text not null,
        from_seq integer not null,
        hash text not null,
        at text not null,
        primary key (shop, case_id, from_seq),
        foreign key (shop, case_id) references cases (shop, case_id)
      ) strict, without rowid;
      create table passes (
        id text primary key,
        shop text not null references shops (id),
        role text not null check (role in ('customer', 'technician', 'dealer')),
        case_id text,
        name text,
        made_at text not null
      ) strict, without rowid;
      create table secrets (
        name text primary key,
        value text not null
      ) strict, without rowid;
    `,
  },
]
