import { randomInt } from 'node:crypto'
import { nanoid } from 'nanoid'

/** Where time, ids and chance come from. Passed in, so that tests and replays are the same every time. */
export interface ServerOutside {
  /** ISO 8601, UTC */
  now(): string
  newId(): string
  /** said aloud at the counter: letter and digit, dash, three digits */
  code(): string
  /** proves a role; as long as guessing is hopeless */
  pass(): string
}

/** No I and O, which are read as 1 and 0. */
export const CODE_LETTERS = 'ABCDEFGHJKLMNPQRSTUVWXYZ'
export { CODE_SHAPE } from '../rules/protocol/client.ts'

export const realOutside: ServerOutside = {
  now: () => new Date().toISOString(),
  newId: () => nanoid(),
  code: () =>
    `${CODE_LETTERS[randomInt(CODE_LETTERS.length)]}${randomInt(10)}-${String(randomInt(1000)).padStart(3, '0')}`,
  pass: () => nanoid(40),
}

/** The same ids, codes and minutes on every run: for replays, for the protocol page, for tests. */
export function countingOutside(start = '2025-05-05T08:00:00.000Z'): ServerOutside {
  let ticks = 0
  let ids = 0
  let codes = 0
  let passes = 0
  return {
    now: () => new Date(Date.parse(start) + 60_000 * ticks++).toISOString(),
    newId: () => `id-${++ids}`,
    code: () => `K${Math.floor(codes / 1000) % 10}-${String((203 + ++codes) % 1000).padStart(3, '0')}`,
    pass: () => `pass-${String(++passes).padStart(32, '0')}`,
  }
}

/** As typed or heard: "k7 204" and "K7204" are K7-204. */
export function tidyCode(typed: string): string {
  const bare = typed.toUpperCase().replace(/[^A-Z0-9]/g, '')
  return bare.length === 5 ? `${bare.slice(0, 2)}-${bare.slice(2)}` : bare
}
