import type {
  CaseEvent,
  ClientMessage,
  FindingBody,
  PaperPictures,
  Role,
  ServerMessage,
  StoredEvent,
} from '../protocol/index.ts'

/** One case as the pure step sees it: its events in order, and the free words that stand beside the log. */
export interface CaseRecord {
  id: string
  events: readonly StoredEvent[]
  /** key -> text; an erased text is absent */
  words: Readonly<Record<string, string>>
  /** what the shop charges; what is absent is taken from the knowledge */
  shop?: ShopMoney
}

/** A shop's rate and prices, in its own money. */
export interface ShopMoney {
  /** ISO 4217 */
  currency?: string
  ratePerHour?: number
  /** the part of a remedy, by remedy id */
  prices?: Readonly<Record<string, number>>
}

export interface Caller {
  role: Role
  /** what the record calls this person, for example a technician's short name; never a customer's */
  name?: string
  /** stands for this person in the record; never a customer's */
  id?: string
  /** what this screen reads and writes in; the case's own where it has not said */
  language?: string
}

/** Where time and ids come from: passed in, so that the same messages give the same events. */
export interface Outside {
  /** ISO 8601 */
  now: string
  newId: () => string
}

export interface Catalogue {
  causes: { id: string; name: string }[]
  complaints: { id: string; name: string }[]
  circumstances: { id: string; name: string }[]
  /** `part`, and its price from `low` to `high` where the shop has none of its own */
  remedies: { id: string; name: string; minutes: number; part: string; low: number; high: number }[]
  rootCauses: { id: string; name: string }[]
}

/** A check on a test sheet: what a sound car shows there, to be compared with what was read. */
export interface SheetLine {
  check: string
  title: string
  done: boolean
  /** shows that a repair worked */
  proof: boolean
  good?: string
  unit?: string
  instrument?: string
  expected?: { low: number; high: number }
  red?: string
  black?: string
}

/** What a work order and a test sheet show beside `view`. */
export interface Papers {
  car: { fact: string; name: string; value: string }[]
  /** those acknowledged in the case */
  cautions: { id: string; signal: string; hazard: string }[]
  repairs: {
    remedy: string
    name: string
    seq: number
    steps: string[]
    part: string
    minutes: number
    finding: FindingBody | null
    proof: string[]
  }[]
  sheet: SheetLine[]
  pictures: PaperPictures
}

export interface StepResult {
  /** to append, in this order; empty where the message changed nothing */
  events: CaseEvent[]
  /** texts to keep beside the log, by the keys that the events name */
  words: Record<string, string>
  /** to the sender, in this order; `seq` is that of the case after the events are appended */
  replies: ServerMessage[]
}

/**
 * `step` and `view` of a conversation over one compiled knowledge. Pure: nothing is read or written elsewhere; they are
 * promises only because the rules engine runs asynchronously.
 *
 * - `open(…)`: the first events of a new case.
 * - `step(record, caller, message, outside)`: events and replies of one message. Never throws on anything a person can
 *   send; a message that cannot be taken gives `refused`.
 * - `view(record, caller, re?)`: everything a screen needs to show the case now (opened is the server's to send first):
 *   `noted`, `caution`, `standing`, `finding`, `ask`, in this order, without changing anything. What a screen that
 *   follows the case is sent after somebody else's message.
 */
export interface Conversation {
  /** hash of the knowledge */
  readonly hash: string
  /** languages that it has texts in, English aside */
  readonly languages?: readonly string[]
  /** Makes ready what the first words in a language would otherwise wait for; calling it is never needed. */
  warm?(language: string): void
  open(input: {
    shop: string
    language: string
    code: string
    facts?: Extract<CaseEvent, { type: 'opened' }>['facts']
    tag?: string
    caller: Caller
    messageId: string
    outside: Outside
  }): CaseEvent[]
  step(
    record: CaseRecord,
    caller: Caller,
    message: Exclude<ClientMessage, { type: 'open' }>,
    outside: Outside,
  ): Promise<StepResult>
  view(record: CaseRecord, caller: Caller, re?: string): Promise<ServerMessage[]>
  /** what only paper shows: facts by name, the finding behind each repair, what a sound car reads */
  papers(record: CaseRecord, caller: Caller): Promise<Papers>
  /** what the knowledge has names for, for lists and counts */
  catalogue(language?: string): Catalogue
  /** the body of `opened` that depends on the case alone */
  opening(
    record: CaseRecord,
    caller: Caller,
  ): Omit<Extract<ServerMessage, { type: 'opened' }>, 'v' | 're' | 'pass' | 'shop' | 'missed'>
}
