import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import type { Transcript } from '../../rules/protocol/transcript.ts'
import { readTranscripts } from '../../server/replay/files.ts'
import { differences, whatHappened } from '../../server/replay/run.ts'
import { launch, newPage, type WatchedPage } from './browser.ts'
import { buildClient } from './built.ts'
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
  files = new StaticServer(await buildClient('local'), { '/page': PAGE, '/other': PAGE })
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

async function openPage(): Promise<WatchedPage> {
  const page = await newPage(browser)
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

/** Codes, ids and times are of each case; all the rest is compared. */
function bare(messages: readonly ServerMessage[]): string[] {
  return messages.map((m) =>
    JSON.stringify(m, (key, value) =>
      ['re', 'case', 'code', 'at', 'pass', 'who', 'photo'].includes(key) ? undefined : value,
    ).replace(/\b[A-Z]\d-\d{3}\b/g, 'CODE'),
  )
}
const bareText = (text: string) => text.replace(/\b[A-Z]\d-\d{3}\b/g, 'CODE').replace(/\d{1,2}:\d{2}/g, 'TIME')

describe('the conversations of the garage', () => {
  it('go the same way in the browser alone as on the server: every message, to the last bit, and all that is shown', async () => {
    const transcripts = readTranscripts().map((t) => {
      if (!('transcript' in t)) throw new Error(`${t.file} can't be read`)
      return t
    })
    expect(transcripts.length).toBeGreaterThanOrEqual(28)
    const page = await openPage()
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
        expect(bareText(y.shown.text), where).toBe(bareText(x.shown.text))
        // And it is what the transcript says, so that two equal silences would not pass.
        expect(differences(step.expect, whatHappened(y.replies)), where).toEqual([])
        const ask = x.replies.find((m) => m.type === 'ask')
        if (ask?.type === 'ask' && ask.ask && ask.ask.kind !== 'complaint') {
          asks++
          if (!x.replies.some((m) => m.type === 'finding' && m.finding))
            expect(x.shown.text, where).toContain(ask.ask.title.replace(/\s+/g, ' '))
        }
        if (x.replies.some((m) => m.type === 'finding' && m.finding)) findings++
        steps++
      }
    }
    expect(steps).toBe(transcripts.reduce((sum, t) => sum + t.transcript.steps.length, 0))
    expect(asks).toBeGreaterThan(steps / 4)
    expect(findings).toBeGreaterThan(transcripts.length)
    expect(page.failures).toEqual([])
    await page.context().close()
  }, 900_000)
})
