import type { IncomingMessage } from 'node:http'
import type { Store } from '../store/store.ts'

/**
 * Which pages may talk to the server from a browser: its own, those in ORIGINS, those that the shop allows. A program
 * that is no browser sends no origin; the pass is what protects a case from it, as it does from everybody.
 */
export class Origins {
  readonly #store: Store
  readonly #everywhere: ReadonlySet<string>

  constructor(store: Store, everywhere: readonly string[]) {
    this.#store = store
    this.#everywhere = new Set(everywhere)
  }

  /** before the shop is known: may it reach any? */
  async mayConnect(request: Pick<IncomingMessage, 'headers'>): Promise<boolean> {
    const { origin, host } = request.headers
    if (this.#free(origin, host)) return true
    return (await this.#store.shops()).some((shop) => shop.origins.includes(origin!))
  }

  async mayReach(request: Pick<IncomingMessage, 'headers'>, shop: string): Promise<boolean> {
    const { origin, host } = request.headers
    if (this.#free(origin, host)) return true
    // A shop that does not exist is for the conversation to say.
    const found = await this.#store.shop(shop)
    return !found || found.origins.includes(origin!)
  }

  #free(origin: string | undefined, host: string | undefined): boolean {
    if (origin === undefined || this.#everywhere.has(origin)) return true
    // Compared without the scheme: behind a proxy that ends TLS the server sees http.
    return URL.canParse(origin) && new URL(origin).host === host?.toLowerCase()
  }
}
