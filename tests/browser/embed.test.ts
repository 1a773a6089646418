import { createServer, type Server } from 'node:http'
import type { Browser } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, inject, it } from 'vitest'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { type Harness, removeFolders, startHarness } from '../server/harness.ts'
import { axeFinds } from './accessible.ts'
import { DESK, drawn, launch, newPage, PHONE } from './browser.ts'

/** The real server, and a dealer's site on another origin that embeds it. */
let browser: Browser
let server: Harness
let dealer: Server
let dealerUrl: string
/** what the dealer's site answers, by path */
const pages: Record<string, string> = {}

beforeAll(async () => {
  server = await startHarness({ load: (own) => loadConversation(undefined, own), pages: inject('built') })
  dealer = createServer((request, response) => {
    const html = pages[request.url ?? '/']
    response.writeHead(html ? 200 : 404, { 'content-type': 'text/html; charset=utf-8' })
    response.end(html && `<!doctype html><html lang="en"><meta charset="utf-8"><title>Our service</title>${html}`)
  })
  await new Promise<void>((done) => dealer.listen(0, '127.0.0.1', done))
  dealerUrl = `http://127.0.0.1:${(dealer.address() as { port: number }).port}`
  browser = await launch()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
  await allow([])
})
afterAll(async () => {
  await browser?.close()
  await server?.stop()
  await new Promise((done) => dealer?.close(done))
  removeFolders()
})

async function allow(origins: string[]) {
  const response = await fetch(`${server.base}/api/shop/settings`, {
    method: 'PATCH',
    headers: { authorization: `Bearer ${server.dealerPass}`, 'content-type': 'application/json' },
    body: JSON.stringify({ origins }),
  })
  expect(response.ok, await response.clone().text()).toBe(true)
}

describe("the dealer's page", () => {
  it.each([
    ['en', 'light', DESK],
    ['es', 'dark', PHONE],
  ] as const)('in %s, %s: nothing for axe to find, nothing sticks out', async (lang, theme, viewport) => {
    const page = await newPage(browser, { viewport, colorScheme: theme })
    await page.goto(`${server.base}/embed?lang=${lang}`)
    await drawn(page)
    await page.getByText('Larch Lake holiday park garage').waitFor()
    await page.locator('summary', { hasText: lang === 'en' ? 'All that can be set' : 'Todo lo que' }).click()
    await page.getByText('bl-handed-over').first().waitFor()
    expect(await axeFinds(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
    expect(page.failures).toEqual([])
  })

  it('shows what is chosen at once, in the element and in the lines to copy', async () => {
    const page = await newPage(browser)
    await page.goto(`${server.base}/embed?lang=en`)
    await drawn(page)
    const script = page.getByRole('textbox', { name: 'With a script' })
    const frame = page.getByRole('textbox', { name: 'In a frame' })
    await page.getByLabel('Name on the card').fill('The boathouse')
    await page.getByLabel('Colour', { exact: true }).fill('#7a1f6b')
    await page.getByRole('radio', { name: 'dark' }).check()
    await page.getByRole('radio', { name: 'square' }).check()
    await page.getByRole('combobox', { name: 'Language' }).selectOption('es')
    const lamp = page.locator('bench-lamp')
    await lamp.getByText('The boathouse').waitFor()
    await lamp.getByRole('button', { name: 'Seguir' }).waitFor()
    expect(await lamp.getAttribute('theme')).toBe('dark')
    const said = await script.inputValue()
    expect(said).toContain('name="The boathouse" theme="dark" lang="es"')
    const dark = /--bl-act: light-dark\(#\w{6}, (#\w{6})\)/.exec(said)![1]!
    const rgb = `rgb(${[1, 3, 5].map((i) => Number.parseInt(dark.slice(i, i + 2), 16)).join(', ')})`
    expect(
      await lamp.getByRole('button', { name: 'Seguir' }).evaluate((b) => getComputedStyle(b).backgroundColor),
    ).toBe(rgb)
    expect(await frame.inputValue()).toContain('theme=dark&amp;lang=es&amp;colour=7a1f6b&amp;corners=0px')
    await page.getByLabel('Colour', { exact: true }).fill('plum')
    await page.getByText('Write a colour as # and six digits').waitFor()
    expect(await script.inputValue()).not.toContain('--bl-act')
    await page.getByLabel('Shop', { exact: true }).fill('nowhere')
    await page.keyboard.press('Tab')
    await page.getByText('There is no shop with this id').waitFor()
  })

  it('copies by keyboard, and marks the text where the browser lets it not', async () => {
    const page = await newPage(browser, { permissions: ['clipboard-read', 'clipboard-write'] })
    await page.goto(`${server.base}/embed?lang=en`)
    await drawn(page)
    const copy = page.getByRole('button', { name: 'Copy' }).first()
    await copy.focus()
    await page.keyboard.press('Enter')
    await page.getByText('Copied.').waitFor()
    const copied = await page.evaluate(() => navigator.clipboard.readText())
    expect(copied).toContain(`<script type="module" src="${server.base}/benchlamp.js"></script>`)

    await page.evaluate(() => Object.defineProperty(navigator, 'clipboard', { value: undefined }))
    await copy.focus()
    await page.keyboard.press('Enter')
    await page.getByText('press Ctrl and C').waitFor()
    const marked = await page.evaluate(() => {
      const field = document.querySelector('bl-embed')!.shadowRoot!.activeElement as HTMLTextAreaElement
      return field.value.slice(field.selectionStart, field.selectionEnd)
    })
    expect(marked).toBe(copied.trimEnd())
  })

  it('the lines it gives work as they are, once a dealer has allowed the page with one press', async () => {
    const desk = await newPage(browser)
    await desk.goto(`${server.base}/desk#pass=${server.dealerPass}`)
    await desk.getByRole('link', { name: 'Settings' }).waitFor()
    await desk.goto(`${server.base}/embed?lang=en`)
    await desk.getByLabel('Address of your page').fill(`${dealerUrl}/prices`)
    await desk.getByText(`${dealerUrl} is not among the pages`).waitFor()
    pages['/script'] = await desk.getByRole('textbox', { name: 'With a script' }).inputValue()
    pages['/frame'] = await desk.getByRole('textbox', { name: 'In a frame' }).inputValue()

    // Before: told in words, with the address to allow, and nothing typed is lost.
    const page = await newPage(browser)
    await page.goto(`${dealerUrl}/script`)
    await drawn(page)
    await page.getByRole('textbox').fill('it jerks when I push the pedal')
    await page.getByRole('button', { name: 'Go on' }).click()
    await page.getByRole('alert').getByText(`Pages of ${dealerUrl} may not talk to the shop`).waitFor()
    await page.goto(`${dealerUrl}/frame`)
    await page.frameLocator('iframe').getByText(`add ${dealerUrl} at the desk`).waitFor()

    await desk.getByRole('button', { name: 'Allow it' }).click()
    await desk.getByText(`Pages of ${dealerUrl} may hold`).waitFor()

    // After: what was typed goes out by itself when the page is loaded again.
    await page.goto(`${dealerUrl}/script`)
    await page.locator('bl-check h2').waitFor()
    await page.goto(`${dealerUrl}/frame`)
    const inside = page.frameLocator('iframe')
    await inside.getByText('Larch Lake holiday park garage').waitFor()
    await inside.getByRole('textbox').fill('the charger hums but does not charge')
    await inside.getByRole('button', { name: 'Go on' }).click()
    await inside.locator('bl-check h2').waitFor()
    expect(desk.failures).toEqual([])
  })
})

describe('in a frame', () => {
  it('on a page of the same origin', async () => {
    const page = await newPage(browser)
    await page.goto(`${server.base}/embed`)
    await page.evaluate(() => {
      const frame = document.createElement('iframe')
      frame.src = '/frame?name=Boathouse&theme=dark&lang=es&colour=7a1f6b'
      document.body.replaceChildren(frame)
    })
    const inside = page.frameLocator('iframe')
    await inside.getByText('Boathouse').waitFor()
    await inside.getByRole('button', { name: 'Seguir' }).waitFor()
    expect(page.failures).toEqual([])
  })

  it('that hides its address it says what to change', async () => {
    await allow([dealerUrl])
    pages['/hidden'] =
      `<iframe sandbox="allow-scripts allow-forms" src="${server.base}/frame" title="Help" height="700"></iframe>`
    const page = await newPage(browser)
    await page.goto(`${dealerUrl}/hidden`)
    const inside = page.frameLocator('iframe')
    await inside.getByRole('textbox').fill('it jerks when I push the pedal')
    await inside.getByRole('button', { name: 'Go on' }).click()
    await inside.getByRole('alert').getByText('allow-same-origin').waitFor()
  })
})
