/** Runs the work of one key one after the other, of different keys side by side. */
export class KeyedQueue {
  readonly #tails = new Map<string, Promise<unknown>>()

  run<T>(key: string, work: () => Promise<T>): Promise<T> {
    const before = this.#tails.get(key) ?? Promise.resolve()
    const done = before.then(work, work)
    const tail = done.catch(() => undefined)
    this.#tails.set(key, tail)
    void tail.then(() => {
      if (this.#tails.get(key) === tail) this.#tails.delete(key)
    })
    return done
  }

  /** Resolves when nothing is queued. */
  async idle(): Promise<void> {
    while (this.#tails.size > 0) await Promise.all(this.#tails.values())
  }
}
