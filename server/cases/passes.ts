import { createHash, createHmac } from 'node:crypto'

/**
 * What is kept of a pass. A plain hash is enough: a pass is random and long, so there is nothing to guess from it, and
 * looking it up must be quick.
 */
export function passId(pass: string): string {
  return createHash('sha256').update(pass).digest('base64url')
}

/**
 * A message id at least this long is taken as the client's own random text. Then the same "open" sent twice, because the
 * answer was lost on the way, comes back to the same case with the same pass; with a short one ("1"), which two clients
 * may both choose, it never does.
 */
export const UNGUESSABLE = 21

/** The pass for a case that an "open" with an unguessable id makes; the same for the same id. */
export function passFor(secret: string, shop: string, messageId: string): string {
  return createHmac('sha256', secret)
    .update(JSON.stringify([shop, messageId]))
    .digest('base64url')
}
