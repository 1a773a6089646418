import type { Act } from '../state/messages.ts'

/** A place for a few strings that outlives the page; `localStorage` where it may be used, else memory. */
export interface Keep {
  get(key: string): string | null
  set(key: string, value: string): void
  remove(key: string): void
}

export interface Queued {
  id: string
  act: Act
  /** when it was entered, milliseconds */
  at?: number
}

/**
 * What was entered and has no reply yet, oldest first. It is kept before it is sent and forgotten when a reply to its id
 * has come, which is the server's word that it is stored; after a lost line or a reload the same ids go out again, and
 * the server gives the same id the effect of once.
 */
export class Queue {
  #items: Queued[]

  constructor(
    private readonly keep: Keep,
    private readonly key: string,
  ) {
    this.#items = read(keep.get(key))
  }

  get items(): readonly Queued[] {
    return this.#items
  }

  add(item: Queued): void {
    this.#write([...this.#items, item])
  }

  /** @returns whether it was waiting */
  settle(id: string): boolean {
    const left = this.#items.filter((i) => i.id !== id)
    const was = left.length !== this.#items.length
    if (was) this.#write(left)
    return was
  }

  clear(): void {
    this.#write([])
  }

  #write(items: Queued[]): void {
    this.#items = items
    if (items.length === 0) this.keep.remove(this.key)
    else this.keep.set(this.key, JSON.stringify(items))
  }
}

function read(text: string | null): Queued[] {
  try {
    const items: unknown = JSON.parse(text ?? '[]')
    return Array.isArray(items)
      ? items.filter((i) => typeof i?.id === 'string' && typeof i?.act?.type === 'string')
      : []
  } catch {
    return []
  }
}
