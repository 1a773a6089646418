/**
 * Keeps the counter and the bench page usable without a connection. Only on the server's own origin: a page of somebody else's
 * that embeds the element gets none of this.
 *
 * What is fresh wins: pages and the scripts that keep their names come from the server wherever it answers in time, so that
 * nobody is held on an old version; only without it from what was kept. Whatever carries a hash in its name never changes and
 * comes from what was kept. Each build keeps its own; the one before stays for tabs that still run it.
 */
interface Kept {
  version: string
  /** names below the worker's own folder */
  files: string[]
  /** of another language, kept from when somebody first reads it */
  languages: Record<string, string[]>
}
/** Written in when the client is built, see build/offline.ts. */
declare const __KEPT__: Kept
const KEPT = __KEPT__

interface Waiting extends Event {
  waitUntil(done: Promise<unknown>): void
}
interface Fetching extends Waiting {
  request: Request
  clientId: string
  resultingClientId: string
  respondWith(response: Promise<Response>): void
}
const worker = globalThis as unknown as {
  registration: { scope: string }
  skipWaiting(): Promise<void>
  clients: { claim(): Promise<void> }
  addEventListener(type: 'install' | 'activate', act: (event: Waiting) => void): void
  addEventListener(type: 'fetch', act: (event: Fetching) => void): void
}

const PREFIX = 'benchlamp '
const NAME = PREFIX + KEPT.version
/** A server that has not begun to answer by then counts as away, milliseconds. */
const IN_TIME = 3_000
const PAGES: Record<string, string> = {
  '': 'index.html',
  'index.html': 'index.html',
  bench: 'bench.html',
  'bench.html': 'bench.html',
}

const addressOf = (name: string) => new URL(name, worker.registration.scope).href
const hashed = (name: string) => name.startsWith('assets/')
/** Stands for a language that somebody reads here. */
const markOf = (language: string) => addressOf(`assets/.language-${language}`)

async function keep(names: readonly string[]): Promise<void> {
  const cache = await caches.open(NAME)
  await Promise.all(
    names.map(async (name) => {
      const address = addressOf(name)
      const known = hashed(name) ? await caches.match(address) : undefined
      const response = known ?? (await fetch(address, { cache: hashed(name) ? 'default' : 'reload' }))
      if (!response.ok) throw new Error(`${name}: ${response.status}`)
      await cache.put(address, response)
    }),
  )
}

async function keepLanguage(language: string): Promise<void> {
  await keep(KEPT.languages[language]!)
  await (await caches.open(NAME)).put(markOf(language), new Response())
}

worker.addEventListener('install', (event) => {
  event.waitUntil(
    (async () => {
      await keep(KEPT.files)
      for (const language of Object.keys(KEPT.languages)) {
        if (await caches.match(markOf(language))) await keepLanguage(language)
      }
      // A tablet at a bench is never closed: to wait for that would be to wait for ever.
      await worker.skipWaiting()
    })(),
  )
})

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== NAME)
      for (const name of others.slice(0, -1)) await caches.delete(name)
      await worker.clients.claim()
    })(),
  )
})

/** Pages that were shown from what was kept: their scripts have to be of the same build. */
const shownFromKept = new Set<string>()

async function kept(name: string): Promise<Response | undefined> {
  return (await caches.open(NAME)).match(addressOf(name))
}

async function freshOrKept(event: Fetching, name: string): Promise<Response> {
  const page = event.request.mode === 'navigate'
  const stands = await kept(name)
  if (stands && !page && shownFromKept.has(event.clientId)) return stands
  const fresh = fetch(event.request).then((response) => {
    if (response.status >= 500) throw new Error(String(response.status))
    return response
  })
  if (!stands) return fresh
  const late = new Promise<Response>((done) => setTimeout(() => done(stands), IN_TIME))
  const response = await Promise.race([fresh, late]).catch(() => stands)
  if (page && response === stands) shownFromKept.add(event.resultingClientId)
  return response
}

async function keptOrFetched(event: Fetching, name: string): Promise<Response> {
  const found = await caches.match(addressOf(name))
  if (found) return found
  const response = await fetch(event.request)
  const language = Object.keys(KEPT.languages).find((l) => KEPT.languages[l]!.includes(name))
  if (response.ok && language) event.waitUntil(keepLanguage(language).catch(() => undefined))
  return response
}

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const { scope } = worker.registration
  const address = new URL(request.url)
  address.search = ''
  address.hash = ''
  if (request.method !== 'GET' || !address.href.startsWith(scope)) return
  const name = address.href.slice(scope.length)
  const page = PAGES[name]
  if (request.mode === 'navigate') {
    if (page) event.respondWith(freshOrKept(event, page))
  } else if (hashed(name)) event.respondWith(keptOrFetched(event, name))
  else if (KEPT.files.includes(name)) event.respondWith(freshOrKept(event, name))
})
