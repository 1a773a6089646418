import type { FindingBody, Noted, PaperPictures, ServerMessage, Standing } from '../../../rules/protocol/index.ts'

/** What the desk reads of the server's shop API; described in rules/record/README.md. */
export interface Named {
  id: string
  name: string
}

export interface ListedCase {
  case: string
  code: string
  status: 'open' | 'closed'
  tag?: string
  openedAt: string
  changedAt: string
  closedAt?: string
  complaints: Named[]
  causes: Named[]
  repaired: { remedy: string; name: string; at: string }[]
  answers: number
  minutesToFinding?: number
  approvedUpTo?: number
  charged?: number
  signedOffAt?: string
  earlierVisits: number
}

export interface Counts {
  cases: number
  open: number
  closed: number
  cameBack: number
  byCause: (Named & { count: number })[]
  byComplaint: (Named & { count: number })[]
  minutesToFinding: { cases: number; median: number; mean: number; most: number } | null
}

export interface Catalogue {
  causes: Named[]
  complaints: Named[]
  remedies: (Named & { minutes: number; part: string; low: number; high: number })[]
}

export interface Shop {
  id: string
  name: string
  phone?: string
  hours?: string
  colour?: string
  currency?: string
}

export interface Settings extends Shop {
  ratePerHour?: number
  retentionDays?: number
  origins: string[]
}

export interface SheetLine {
  check: string
  title: string
  done: boolean
  proof: boolean
  good?: string
  unit?: string
  instrument?: string
  expected?: { low: number; high: number }
  red?: string
  black?: string
}

export interface Repair {
  remedy: string
  name: string
  seq: number
  steps: string[]
  part: string
  minutes: number
  finding: FindingBody | null
  proof: string[]
}

/** All that is on record of one case. */
export interface CaseRecord {
  listed: ListedCase
  shop: Shop
  view: ServerMessage[]
  acknowledged: { caution: string; at: string; by: string; signal?: string; hazard?: string }[]
  car: { fact: string; name: string; value: string }[]
  said: { text: string; by: string; at: string }[]
  repairs: Repair[]
  sheet: SheetLine[]
  pictures: PaperPictures
  stamps: Record<string, { at: string; who?: string }>
  earlier: ListedCase[]
  people: Record<string, string>
  erased: { at: string; what: 'words' | 'case' }[]
}

export const notedOf = (record: CaseRecord): Noted => record.view.find((m) => m.type === 'noted')!
export const estimateOf = (record: CaseRecord): Standing['estimate'] | undefined =>
  record.view.find((m) => m.type === 'standing')?.estimate

/** What was found: for the newest repair where there was one, since a repair makes the standing start anew; else now. */
export function findingOf(record: CaseRecord): FindingBody | null {
  const repaired = record.repairs.findLast((r) => r.finding !== null)
  if (repaired) return repaired.finding
  return record.view.find((m) => m.type === 'finding')?.finding ?? null
}

/** Readings and answers that show whether a repair worked: those given after it. */
export function proofsOf(record: CaseRecord): Noted['trail'] {
  const from = record.repairs.at(-1)?.seq
  if (from === undefined) return []
  const proofs = new Set(record.repairs.flatMap((r) => r.proof))
  return notedOf(record).trail.filter((item) => item.seq > from && proofs.has(item.check))
}

/** The name of who caused an entry of the record, where there is one. */
export function whoDid(record: CaseRecord, seq: number): string | undefined {
  const who = record.stamps[seq]?.who
  return who === undefined ? undefined : record.people[who]
}
