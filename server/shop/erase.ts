import type { Logger } from 'pino'
import type { ServerOutside } from '../outside.ts'
import type { Store } from '../store/store.ts'

const DAY_MS = 86_400_000
/** How often a running server looks for what has been kept long enough. */
export const RETENTION_EVERY_MS = 6 * 3_600_000

/** Erases words, names and phones of cases whose shop keeps them no longer. @returns how many cases */
export async function eraseOld(store: Store, now: string): Promise<number> {
  let erased = 0
  for (const shop of await store.shops()) {
    if (shop.retentionDays === undefined) continue
    const before = new Date(Date.parse(now) - shop.retentionDays * DAY_MS).toISOString()
    for (const id of await store.casesWithWords(shop.id, before)) {
      if (await store.eraseWords({ shop: shop.id, case: id }, { at: now, who: 'retention' })) erased++
    }
  }
  return erased
}

/** Looks now and then. @returns what ends it */
export function keepErasing(parts: { store: Store; outside: ServerOutside; log: Logger }): () => Promise<void> {
  let running: Promise<void> = Promise.resolve()
  const look = () => {
    running = eraseOld(parts.store, parts.outside.now())
      .then((cases) => {
        if (cases > 0) parts.log.info({ cases }, 'words kept long enough were erased')
      })
      .catch((error: unknown) => {
        parts.log.warn({ err: error instanceof Error ? error.name : typeof error }, 'old words could not be erased')
      })
  }
  look()
  const timer = setInterval(look, RETENTION_EVERY_MS)
  timer.unref()
  return async () => {
    clearInterval(timer)
    await running
  }
}

/** The cases in which a customer left this name and phone, or one of them, however it is written. */
export async function casesOf(
  store: Store,
  shop: string,
  who: { name?: string | undefined; phone?: string | undefined },
): Promise<string[]> {
  const digits = (text: string) => text.replace(/\D/g, '')
  const plain = (text: string) => text.normalize('NFKC').trim().toLowerCase().replace(/\s+/g, ' ')
  const found: string[] = []
  for (const id of await store.casesWithWords(shop)) {
    const record = await store.load({ shop, case: id })
    const left = (record?.events ?? []).flatMap((e) => (e.type === 'contact' ? [e] : []))
    const fits = left.some((e) => {
      const name = e.name === undefined ? undefined : record!.words[e.name]
      const phone = e.phone === undefined ? undefined : record!.words[e.phone]
      return (
        (who.name === undefined || (name !== undefined && plain(name) === plain(who.name))) &&
        (who.phone === undefined || (phone !== undefined && digits(phone) === digits(who.phone)))
      )
    })
    if (fits) found.push(id)
  }
  return found
}
