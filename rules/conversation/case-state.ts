import type { Reading, Role, StoredEvent } from '../protocol/index.ts'
import type { Learned } from '../reasoning/evidence.ts'
import { isStale } from '../reasoning/evidence.ts'
import type { Reasoner } from '../reasoning/reasoner.ts'
import { AT_FIRST, after, type SetUp } from '../reasoning/set-up.ts'
import { addToWork, noWork, type WorkState } from '../record/work.ts'
import type { CarFacts } from '../schema/car.ts'
import type { CheckFile, Knowledge } from '../schema/knowledge.ts'
import { circumstanceObservable, complaintObservable } from '../schema/references.ts'
import type { CaseRecord, ShopMoney } from './types.ts'

export interface Given {
  /** check id, or `complaint.<id>` / `circumstance.<id>` */
  check: string
  outcome?: string
  reading?: Reading
  /** volts of each block, where a check of blocks was answered by them */
  blocks?: readonly number[]
  by: Role
  at: string
  seq: number
  /** answered more than once: it was looked at again */
  twice: boolean
  /** a repair has changed what it looked at */
  stale: boolean
  /** parts bridged for a test at the time */
  bridged?: readonly string[]
}

/** A case as it stands: what its events come to. */
export interface CaseState {
  id: string
  code: string
  shop: string
  language: string
  hash: string
  tag?: string
  status: 'open' | 'closed'
  facts: CarFacts
  setUp: SetUp
  /** in the order given; the newest answer to each check only */
  given: Given[]
  picked: string | null
  acknowledged: ReadonlySet<string>
  /** with the causes that the last finding before it named */
  repaired: { remedy: string; seq: number; causes: readonly string[] }[]
  /** the remedy whose proof has not been answered yet */
  unproved?: string
  /** the last repair was proved, and nothing has been wrong since */
  proved: boolean
  /** seq of each proof that was good */
  proofs: number[]
  notes: { seq: number; words: string; by: Role; at: string }[]
  shown?: Extract<StoredEvent, { type: 'shown' }>
  work: WorkState
  photos: Extract<StoredEvent, { type: 'photo' }>[]
  /** the shop's, as far as it is set */
  money: ShopMoney
  seq: number
}

export function foldCase(record: CaseRecord, r: Reasoner): CaseState {
  const s: CaseState = {
    id: record.id,
    code: '',
    shop: '',
    language: 'en',
    hash: '',
    status: 'open',
    facts: {},
    setUp: AT_FIRST,
    given: [],
    picked: null,
    acknowledged: new Set(),
    repaired: [],
    proved: false,
    proofs: [],
    notes: [],
    work: noWork(),
    photos: [],
    money: record.shop ?? {},
    seq: 0,
  }
  const acknowledged = new Set<string>()
  s.acknowledged = acknowledged
  for (const e of record.events) {
    s.seq = e.seq
    addToWork(s.work, e)
    switch (e.type) {
      case 'opened':
        s.code = e.code
        s.shop = e.shop
        s.language = e.language
        s.hash = e.knowledge
        s.facts = { ...e.facts }
        if (e.tag) s.tag = e.tag
        break
      case 'facts':
        s.facts = { ...s.facts, ...e.facts }
        if (e.tag !== undefined) s.tag = e.tag
        break
      case 'said':
        if (!e.sure) break
        if (e.complaints.length > 0) reopen(s)
        for (const id of e.complaints) give(s, { ...who(e), check: complaintObservable(id) })
        for (const id of e.circumstances) give(s, { ...who(e), check: circumstanceObservable(id) })
        break
      case 'answered': {
        const { bridged } = s.setUp.carState
        const over = bridged?.length ? { bridged } : {}
        const blocks = e.blocks ? { blocks: e.blocks } : {}
        give(s, { ...who(e), check: e.check, outcome: e.outcome, reading: e.reading, ...blocks, ...over })
        const check = r.check(e.check)
        if (check && s.proved && isTrouble(r, check, e.outcome)) reopen(s)
        // What a check needs of the car has been done by whoever answered it.
        if (check && e.by !== 'customer') s.setUp = after(s.setUp, check)
        if (s.picked === e.check) s.picked = null
        const remedy = s.unproved && r.knowledge.remedies.find((x) => x.id === s.unproved)
        if (remedy && remedy.proof.check === e.check && (e.outcome ?? '') !== 'dont-know') {
          s.proved = e.outcome === remedy.proof.outcome
          if (s.proved) s.proofs.push(e.seq)
          s.unproved = undefined
        }
        break
      }
      case 'retracted':
        s.given = s.given.filter((g) => g.check !== e.check)
        break
      case 'picked':
        s.picked = e.check
        break
      case 'acknowledged':
        acknowledged.add(e.caution)
        break
      case 'car-state':
        s.setUp = { ...s.setUp, carState: { ...s.setUp.carState, ...e.state } }
        break
      case 'told':
        s.notes.push({ seq: e.seq, words: e.words, by: e.by, at: e.at })
        break
      case 'repaired': {
        s.repaired.push({ remedy: e.remedy, seq: e.seq, causes: s.shown?.finding ?? [] })
        s.unproved = e.remedy
        s.proved = false
        s.picked = null
        for (const g of s.given) {
          const o = r.lookup.observable.get(r.check(g.check)?.observable ?? g.check)
          if (o !== undefined && isStale(r.compiled, r.knowledge, e.remedy, o)) g.stale = true
        }
        break
      }
      case 'closed':
        s.status = 'closed'
        break
      case 'photo':
        s.photos.push(e)
        break
      case 'shown':
        s.shown = e
        break
    }
  }
  return s
}

/** Something is wrong after all: the job goes on. */
function reopen(s: CaseState) {
  s.proved = false
}

/** An answer that a sound car would not give. */
function isTrouble(r: Reasoner, check: CheckFile, outcome: string | undefined): boolean {
  const compiled = r.compiled.checks[r.lookup.check.get(check.id)!]!
  const at = compiled.outcomes.indexOf(outcome ?? '')
  if (at < 0 || compiled.observable < 0) return false
  const { usual } = r.compiled.observables[compiled.observable]!
  const n = compiled.outcomes.length
  const p = compiled.outcomes.map((_, o) => usual.reduce((sum, u, s) => sum + u * compiled.shows[s * n + o]!, 0))
  return p[at]! < 0.2 * Math.max(...p)
}

const who = (e: StoredEvent) => ({ by: e.by, at: e.at, seq: e.seq, twice: false, stale: false })

function give(s: CaseState, g: Given) {
  const before = s.given.findIndex((x) => x.check === g.check)
  if (before >= 0) {
    const old = s.given[before]!
    // Looked at again since a repair is a new look, not a second one.
    g.twice = !old.stale
    s.given.splice(before, 1)
  }
  s.given.push(g)
}

/** The reasoning's view: what was learned, in order, repairs where they fell. */
export function learnedOf(s: CaseState): Learned[] {
  const items: { seq: number; learned: Learned }[] = []
  for (const g of s.given) {
    if (/^(complaint|circumstance)\./.test(g.check)) {
      items.push({ seq: g.seq, learned: { kind: 'said', observable: g.check } })
    } else {
      items.push({
        seq: g.seq,
        learned: {
          kind: 'answer',
          check: g.check,
          outcome: g.outcome,
          value: g.reading?.value,
          ...(g.bridged ? { bridged: g.bridged } : {}),
        },
      })
    }
  }
  for (const x of s.repaired) items.push({ seq: x.seq, learned: { kind: 'repaired', remedy: x.remedy } })
  for (const seq of s.proofs) items.push({ seq, learned: { kind: 'proved' } })
  return items.sort((a, b) => a.seq - b.seq).map((i) => i.learned)
}

/** Checks that need not be asked: answered, and not made stale by a repair. */
export function doneOf(s: CaseState, k: Knowledge): Set<string> {
  const done = new Set(s.given.filter((g) => !g.stale).map((g) => g.check))
  // What was said already is not asked: a circumstance by its own question, a complaint by those that its file names.
  const said = new Set([...done].filter((id) => /^(complaint|circumstance)\./.test(id)))
  for (const check of k.checks) if (check.observable && said.has(check.observable)) done.add(check.id)
  for (const complaint of k.complaints) {
    if (said.has(complaintObservable(complaint.id))) for (const id of complaint.settles ?? []) done.add(id)
  }
  return done
}

export const complaintsOf = (s: CaseState): string[] =>
  s.given.filter((g) => g.check.startsWith('complaint.')).map((g) => g.check.slice('complaint.'.length))
export const circumstancesOf = (s: CaseState): string[] =>
  s.given.filter((g) => g.check.startsWith('circumstance.')).map((g) => g.check.slice('circumstance.'.length))
