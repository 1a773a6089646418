import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { DESK, drawn, launch, newPage, PHONE, type WatchedPage } from './browser.ts'

/** The pages of the server's own origin with the server gone. It speaks from a script; what reasons here is the browser. */
const PATIENT = { timeout: 100_000 }

let browser: Browser
let folder: string
let server: FakeServer
let url: string

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'benchlamp-served-'))
  browser = await launch()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
  await server?.stop().catch(() => undefined)
  await rm(folder, { recursive: true, force: true })
})
afterAll(async () => {
  await browser?.close()
})

async function serve(): Promise<void> {
  await cp(inject('built'), folder, { recursive: true })
  server = new FakeServer(folder)
  url = await server.start(0)
}

/** Everything of this build is kept, and the page is the service worker's. */
async function kept(page: WatchedPage): Promise<void> {
  const settled = () =>
    page.evaluate(async () => {
      const registration = await navigator.serviceWorker.getRegistration()
      return registration?.active?.state === 'activated' && !registration.installing && !registration.waiting
    })
  await expect.poll(settled, PATIENT).toBe(true)
}
const versions = (page: WatchedPage) => page.evaluate(() => caches.keys())

it('the counter goes on: the page, the questions, the hand-over, and the shop hears of it later', async () => {
  await serve()
  const page = await newPage(browser, { viewport: PHONE })
  await page.goto(url)
  await kept(page)
  await server.stop()
  await page.reload()
  await drawn(page)
  await page.getByRole('textbox').fill('it jerks when I push the pedal')
  await page.getByRole('button', { name: 'Go on' }).click()
  await page.locator('bl-check h2').waitFor()
  await page.getByText('this device goes on by itself').waitFor()
  for (let n = 0; n < 8 && (await page.locator('bl-hand-over').count()) === 0; n++) {
    const before = await page.locator('bench-lamp h2').first().textContent()
    await page.getByRole('button', { name: /^(I’m not sure|Don’t know)$/ }).click()
    await expect.poll(() => page.locator('bench-lamp h2').first().textContent(), PATIENT).not.toBe(before)
  }
  await page.locator('bl-hand-over .code').waitFor()
  await page.getByText('The shop can open it once this device is online again.').waitFor()
  const answered = await page.evaluate(
    () =>
      (document.querySelector('bench-lamp') as never as { view: { noted: { trail: unknown[] } } }).view.noted.trail
        .length,
  )
  await server.start()
  await page
    .getByText(/Connected again\. The shop has the job now/)
    .first()
    .waitFor({ timeout: 100_000 })
  const taken = server.taken.map((m) => m.type)
  expect(taken.filter((t) => t === 'say')).toHaveLength(1)
  expect(taken.filter((t) => t === 'answer')).toHaveLength(answered - 1)
  const ago = server.taken.flatMap((m) => (m.type === 'say' ? [m.ago ?? 0] : []))[0]!
  expect(ago).toBeGreaterThan(0)
  expect(page.failures).toEqual([])
}, 400_000)

it('the bench goes on with the job that is open: it is shown as it stood, what is entered is kept and sent once', async () => {
  await serve()
  const page = await newPage(browser, { viewport: DESK })
  await page.goto(`${url}/bench#pass=technician`)
  await page.getByLabel('Car', { exact: true }).fill('Car 17')
  await page.getByRole('button', { name: 'Begin' }).click()
  await page.getByRole('button', { name: 'Skip' }).click()
  await page.getByRole('textbox', { name: 'For example' }).fill('it jerks')
  await page.getByRole('button', { name: 'Go on' }).click()
  await page.getByRole('button', { name: 'Understood, this is done' }).click()
  await page.getByRole('button', { name: 'Five' }).waitFor()
  await kept(page)
  await server.stop()
  await page.reload()
  await page.getByRole('button', { name: 'Five' }).click()
  await page.getByText('What you entered is kept and sent when it is back.').waitFor()
  await page.reload()
  await page.getByText('What you entered is kept and sent when it is back.').waitFor()
  await server.start()
  await page.getByRole('button', { name: 'Lit', exact: true }).waitFor({ timeout: 100_000 })
  expect(server.cases.size).toBe(1)
  expect(server.taken.filter((m) => m.type === 'answer')).toHaveLength(1)
  expect(page.failures).toEqual([])
}, 400_000)

it('a newer build is shown at once, and is what is kept from then on; the one before stays for tabs that run it', async () => {
  await serve()
  const page = await newPage(browser)
  await page.goto(url)
  await kept(page)
  const [first] = await versions(page)
  const renew = async (n: number) => {
    const html = await readFile(join(inject('built'), 'index.html'), 'utf8')
    await writeFile(join(folder, 'index.html'), html.replace(/<title>.*<\/title>/, `<title>Build ${n}</title>`))
    const worker = await readFile(join(inject('built'), 'sw.js'), 'utf8')
    await writeFile(join(folder, 'sw.js'), worker.replace(/("version":")\w+/, `$1build${n}`))
  }
  await renew(2)
  await page.reload()
  // From the server, though the old one is still what is kept.
  expect(await page.title()).toBe('Build 2')
  await expect.poll(() => versions(page), PATIENT).toEqual([first, 'benchlamp build2'])
  await kept(page)
  await server.stop()
  await page.reload()
  expect(await page.title()).toBe('Build 2')
  await drawn(page)
  await server.start()
  await renew(3)
  await page.reload()
  await expect.poll(() => versions(page), PATIENT).toEqual(['benchlamp build2', 'benchlamp build3'])
  expect(page.failures).toEqual([])
}, 400_000)

it('nothing but the pages and their parts is kept: no API, no conversation, no language that nobody reads', async () => {
  await serve()
  const page = await newPage(browser)
  await page.goto(url)
  await kept(page)
  const names = () =>
    page.evaluate(async () => {
      const cache = await caches.open((await caches.keys())[0]!)
      return (await cache.keys()).map((r) => new URL(r.url).pathname)
    })
  const before = await names()
  expect(before).toContain('/index.html')
  expect(before).toContain('/bench.html')
  expect(before.filter((n) => /texts-|gallery|desk\.html|\/api\/|converse/.test(n))).toEqual([])
  // Spanish is kept once somebody reads it.
  await page.evaluate(() => {
    const lamp = document.createElement('bench-lamp')
    lamp.lang = 'es'
    document.body.append(lamp)
  })
  await expect.poll(names, PATIENT).toEqual(expect.arrayContaining([expect.stringMatching(/texts-es-/)]))
}, 400_000)
