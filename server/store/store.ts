import type { CaseRecord } from '../../rules/conversation/types.ts'
import type { CaseEvent, Role, ServerMessage, StoredEvent } from '../../rules/protocol/index.ts'
import type { CaseSummary } from '../../rules/record/summary.ts'
import type { SourceFile } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'

/** Every key carries the shop: a case of one shop can't be reached with another's. */
export interface CaseKey {
  shop: string
  case: string
}

export interface Shop {
  id: string
  name: string
  phone?: string
  hours?: string
  /** pages of these origins may hold a conversation with this shop */
  origins: string[]
  /** `#rrggbb`, the colour of the shop's pages */
  colour?: string
  /** ISO 4217 */
  currency?: string
  /** labour, money an hour; without it the knowledge's */
  ratePerHour?: number
  /** free words, names and phones of a case are erased this long after its last change; without it, never */
  retentionDays?: number
}

export interface PriceLine {
  remedy: string
  /** the shop's own number or name of the part */
  part?: string
  price: number
}

export interface PriceBook {
  version: number
  /** ISO 8601 */
  at: string
  who: string
  lines: PriceLine[]
}

/** A technician or dealer who signs in. */
export interface Person {
  shop: string
  id: string
  /** what is typed to sign in; lower case */
  login: string
  name: string
  role: 'technician' | 'dealer'
  /** argon2id, as its own text */
  hash: string
  /** wrong passwords since the last right one */
  failures: number
  lockedUntil?: string
  /** set: may not sign in any more; the record still knows the name */
  leftAt?: string
  madeAt: string
}

/** A shop's own knowledge over the common one. */
export interface Overlay {
  version: number
  at: string
  who: string
  status: 'checking' | 'bad' | 'good' | 'live'
  problems: Problem[]
  files: SourceFile[]
}

export interface Erasure {
  case: string
  at: string
  who: string
  what: 'words' | 'case'
}

export interface CaseRow extends CaseKey {
  code: string
  /** number of the newest event */
  seq: number
  status: 'open' | 'closed'
  tag?: string
  /** hash of the knowledge that the case goes on with */
  knowledge: string
  /** ISO 8601 */
  openedAt: string
  changedAt: string
}

export interface ListedCase extends CaseRow {
  summary: CaseSummary
}

/** What a pass proves. Only its hash is kept. */
export interface Pass {
  /** the hash */
  id: string
  shop: string
  role: Role
  /** set for a customer: the only case that it opens */
  case?: string
  name?: string
  /** who signed in for it */
  person?: string
  /** ISO 8601; without it, it does not end by itself */
  endsAt?: string
}

/** A case as it comes out of an export. */
export interface ImportedCase {
  code: string
  events: readonly StoredEvent[]
  words: Readonly<Record<string, string>>
  photos?: Readonly<Record<string, string>>
  knowledge: readonly { from: number; hash: string; at: string }[]
}

/** A message of one sender; the same one twice has the effect of once. */
export interface MessageKey {
  /** id of the sender's pass, '' where there is none */
  sender: string
  id: string
}

export interface NewCase {
  code: string
  at: string
  knowledge: string
  events: readonly CaseEvent[]
  words: Readonly<Record<string, string>>
  message: MessageKey
  /** the customer's pass, made with the case or not at all */
  pass?: Pass
  /** the sender's message id is its own: a case that it has made already is not made twice */
  once?: boolean
}

export interface Appended {
  at: string
  events: readonly CaseEvent[]
  words: Readonly<Record<string, string>>
  /** kept with the events in one transaction, so that a repeated message finds its replies or has had no effect */
  message: MessageKey
  replies: readonly ServerMessage[]
  /** pictures beside the log, base64, by the keys that the events name */
  photos?: Readonly<Record<string, string>>
  /** set where the case goes on with other knowledge from here */
  knowledge?: string
}

/** Somebody else appended in between: load the case again and repeat the step. */
export class SeqConflict extends Error {
  override name = 'SeqConflict'
}
/** The hand-over code stands for another open case of the shop: take another. */
export class CodeTaken extends Error {
  override name = 'CodeTaken'
}
/** The same message has made a case, on another server at the same moment. */
export class AlreadyOpened extends Error {
  override name = 'AlreadyOpened'
}
/** The case is there already, and differs from what is imported. */
export class CaseDiffers extends Error {
  override name = 'CaseDiffers'
}
/** Somebody else of the shop signs in with this name. */
export class LoginTaken extends Error {
  override name = 'LoginTaken'
}
/** The database was written by a newer version of this server. */
export class NewerSchema extends Error {
  override name = 'NewerSchema'
}

/**
 * What must not be lost. A promise that is kept means: on the disk. Asynchronous throughout, since a database may be on
 * another machine.
 */
export interface Store {
  shop(id: string): Promise<Shop | undefined>
  shops(): Promise<Shop[]>
  putShop(shop: Shop): Promise<void>

  /** @throws CodeTaken, AlreadyOpened */
  createCase(key: CaseKey, made: NewCase): Promise<void>
  /** the case that this sender's message opened before */
  caseOpenedBy(shop: string, message: MessageKey): Promise<string | undefined>
  /** open cases first, then the newest closed one */
  caseByCode(shop: string, code: string): Promise<string | undefined>
  row(key: CaseKey): Promise<CaseRow | undefined>
  /** newest change first */
  list(shop: string, filter?: { status?: 'open' | 'closed'; limit?: number }): Promise<CaseRow[]>

  /** every case of a shop with its summary, newest change first */
  summaries(shop: string): Promise<ListedCase[]>

  load(key: CaseKey): Promise<CaseRecord | undefined>
  /**
   * Appends to a case whose newest event is `expectedSeq`; also remembers a message that changed nothing.
   * @returns the newest seq
   * @throws SeqConflict
   */
  append(key: CaseKey, expectedSeq: number, what: Appended): Promise<number>
  /** base64; undefined: none, or erased */
  photo(key: CaseKey, photo: string): Promise<string | undefined>
  photosOf(key: CaseKey): Promise<Record<string, string>>
  /** undefined: not seen. `replies` is absent where they were too old to keep, or were erased. */
  repliesTo(key: CaseKey, message: MessageKey): Promise<{ replies?: ServerMessage[] } | undefined>
  /** which knowledge the case used, from which event on */
  knowledgeOf(key: CaseKey): Promise<{ from: number; hash: string; at: string }[]>
  /**
   * Takes out every free word, name, phone and picture of a case, also out of the replies kept for repeated messages.
   * @returns false where nothing was left to erase; then nothing is recorded
   */
  eraseWords(key: CaseKey, by?: { at: string; who: string }): Promise<boolean>
  /** cases that have words beside them, or replies with words; of those, the ones last changed before a moment */
  casesWithWords(shop: string, before?: string): Promise<string[]>
  /** Takes out the whole case, and the passes that open it. */
  eraseCase(key: CaseKey, by: { at: string; who: string }): Promise<void>
  erasures(shop: string): Promise<Erasure[]>
  /**
   * Puts an exported case back. One that is there with the same events gets its words back.
   * @throws CodeTaken, CaseDiffers
   */
  importCase(key: CaseKey, made: ImportedCase): Promise<void>
  /** Changes that other servers made to cases; `undefined`: some may have been missed. Ends by what is returned. */
  onChange(listener: (key: CaseKey | undefined) => void): () => void

  putPriceBook(shop: string, book: Omit<PriceBook, 'version'>): Promise<number>
  /** the newest one; undefined where there is none */
  priceBook(shop: string): Promise<PriceBook | undefined>
  /** takes the newest one back; false where there is none */
  undoPriceBook(shop: string): Promise<boolean>

  /** keeps it aside to be checked; what was staged before is dropped */
  stageOverlay(shop: string, made: Pick<Overlay, 'at' | 'who' | 'files'>): Promise<Overlay>
  overlay(shop: string, which: 'staged' | 'live'): Promise<Overlay | undefined>
  /** says of the files that were staged, if they still are, what the linter has against them */
  overlayChecked(shop: string, staged: Overlay, problems: Problem[]): Promise<void>
  /** what is staged and good goes live; false where there is none */
  overlayLive(shop: string, at: string): Promise<boolean>
  /** drops what is staged, else the newest live one; false where there is neither */
  undoOverlay(shop: string): Promise<boolean>

  /** @throws LoginTaken */
  addPerson(person: Person): Promise<void>
  people(shop: string): Promise<Person[]>
  person(shop: string, id: string): Promise<Person | undefined>
  personByLogin(shop: string, login: string): Promise<Person | undefined>
  changePerson(
    shop: string,
    id: string,
    change: Partial<Pick<Person, 'name' | 'role' | 'hash'>> & { leftAt?: string | null },
  ): Promise<void>
  /** Counts one wrong password; from `most` on the person is locked out until `until`. @returns how many in a row */
  countFailure(shop: string, id: string, most: number, until: string): Promise<number>
  clearFailures(shop: string, id: string): Promise<void>

  addPass(pass: Pass, at: string): Promise<void>
  /** undefined also for one that was signed out */
  pass(id: string): Promise<Pass | undefined>
  endPass(id: string, at: string): Promise<void>
  /** every technician's and dealer's pass that nobody signed in for, but one */
  endLinks(shop: string, at: string, but: string): Promise<void>
  /** every pass of one person */
  endPassesOf(shop: string, person: string, at: string): Promise<void>
  hasPasses(shop: string, role: Role): Promise<boolean>
  /** a random text of this installation, made at first use by `make` and the same ever after */
  secret(name: string, make: () => string): Promise<string>

  close(): Promise<void>
}
