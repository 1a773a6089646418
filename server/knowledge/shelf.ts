import type { Conversation } from '../../rules/conversation/types.ts'

/** Older knowledge than this many changes ago is put away; cases still on it go on with the newest. */
const OLDER_KEPT = 8

/** The knowledge in use, and what running cases began with: a case goes on with what it is pinned to. */
export class Shelf {
  #current: Conversation
  readonly #byHash = new Map<string, Conversation>()
  readonly #ofShop = new Map<string, Conversation>()

  constructor(first: Conversation) {
    this.#current = first
    this.#byHash.set(first.hash, first)
  }

  get current(): Conversation {
    return this.#current
  }

  /** What new cases of a shop use: with its own knowledge in it, where it has some. */
  currentOf(shop: string): Conversation {
    return this.#ofShop.get(shop) ?? this.#current
  }

  /** undefined: the common one alone */
  putFor(shop: string, conversation: Conversation | undefined): void {
    if (!conversation) this.#ofShop.delete(shop)
    else {
      this.#ofShop.set(shop, conversation)
      this.#keep(conversation)
    }
  }

  /** The knowledge with this hash, or the newest where it is no longer kept: compare `hash` to know. */
  for(hash: string, shop?: string): Conversation {
    return this.#byHash.get(hash) ?? (shop === undefined ? this.#current : this.currentOf(shop))
  }

  /** @returns false where it is the one in use already */
  put(conversation: Conversation): boolean {
    if (conversation.hash === this.#current.hash) return false
    this.#current = conversation
    this.#keep(conversation)
    return true
  }

  #keep(conversation: Conversation): void {
    this.#byHash.delete(conversation.hash)
    this.#byHash.set(conversation.hash, conversation)
    const inUse = new Set([this.#current, ...this.#ofShop.values()].map((c) => c.hash))
    const old = [...this.#byHash.keys()].filter((hash) => !inUse.has(hash))
    for (const hash of old.slice(0, Math.max(0, old.length - OLDER_KEPT))) this.#byHash.delete(hash)
  }
}
