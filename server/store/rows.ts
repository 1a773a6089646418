import type { Role } from '../../rules/protocol/index.ts'
import type { Row } from './database.ts'
import type { CaseRow, Overlay, Pass, Person, PriceBook, PriceLine, Shop } from './store.ts'

export function toShop(row: Row): Shop {
  return {
    id: String(row.id),
    name: String(row.name),
    ...text('phone', row.phone),
    ...text('hours', row.hours),
    origins: JSON.parse(String(row.origins)) as string[],
    ...(JSON.parse(String(row.settings)) as Partial<Shop>),
  }
}

export function toCaseRow(row: Row): CaseRow {
  return {
    shop: String(row.shop),
    case: String(row.case_id),
    code: String(row.code),
    seq: Number(row.seq),
    status: row.status as 'open' | 'closed',
    ...text('tag', row.tag),
    knowledge: String(row.knowledge),
    openedAt: String(row.opened_at),
    changedAt: String(row.changed_at),
  }
}

export function toPass(row: Row): Pass {
  return {
    id: String(row.id),
    shop: String(row.shop),
    role: row.role as Role,
    ...text('case', row.case_id),
    ...text('name', row.name),
    ...text('person', row.person),
    ...text('endsAt', row.ends_at),
  }
}

export function toPerson(row: Row): Person {
  return {
    shop: String(row.shop),
    id: String(row.id),
    login: String(row.login),
    name: String(row.name),
    role: row.role as Person['role'],
    hash: String(row.hash),
    failures: Number(row.failures),
    ...text('lockedUntil', row.locked_until),
    ...text('leftAt', row.left_at),
    madeAt: String(row.made_at),
  }
}

export function toPriceBook(row: Row): PriceBook {
  return {
    version: Number(row.version),
    at: String(row.at),
    who: String(row.who),
    lines: JSON.parse(String(row.book)) as PriceLine[],
  }
}

export function toOverlay(row: Row): Overlay {
  return {
    version: Number(row.version),
    at: String(row.at),
    who: String(row.who),
    status: row.status as Overlay['status'],
    problems: JSON.parse(String(row.problems)) as Overlay['problems'],
    files: JSON.parse(String(row.files)) as Overlay['files'],
  }
}

/** Absent where the column is null. */
function text<K extends string>(name: K, value: Row[string] | undefined): { [P in K]?: string } {
  return (value === null || value === undefined ? {} : { [name]: String(value) }) as { [P in K]?: string }
}
