import type { Conversation } from '../../rules/conversation/types.ts'

/** Older knowledge than this many changes ago is put away; cases still on it go on with the newest. */
const OLDER_KEPT = 8

/** The knowledge in use, and what running cases began with: a case goes on with what it is pinned to. */
export class Shelf {
  #current: Conversation
  readonly #byHash = new Map<string, Conversation>()

  constructor(first: Conversation) {
    this.#current = first
    this.#byHash.set(first.hash, first)
  }

  get current(): Conversation {
    return this.#current
  }

  /** The knowledge with this hash, or the newest where it is no longer kept: compare `hash` to know. */
  for(hash: string): Conversation {
    return this.#byHash.get(hash) ?? this.#current
  }

  /** @returns false where it is the one in use already */
  put(conversation: Conversation): boolean {
    if (conversation.hash === this.#current.hash) return false
    this.#current = conversation
    this.#byHash.delete(conversation.hash)
    this.#byHash.set(conversation.hash, conversation)
    while (this.#byHash.size > OLDER_KEPT + 1) this.#byHash.delete(this.#byHash.keys().next().value!)
    return true
  }
}
