import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest'
import type { KeptCase } from '../../client/local/case-store.ts'
import type { View } from '../../client/state/view.ts'
import en from '../../client/texts/en.json' with { type: 'json' }
import es from '../../client/texts/es.json' with { type: 'json' }
import workEn from '../../client/texts/work/en.json' with { type: 'json' }
import workEs from '../../client/texts/work/es.json' with { type: 'json' }
import type { ServerMessage, StoredEvent } from '../../rules/protocol/index.ts'
import type { Transcript } from '../../rules/protocol/transcript.ts'
import { readTranscripts } from '../../server/replay/files.ts'
import { differences, whatHappened } from '../../server/replay/run.ts'
import { launch, newPage, PHONE, type WatchedPage } from './browser.ts'
import { act, type DrivenStep, HARNESS, make, remove } from './driven.ts'
import { RealServer } from './real-server.ts'
import { StaticServer } from './static-server.ts'

/**
 * The conversations of transcripts-demo/, played through the element in a real browser: over the socket against the real
 * server, then in local mode with that server killed. The page itself comes from a plain file server.
 */
const PAGE =
  '<!doctype html><html lang="en"><meta charset="utf-8"><title>A page</title><script type="module" src="/benchlamp.js"></script><body>'

let browser: Browser
let files: StaticServer
let server: RealServer

beforeAll(async () => {
  files = new StaticServer(inject('built'), { '/page': PAGE, '/other': PAGE })
  await files.start()
  server = new RealServer({ ORIGINS: files.url })
  await server.start()
  browser = await launch()
})
afterAll(async () => {
  await browser?.close()
  await server?.remove()
  await files?.stop()
})

async function openPage(before?: (page: WatchedPage) => Promise<void>): Promise<WatchedPage> {
  const page = await newPage(browser, { viewport: PHONE })
  await before?.(page)
  await page.addInitScript(HARNESS)
  await page.goto(`${files.url}/page`)
  await page.waitForFunction('customElements.get("bench-lamp") !== undefined')
  return page
}

interface Played {
  opened: ServerMessage[]
  steps: DrivenStep[]
}

/** One element for the customer and one for the technician, as at a counter and a bench. */
async function play(page: WatchedPage, transcript: Transcript, name: string, mode: string): Promise<Played> {
  const ids = { customer: `${name}-customer-${mode}`, technician: `${name}-technician-${mode}` }
  const made = new Set<string>()
  let code: string | undefined
  let opened: ServerMessage[] = []
  const steps: DrivenStep[] = []
  for (const { from, send } of transcript.steps) {
    const id = ids[from]
    if (!made.has(id)) {
      const first = code === undefined
      const result = await make(page, {
        id,
        layout: from === 'customer' ? 'compact' : 'full',
        mode,
        server: server.url,
        lang: transcript.language,
        ...(from === 'technician' && mode === 'server' && { pass: server.pass }),
        ...(first ? { facts: transcript.facts, tag: transcript.tag } : { code }),
      })
      made.add(id)
      code = result.code
      if (first) opened = result.replies
    }
    steps.push(await act(page, id, send))
  }
  await remove(page, [...made])
  return { opened, steps }
}

/** Codes, ids and times are of each case, the car's earlier visits are the shop's to know, and a database gives the parts of a message in an order of its own; all the rest is compared. */
function bare(messages: readonly ServerMessage[]): string[] {
  const left = new Set(['re', 'case', 'code', 'at', 'pass', 'who', 'photo', 'earlier'])
  const sorted = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(sorted)
    if (typeof value !== 'object' || value === null) return value
    const parts = Object.entries(value).filter(([key]) => !left.has(key))
    return Object.fromEntries(parts.sort(([x], [y]) => (x < y ? -1 : 1)).map(([key, inner]) => [key, sorted(inner)]))
  }
  return messages.map((m) => JSON.stringify(sorted(m)).replace(/\b[A-Z]\d-\d{3}\b/g, 'CODE'))
}
/** The one sentence that the customer reads beside the code while the shop does not know it. */
const LATER = [en, es].map((t) => ` ${t['code-later']}`)
/** And the one where a name and a phone were left. */
const KEPT = [en, es].map((t) => ` ${t['told-here']}`)
/** The link to the paper, which the server makes. */
const PAPER = [workEn, workEs].map((t) => ` ${t['work-order']}`)
const bareText = (text: string) =>
  text
    .replace(/\b[A-Z]\d-\d{3}\b/g, 'CODE')
    .replace(/\d{1,2}:\d{2}/g, 'TIME')
    .replace(LATER[0]!, '')
    .replace(LATER[1]!, '')
    .replace(KEPT[0]!, '')
    .replace(KEPT[1]!, '')
    .replace(PAPER[1]!, '')
    .replace(PAPER[0]!, '')

/** Where two texts part, some words of each; undefined where they are the same. */
function apart(here: string, there: string): { here: string; there: string } | undefined {
  if (here === there) return undefined
  let at = 0
  while (here[at] === there[at]) at++
  const around = (text: string) => text.slice(Math.max(0, at - 40), at + 120)
  return { here: around(here), there: around(there) }
}

describe('the conversations of the garage', () => {
  it('go the same way in the browser alone as on the server: every message, to the last bit, and all that is shown', async () => {
    // All of them take three minutes on two cores: `npm run test:local` plays all, every run of the tests a third.
    const wholly = process.env['WHOLLY'] === '1'
    const transcripts = readTranscripts()
      .map((t) => {
        if (!('transcript' in t)) throw new Error(`${t.file} can't be read`)
        return t
      })
      .filter((_, i, all) => wholly || i % 3 === (all.length - 1) % 3)
    expect(transcripts.length).toBeGreaterThanOrEqual(wholly ? 28 : 9)
    const page = await openPage()
    // What stands in the page is compared, not its pixels: to paint a thousand screens would take longer than all the rest.
    await page.addStyleTag({ content: 'body { visibility: hidden }' })
    const there: Played[] = []
    for (const { file, transcript } of transcripts) there.push(await play(page, transcript, file.slice(0, 2), 'server'))
    await server.kill()
    const here: Played[] = []
    for (const { file, transcript } of transcripts) here.push(await play(page, transcript, file.slice(0, 2), 'local'))

    let steps = 0
    let asks = 0
    let findings = 0
    for (const [n, { file, transcript }] of transcripts.entries()) {
      const [a, b] = [there[n]!, here[n]!]
      expect(bare(b.opened), `${file}, opened`).toEqual(bare(a.opened))
      for (const [i, step] of transcript.steps.entries()) {
        const where = `${file}, step ${i + 1}`
        const [x, y] = [a.steps[i]!, b.steps[i]!]
        expect(x.replies.length, where).toBeGreaterThan(0)
        expect(bare(y.replies), where).toEqual(bare(x.replies))
        expect(bareText(y.shown.heading), where).toBe(bareText(x.shown.heading))
        expect(y.shown.standing.map(bareText), where).toEqual(x.shown.standing.map(bareText))
        expect(apart(bareText(y.shown.text), bareText(x.shown.text)), where).toBeUndefined()
        // And it is what the transcript says, so that two equal silences would not pass.
        expect(differences(step.expect, whatHappened(y.replies)), where).toEqual([])
        const ask = x.replies.find((m) => m.type === 'ask')
        if (ask?.type === 'ask' && ask.ask && ask.ask.kind !== 'complaint') {
          asks++
          if (!x.replies.some((m) => m.type === 'finding' && m.finding))
            expect(x.shown.text, where).toContain(ask.ask.title.replace(/\s+/g, ' '))
        }
        for (const later of LATER) expect(x.shown.text, where).not.toContain(later)
        if (x.replies.some((m) => m.type === 'finding' && m.finding)) findings++
        steps++
      }
    }
    expect(steps).toBe(transcripts.reduce((sum, t) => sum + t.transcript.steps.length, 0))
    expect(asks).toBeGreaterThan(steps / 4)
    expect(findings).toBeGreaterThanOrEqual(transcripts.length)
    expect(page.failures).toEqual([])
    await page.context().close()
  }, 1_800_000)
})

/** What is kept in the page's browser of the cases that began there. */
const keptIn = (page: WatchedPage) =>
  page.evaluate(
    () =>
      new Promise<KeptCase[]>((done, failed) => {
        const opening = indexedDB.open('benchlamp')
        opening.onerror = () => failed(opening.error)
        opening.onsuccess = () => {
          const all = opening.result.transaction('cases').objectStore('cases').getAll()
          all.onsuccess = () => {
            opening.result.close()
            done(all.result)
          }
        }
      }),
  )

async function fromShop<T>(path: string): Promise<T> {
  const response = await fetch(`${server.url}${path}`, { headers: { authorization: `Bearer ${server.deskPass}` } })
  if (!response.ok) throw new Error(`${path}: ${response.status}`)
  return (await response.json()) as T
}
const casesOf = async (tag: string) =>
  (await fromShop<{ cases: { case: string; code: string }[] }>(`/api/shop/cases?tag=${encodeURIComponent(tag)}`)).cases
const eventsOf = async (id: string) =>
  (await fromShop<{ events: StoredEvent[] }>(`/api/shop/cases/${id}/export`)).events

/** Who said what and what came of it. Keys of free words are each one's own; so is the knowledge, should it be changed meanwhile. */
const told = (events: readonly StoredEvent[]) =>
  events.map((e) =>
    Object.fromEntries(Object.entries(e).filter(([k]) => !['at', 'who', 'words', 'knowledge'].includes(k))),
  )
const state = (page: WatchedPage, id: string) =>
  page.evaluate((i) => {
    const lamp = document.getElementById(i) as never as { here?: object; view: View; handedUp: string }
    return {
      here: lamp.here !== undefined,
      line: lamp.view.line,
      case: lamp.view.opened?.case,
      waiting: lamp.view.waiting.length,
      trail: lamp.view.noted?.trail.length,
      said: lamp.handedUp,
      ask: lamp.view.ask?.check,
    }
  }, id)

describe('a case that began without the server', () => {
  it('is handed up when it is back: all of it, once, at the times at which it was entered, though the server falls once more', async () => {
    const { transcript } = readTranscripts().flatMap((t) =>
      'transcript' in t && t.file.startsWith('01') ? [t] : [],
    )[0]!
    const steps = transcript.steps.slice(0, 12)
    expect(new Set(steps.map((s) => s.from)).size).toBe(2)
    await server.kill()
    // After some of it the line stands still, so that the server falls in the middle of it and not before or after.
    let taken = 0
    let still = true
    const page = await openPage((p) =>
      p.routeWebSocket('**/converse', (here) => {
        const there = here.connectToServer()
        here.onMessage((message) => {
          if (still && taken === 4) return
          taken++
          there.send(message)
        })
      }),
    )
    const common = { mode: 'local', server: server.url }
    const { code } = await make(page, {
      ...common,
      id: 'up-customer',
      layout: 'compact',
      facts: transcript.facts,
      tag: 'Car 91',
    })
    let second = false
    for (const { from, send } of steps) {
      if (from === 'technician' && !second) {
        second = true
        await make(page, { ...common, id: 'up-technician', layout: 'full', pass: server.pass, code })
      }
      await act(page, `up-${from}`, send)
    }
    await act(page, 'up-technician', { type: 'tell', text: 'It stands in bay two.' })
    const [kept] = await keptIn(page)
    expect(kept!.log.length).toBe(steps.length + 1)

    await server.start()
    // In the middle of it the power goes, and comes back.
    let sent = 0
    await expect
      .poll(async () => (sent = (await keptIn(page))[0]!.sent), { interval: 5, timeout: 200_000 })
      .toBeGreaterThan(0)
    await server.kill()
    still = false
    expect(sent).toBeLessThan(kept!.log.length)
    await server.start()
    for (const id of ['up-customer', 'up-technician'])
      await expect
        .poll(() => state(page, id), { timeout: 200_000 })
        .toMatchObject({ here: false, line: 'open', waiting: 0 })

    const found = await casesOf('Car 91')
    expect(found.map((c) => c.code)).toEqual([code])
    const events = await eventsOf(found[0]!.case)
    expect(told(events)).toEqual(told(kept!.events))
    const off = events.map((e, i) => Math.abs(Date.parse(e.at) - Date.parse(kept!.events[i]!.at)))
    // A busy server looks at its clock a little after the message has come; service.test.ts has the hours and minutes.
    expect(Math.max(...off)).toBeLessThan(20_000)
    expect([...events].map((e) => e.at)).toEqual(events.map((e) => e.at).sort())

    // The person saw it calmly, and goes on there.
    const technician = await state(page, 'up-technician')
    expect(technician.said).toBe(`Connected again. The shop has the job now, with the code ${code}.`)
    expect(technician.case).toBe(found[0]!.case)
    await act(page, 'up-technician', { type: 'tell', text: 'The shop reads this.' })
    expect((await eventsOf(found[0]!.case)).filter((e) => e.type === 'told')).toHaveLength(2)
    await page.reload()
    expect((await keptIn(page)).map((c) => [c.gone, c.log.length])).toEqual([[true, 0]])
    expect(page.failures).toEqual([])
    await page.context().close()
  }, 900_000)

  it('begins by itself where the server is not there, is there after a reload, and goes up in the end', async () => {
    await server.kill()
    const page = await openPage()
    const lamp = { id: 'auto', layout: 'compact', mode: 'auto', server: server.url, tag: 'Car 92' } as const
    const { code } = await make(page, lamp)
    await act(page, 'auto', { type: 'say', text: 'it jerks when I push the pedal' })
    const before = await state(page, 'auto')
    expect(before).toMatchObject({ here: true, line: 'open', trail: 1 })
    await page.reload()
    await page.evaluate((m) => {
      const again = document.createElement('bench-lamp')
      Object.assign(again, m)
      document.body.prepend(again)
    }, lamp)
    await expect.poll(() => state(page, 'auto'), { timeout: 200_000 }).toMatchObject({ ...before, waiting: 0 })
    await page.getByRole('button', { name: 'I’m not sure' }).click()
    await expect.poll(async () => (await state(page, 'auto')).trail, { timeout: 200_000 }).toBe(2)
    await server.start()
    await expect
      .poll(() => state(page, 'auto'), { timeout: 200_000 })
      .toMatchObject({ here: false, line: 'open', trail: 2 })
    expect((await casesOf('Car 92')).map((c) => c.code)).toEqual([code])
    expect(page.failures).toEqual([])
    await page.context().close()
  }, 900_000)

  it('keeps the customer’s pass where the line breaks between its opening and its first message', async () => {
    await server.kill()
    let broken = 0
    const page = await openPage((p) =>
      p.routeWebSocket('**/converse', (here) => {
        const there = here.connectToServer()
        there.onMessage((message) => {
          here.send(message)
          if (broken > 0 || JSON.parse(String(message)).type !== 'opened') return
          broken++
          void here.close()
          void there.close()
        })
      }),
    )
    const common = { mode: 'local', server: server.url }
    const { code } = await make(page, { ...common, id: 'cut-customer', layout: 'compact', tag: 'Car 94' })
    await act(page, 'cut-customer', { type: 'say', text: 'it jerks when I push the pedal' })
    await make(page, { ...common, id: 'cut-technician', layout: 'full', pass: server.pass, code })
    await act(page, 'cut-technician', { type: 'tell', text: 'It stands in bay two.' })
    // The customer once more: that takes the pass which came when the case was opened there.
    await act(page, 'cut-customer', { type: 'tell', text: 'It did so before lunch as well.' })
    await server.start()
    await expect
      .poll(() => state(page, 'cut-customer'), { timeout: 200_000 })
      .toMatchObject({ here: false, line: 'open', waiting: 0 })
    expect(broken).toBe(1)
    const found = await casesOf('Car 94')
    expect(found.map((c) => c.code)).toEqual([code])
    expect((await eventsOf(found[0]!.case)).filter((e) => e.type === 'told').map((e) => e.by)).toEqual([
      'technician',
      'customer',
    ])
    expect(page.failures).toEqual([])
    await page.context().close()
  }, 900_000)

  it('of somebody who is not signed in stays on the device, and goes up once they are', async () => {
    await server.kill()
    await server.start()
    const page = await openPage()
    await make(page, { id: 'out', layout: 'full', mode: 'local', server: server.url, tag: 'Car 93' })
    await act(page, 'out', { type: 'say', text: 'the charger does nothing when I plug it in' })
    await page.waitForTimeout(1500)
    expect(await state(page, 'out')).toMatchObject({ here: true })
    await page.getByText('Sign in to send it to the shop.').waitFor()
    await page.evaluate((pass) => {
      const lamp = document.getElementById('out') as never as { pass: string; open(): void }
      lamp.pass = pass
      lamp.open()
    }, server.pass)
    await expect.poll(() => state(page, 'out'), { timeout: 200_000 }).toMatchObject({ here: false, line: 'open' })
    expect(await casesOf('Car 93')).toHaveLength(1)
    await page.context().close()
  }, 900_000)
})

it('reasons on the page’s own thread where another origin embeds it, in Spanish too, and leaves no service worker there', async () => {
  const other = new StaticServer('/nowhere', {
    '/': PAGE.replace('/benchlamp.js', `${files.url}/benchlamp.js`),
  })
  await other.start()
  const page = await newPage(browser)
  await page.addInitScript(HARNESS)
  const begun: string[] = []
  page.on('request', (r) => begun.push(new URL(r.url()).pathname))
  await page.goto(other.url)
  await page.waitForFunction('customElements.get("bench-lamp") !== undefined')
  await make(page, { id: 'guest', layout: 'compact', mode: 'local', server: 'http://127.0.0.1:9' })
  const { shown } = await act(page, 'guest', { type: 'say', text: 'it jerks when I push the pedal' })
  expect(shown.heading).not.toBe('')
  expect(begun.filter((path) => /\/assets\/texts-.*\.bin$/.test(path))).toEqual([])
  await make(page, { id: 'invitado', layout: 'compact', mode: 'local', server: 'http://127.0.0.1:9', lang: 'es' })
  const spanish = await act(page, 'invitado', { type: 'say', complaints: ['jerks-on-acceleration'] })
  expect(spanish.shown.heading).toMatch(/^¿.*\?$/)
  expect(spanish.shown.heading).not.toBe(shown.heading)
  expect(begun.filter((path) => /\/assets\/texts-es-.*\.bin$/.test(path))).toHaveLength(1)
  expect(page.workers()).toEqual([])
  expect(begun.filter((path) => path.includes('/assets/shop-'))).toHaveLength(1)
  expect(await page.evaluate(async () => (await navigator.serviceWorker.getRegistrations()).length)).toBe(0)
  expect(page.failures).toEqual([])
  await page.context().close()
  await other.stop()
}, 900_000)
