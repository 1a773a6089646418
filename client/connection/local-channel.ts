import type { Handed, Host, LocalOptions } from '../local/host.ts'
import type { Channel } from './connection.ts'

/** Where the parts could not be fetched, they are tried for again after this, milliseconds. */
const AGAIN = 8_000

/**
 * The reasoning in this browser, spoken to as if it were a socket: the same messages in the same order. All that it needs is
 * fetched when it is first used.
 */
export class LocalChannel extends EventTarget implements Channel {
  readyState = 0
  #session?: ReturnType<Host['open']>
  #again?: ReturnType<typeof setTimeout>

  /** @param handed the case that is held here now lives on the server */
  constructor(
    private readonly options: LocalOptions,
    private readonly handed: (to: Handed) => void,
  ) {
    super()
    void this.#start()
  }

  async #start(): Promise<void> {
    clearTimeout(this.#again)
    this.readyState = 0
    try {
      const { hostOf } = await import('../local/host.ts')
      const host = await hostOf()
      if (this.readyState !== 0) return
      this.#session = host.open(this.options, {
        messages: (messages) => {
          for (const m of messages) this.dispatchEvent(new MessageEvent('message', { data: JSON.stringify(m) }))
        },
        handed: this.handed,
      })
      this.readyState = 1
      this.dispatchEvent(new Event('open'))
    } catch {
      if (this.readyState !== 0) return
      this.dispatchEvent(new Event('close'))
      this.#again = setTimeout(() => this.reconnect(), AGAIN)
    }
  }

  send(text: string): void {
    this.#session?.send(text)
  }

  close(): void {
    clearTimeout(this.#again)
    this.readyState = 3
    this.#session?.end()
  }

  reconnect(): void {
    if (this.readyState === 3) return
    this.#session?.end()
    this.#session = undefined
    void this.#start()
  }
}
