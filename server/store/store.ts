import type { CaseRecord } from '../../rules/conversation/types.ts'
import type { CaseEvent, Role, ServerMessage } from '../../rules/protocol/index.ts'

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

/** What a pass proves. Only its hash is kept. */
export interface Pass {
  /** the hash */
  id: string
  shop: string
  role: Role
  /** set for a customer: the only case that it opens */
  case?: string
  name?: string
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
}

export interface Appended {
  at: string
  events: readonly CaseEvent[]
  words: Readonly<Record<string, string>>
  /** kept with the events in one transaction, so that a repeated message finds its replies or has had no effect */
  message: MessageKey
  replies: readonly ServerMessage[]
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

  /** @throws CodeTaken */
  createCase(key: CaseKey, made: NewCase): Promise<void>
  /** the case that this sender's message opened before */
  caseOpenedBy(shop: string, message: MessageKey): Promise<string | undefined>
  /** open cases first, then the newest closed one */
  caseByCode(shop: string, code: string): Promise<string | undefined>
  row(key: CaseKey): Promise<CaseRow | undefined>
  /** newest change first */
  list(shop: string, filter?: { status?: 'open' | 'closed'; limit?: number }): Promise<CaseRow[]>

  load(key: CaseKey): Promise<CaseRecord | undefined>
  /**
   * Appends to a case whose newest event is `expectedSeq`; also remembers a message that changed nothing.
   * @returns the newest seq
   * @throws SeqConflict
   */
  append(key: CaseKey, expectedSeq: number, what: Appended): Promise<number>
  /** undefined: not seen. `replies` is absent where they were too old to keep, or were erased. */
  repliesTo(key: CaseKey, message: MessageKey): Promise<{ replies?: ServerMessage[] } | undefined>
  /** which knowledge the case used, from which event on */
  knowledgeOf(key: CaseKey): Promise<{ from: number; hash: string; at: string }[]>
  /** Takes out every free word of a case, also out of the replies kept for repeated messages. */
  eraseWords(key: CaseKey): Promise<void>

  addPass(pass: Pass, at: string): Promise<void>
  pass(id: string): Promise<Pass | undefined>
  hasPasses(shop: string, role: Role): Promise<boolean>
  /** a random text of this installation, made at first use by `make` and the same ever after */
  secret(name: string, make: () => string): Promise<string>

  close(): Promise<void>
}
