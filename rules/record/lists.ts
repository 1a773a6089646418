import Papa from 'papaparse'
import { agreedUpTo, type CaseSummary, causesOf, minutesToFinding, tidyTag } from './summary.ts'

/** A case as a list shows it. */
export interface Listed {
  case: string
  code: string
  status: 'open' | 'closed'
  tag?: string
  /** ISO 8601 */
  openedAt: string
  changedAt: string
  summary: CaseSummary
}

export interface CaseFilter {
  status?: 'open' | 'closed'
  /** part of the car's tag, however it is written */
  tag?: string
  /** the hand-over code, with or without its dash */
  code?: string
  complaint?: string
  cause?: string
  /** opened at or after, ISO 8601 */
  from?: string
  /** opened before */
  to?: string
}

export function filterCases<T extends Listed>(cases: readonly T[], filter: CaseFilter): T[] {
  const tag = filter.tag === undefined ? '' : tidyTag(filter.tag)
  const code = filter.code === undefined ? '' : tidyTag(filter.code)
  return cases.filter(
    (c) =>
      (filter.status === undefined || c.status === filter.status) &&
      (tag === '' || tidyTag(c.tag ?? '').includes(tag)) &&
      (code === '' || tidyTag(c.code) === code) &&
      (filter.complaint === undefined || c.summary.complaints.includes(filter.complaint)) &&
      (filter.cause === undefined || causesOf(c.summary).includes(filter.cause)) &&
      (filter.from === undefined || c.openedAt >= filter.from) &&
      (filter.to === undefined || c.openedAt < filter.to),
  )
}

/** The same car's visits before this one, newest first. */
export function earlierVisits<T extends Listed>(cases: readonly T[], now: Listed): T[] {
  const tag = tidyTag(now.tag ?? '')
  if (tag === '') return []
  return cases
    .filter((c) => c.case !== now.case && c.openedAt < now.openedAt && tidyTag(c.tag ?? '') === tag)
    .sort((a, b) => (a.openedAt < b.openedAt ? 1 : a.openedAt > b.openedAt ? -1 : 0))
}

export interface Counts {
  cases: number
  open: number
  closed: number
  /** cars that had been here before */
  cameBack: number
  byCause: { id: string; count: number }[]
  byComplaint: { id: string; count: number }[]
  /** from a technician's first step to the first finding; null where no case had one */
  minutesToFinding: { cases: number; median: number; mean: number; most: number } | null
}

/** @param all every case of the shop, to see which car came back */
export function countCases(cases: readonly Listed[], all: readonly Listed[] = cases): Counts {
  const minutes = cases
    .map((c) => minutesToFinding(c.summary))
    .filter((m) => m !== undefined)
    .sort((a, b) => a - b)
  const middle = minutes.length / 2
  return {
    cases: cases.length,
    open: cases.filter((c) => c.status === 'open').length,
    closed: cases.filter((c) => c.status === 'closed').length,
    cameBack: cases.filter((c) => earlierVisits(all, c).length > 0).length,
    byCause: tally(cases.map((c) => causesOf(c.summary))),
    byComplaint: tally(cases.map((c) => c.summary.complaints)),
    minutesToFinding:
      minutes.length === 0
        ? null
        : {
            cases: minutes.length,
            median: Number.isInteger(middle)
              ? (minutes[middle - 1]! + minutes[middle]!) / 2
              : minutes[Math.floor(middle)]!,
            mean: minutes.reduce((sum, m) => sum + m, 0) / minutes.length,
            most: minutes.at(-1)!,
          },
  }
}

function tally(lists: readonly (readonly string[])[]): { id: string; count: number }[] {
  const counts = new Map<string, number>()
  for (const id of lists.flat()) counts.set(id, (counts.get(id) ?? 0) + 1)
  return [...counts].map(([id, count]) => ({ id, count })).sort((a, b) => b.count - a.count || (a.id < b.id ? -1 : 1))
}

export const CSV_COLUMNS = [
  'code',
  'car',
  'status',
  'opened',
  'closed',
  'drive',
  'pack_volts',
  'complaints',
  'circumstances',
  'answers',
  'causes',
  'repaired',
  'minutes_to_finding',
  'approved_up_to',
  'charged',
  'signed_off',
  'earlier_visits',
  'case',
] as const

/** RFC 4180, with a header line; several values of one cell are joined with "; ". Times are UTC. */
export function casesCsv(cases: readonly Listed[], all: readonly Listed[] = cases): string {
  const rows = cases.map((c): Record<(typeof CSV_COLUMNS)[number], string | number> => {
    const s = c.summary
    const minutes = minutesToFinding(s)
    return {
      code: c.code,
      car: c.tag ?? '',
      status: c.status,
      opened: c.openedAt,
      closed: s.closedAt ?? '',
      drive: s.drive ?? '',
      pack_volts: s.packVolts ?? '',
      complaints: s.complaints.join('; '),
      circumstances: s.circumstances.join('; '),
      answers: s.answers,
      causes: causesOf(s).join('; '),
      repaired: s.repaired.map((r) => r.remedy).join('; '),
      minutes_to_finding: minutes === undefined ? '' : Math.round(minutes * 10) / 10,
      approved_up_to: agreedUpTo(s) ?? '',
      charged: s.charged ?? '',
      signed_off: s.signedOffAt ?? '',
      earlier_visits: earlierVisits(all, c).length,
      case: c.case,
    }
  })
  // A cell that begins like a formula is kept from being one in a spreadsheet.
  return Papa.unparse(rows, { columns: [...CSV_COLUMNS], header: true, newline: '\r\n', escapeFormulae: true }) + '\r\n'
}
