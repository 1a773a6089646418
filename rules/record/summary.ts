import type { CaseEvent, Role } from '../protocol/index.ts'

/** What a list of cases is searched by and counted from. Holds no free words, names or phones. */
export interface CaseSummary {
  tag?: string
  drive?: string
  packVolts?: number
  openedBy?: Role
  openedAt?: string
  closedAt?: string
  complaints: string[]
  circumstances: string[]
  /** first thing that a technician did */
  workBeganAt?: string
  /** when a technician was first shown a finding */
  foundAt?: string
  /** causes of the newest finding that a technician was shown, likeliest first */
  finding: string[]
  /** the same, but empty once the finding no longer holds */
  current: string[]
  /** each repair, with the causes that it was for */
  repaired: { remedy: string; causes: string[]; at: string }[]
  approved: { remedies: string[]; upTo: number; at: string }[]
  declined: { remedies: string[]; at: string }[]
  /** what is agreed to and not refused since, as `inForce` of work.ts has it; `left`: of its repairs those not refused */
  agreed?: { remedies: string[]; upTo: number; left: string[] }[]
  signedOffAt?: string
  charged?: number
  /** answers given, retracted ones too */
  answers: number
}

export const emptySummary = (): CaseSummary => ({
  complaints: [],
  circumstances: [],
  finding: [],
  current: [],
  repaired: [],
  approved: [],
  declined: [],
  answers: 0,
})

/** A summary with one more event: kept up to date as events are appended, so that no list has to read them all. */
export function summaryAfter(before: CaseSummary, e: CaseEvent): CaseSummary {
  const s: CaseSummary = { ...before }
  if (e.by !== 'customer' && e.type !== 'opened' && e.type !== 'shown') s.workBeganAt ??= e.at
  switch (e.type) {
    case 'opened':
      s.openedBy = e.by
      s.openedAt = e.at
      facts(s, e.facts, e.tag)
      break
    case 'facts':
      facts(s, e.facts, e.tag)
      break
    case 'said':
      if (!e.sure) break
      s.complaints = union(s.complaints, e.complaints)
      s.circumstances = union(s.circumstances, e.circumstances)
      break
    case 'answered':
      s.answers = s.answers + 1
      break
    case 'retracted':
      s.complaints = s.complaints.filter((id) => e.check !== `complaint.${id}`)
      s.circumstances = s.circumstances.filter((id) => e.check !== `circumstance.${id}`)
      break
    case 'shown':
      if (e.by === 'customer') break
      s.current = [...e.finding]
      if (e.finding.length === 0) break
      s.foundAt ??= e.at
      s.finding = [...e.finding]
      break
    case 'repaired':
      s.repaired = [...s.repaired, { remedy: e.remedy, causes: s.current, at: e.at }]
      unsigned(s)
      break
    case 'car-state':
      if (e.state.bridged?.length || e.state.lifted?.length) unsigned(s)
      break
    case 'approved':
      s.approved = [...s.approved, { remedies: e.remedies, upTo: e.upTo, at: e.at }]
      s.agreed = [
        ...(s.agreed ?? []).filter((a) => !a.remedies.some((r) => e.remedies.includes(r))),
        { remedies: e.remedies, upTo: e.upTo, left: e.remedies },
      ]
      break
    case 'declined':
      s.declined = [...s.declined, { remedies: e.remedies, at: e.at }]
      s.agreed = (s.agreed ?? [])
        .map((a) => ({ ...a, left: a.left.filter((r) => !e.remedies.includes(r)) }))
        .filter((a) => a.left.length > 0)
      break
    case 'signed-off':
      s.signedOffAt = e.at
      if (e.charged !== undefined) s.charged = e.charged
      break
    case 'closed':
      s.closedAt = e.at
      break
  }
  return s
}

export function summaryOf(events: readonly CaseEvent[]): CaseSummary {
  return events.reduce(summaryAfter, emptySummary())
}

/** The causes that a case counts for: those repaired, likeliest one of each repair; without a repair, the one found. */
export function causesOf(s: CaseSummary): string[] {
  const repaired = s.repaired.flatMap((r) => r.causes.slice(0, 1))
  return [...new Set(repaired.length > 0 ? repaired : s.finding.slice(0, 1))]
}

/** Minutes from a technician's first step to the first finding; undefined where there was none. */
export function minutesToFinding(s: CaseSummary): number | undefined {
  if (s.foundAt === undefined || s.workBeganAt === undefined) return undefined
  const minutes = (Date.parse(s.foundAt) - Date.parse(s.workBeganAt)) / 60_000
  return minutes >= 0 ? minutes : undefined
}

/** The most that may be charged: all that is agreed to, together; undefined where nothing is. */
export function agreedUpTo(s: CaseSummary): number | undefined {
  const agreed = s.agreed ?? s.approved.slice(-1)
  return agreed.length === 0 ? undefined : agreed.reduce((sum, a) => sum + Math.round(a.upTo * 100), 0) / 100
}

/** More was done after the signature: it stands no longer. */
function unsigned(s: CaseSummary) {
  delete s.signedOffAt
  delete s.charged
}

/** "Car 12", "car-12" and "CAR 12" are one car. */
export const tidyTag = (tag: string): string =>
  tag
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '')

function facts(s: CaseSummary, given: { drive?: string; packVolts?: number }, tag: string | undefined) {
  if (given.drive !== undefined) s.drive = given.drive
  if (given.packVolts !== undefined) s.packVolts = given.packVolts
  if (tag !== undefined) s.tag = tag
}

const union = (a: readonly string[], b: readonly string[]) => [...new Set([...a, ...b])]
