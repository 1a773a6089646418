import { RateLimiterMemory } from 'rate-limiter-flexible'

export interface LimitSettings {
  /** messages of one connection in `perSeconds` */
  messages: number
  perSeconds: number
  /** new cases without a pass from one address in ten minutes; a counter's tablet needs a few dozen a day */
  newCases: number
  /** requests to the API of one address in a minute; files are limited too, far above that */
  requests: number
}

/** Far above what people do, far below what hurts. */
export const LIMITS: LimitSettings = { messages: 60, perSeconds: 10, newCases: 60, requests: 600 }

export class Limits {
  readonly #messages: RateLimiterMemory
  readonly #newCases: RateLimiterMemory
  readonly #signIns = new RateLimiterMemory({ points: 60, duration: 900 })
  readonly #guesses = new RateLimiterMemory({ points: 4, duration: 900 })

  constructor(settings: LimitSettings) {
    this.#messages = new RateLimiterMemory({ points: settings.messages, duration: settings.perSeconds })
    this.#newCases = new RateLimiterMemory({ points: settings.newCases, duration: 600 })
  }

  mayTake = (connection: string): Promise<boolean> => consume(this.#messages, connection)
  /** signing in from one address, right or wrong */
  maySignIn = (address: string): Promise<boolean> => consume(this.#signIns, address)
  /** wrong passwords for a name that there is not: as for one that there is */
  mayGuess = (name: string): Promise<boolean> => consume(this.#guesses, name)
  mayMake = (address: string): Promise<boolean> => consume(this.#newCases, address)
}

async function consume(limiter: RateLimiterMemory, key: string): Promise<boolean> {
  try {
    await limiter.consume(key)
    return true
  } catch (over) {
    if (over instanceof Error) throw over
    return false
  }
}
