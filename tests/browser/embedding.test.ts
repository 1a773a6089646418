import { createServer, type Server } from 'node:http'
import type { Browser } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { DESK, drawn, launch, newPage, PHONE } from './browser.ts'

let browser: Browser
let lamp: FakeServer
let url: string
let dealer: Server
let dealerUrl: string
/** what the dealer's site answers, by path */
const pages: Record<string, { html: string; csp?: string }> = {}

beforeAll(async () => {
  lamp = new FakeServer(inject('built'))
  url = await lamp.start(0)
  dealer = createServer((request, response) => {
    const page = pages[(request.url ?? '/').split('?')[0]!]
    response.writeHead(page ? 200 : 404, {
      'content-type': 'text/html; charset=utf-8',
      ...(page?.csp && { 'content-security-policy': page.csp }),
    })
    response.end(page?.html)
  })
  await new Promise<void>((done) => dealer.listen(0, '127.0.0.1', done))
  dealerUrl = `http://127.0.0.1:${(dealer.address() as { port: number }).port}`
  browser = await launch()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
})
afterAll(async () => {
  await browser?.close()
  await lamp?.stop()
  await new Promise((done) => dealer?.close(done))
})

const html = (head: string, body: string) =>
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>A dealer's page</title>${head}<body>${body}`
const script = () => `<script type="module" src="${url}/benchlamp.js"></script>`

describe('on somebody else’s page', () => {
  it('looks the same under hostile CSS', async () => {
    pages['/plain'] = { html: html(script(), '<bench-lamp></bench-lamp>') }
    pages['/hostile'] = {
      html: html(
        `<style>
          html { font-size: 5px }
          * { all: unset !important; color: red !important; font: 900 italic 40px cursive !important; letter-spacing: 9px !important; text-transform: uppercase !important; line-height: 4 !important; text-align: right !important; visibility: visible; cursor: wait !important; word-spacing: 2em !important; direction: ltr }
          style, script, title, meta, head { display: none !important }
          html, body { display: block !important }
          button, input, textarea, h2, section { background: lime !important; transform: rotate(9deg) !important; float: right !important }
          ::placeholder { color: lime !important }
        </style>${script()}`,
        '<bench-lamp style="display: flex !important; width: 400px !important"></bench-lamp>',
      ),
    }
    const measured = []
    for (const path of ['/plain', '/hostile']) {
      const page = await newPage(browser, { viewport: DESK })
      await page.goto(dealerUrl + path)
      await drawn(page)
      measured.push(
        await page.locator('bench-lamp h2').evaluate((h) => {
          const button = (h.getRootNode() as ShadowRoot).querySelector('button')!
          const of = (e: Element) => {
            const s = getComputedStyle(e)
            return [
              s.color,
              s.fontFamily,
              s.fontSize,
              s.fontWeight,
              s.fontStyle,
              s.letterSpacing,
              s.textTransform,
              s.lineHeight,
              s.textAlign,
              s.wordSpacing,
              s.backgroundColor,
              s.transform,
              s.float,
            ]
          }
          return { heading: of(h), button: of(button), cursor: getComputedStyle(button).cursor }
        }),
      )
    }
    expect(measured[1]).toEqual(measured[0])
  })

  it('works under a strict content security policy, from another origin, and takes the page’s colours', async () => {
    pages['/strict'] = {
      html: html(script(), '<bench-lamp></bench-lamp>'),
      csp: `default-src 'none'; script-src ${url}; connect-src ${url.replace('http', 'ws')}`,
    }
    const page = await newPage(browser, { viewport: PHONE })
    await page.goto(`${dealerUrl}/strict`)
    await drawn(page)
    await page.getByRole('textbox').fill('it jerks when I push the pedal')
    await page.getByRole('button', { name: 'Go on' }).click()
    await page.getByRole('button', { name: 'Yes' }).click()
    await page.getByRole('button', { name: 'Near the floor' }).click()
    await page.locator('bl-hand-over .code').waitFor()
    await drawn(page)
    await page.locator('bl-qr svg').waitFor()
    expect(page.failures).toEqual([])
    await page.locator('bench-lamp').evaluate((e: HTMLElement) => e.style.setProperty('--bl-act', 'rgb(120, 0, 120)'))
    expect(await page.locator('bl-hand-over button.main').evaluate((b) => getComputedStyle(b).backgroundColor)).toBe(
      'rgb(120, 0, 120)',
    )
  })

  it('holds two conversations on one page apart, after a reload too', async () => {
    pages['/two'] = {
      html: html(script(), '<bench-lamp id="one"></bench-lamp><bench-lamp></bench-lamp><bench-lamp></bench-lamp>'),
    }
    const page = await newPage(browser)
    await page.goto(`${dealerUrl}/two`)
    await drawn(page)
    const nth = (n: number) => page.locator('bench-lamp').nth(n)
    for (const n of [0, 2]) {
      await nth(n).getByRole('textbox').fill('it jerks')
      await nth(n).getByRole('button', { name: 'Go on' }).click()
      await nth(n).getByRole('button', { name: 'Yes' }).waitFor()
    }
    await nth(0).getByRole('button', { name: 'Yes' }).click()
    await nth(0).getByRole('button', { name: 'Near the floor' }).waitFor()
    await page.reload()
    await nth(0).getByRole('button', { name: 'Near the floor' }).waitFor()
    // What is below the screen is fetched when it is seen.
    await nth(2).scrollIntoViewIfNeeded()
    await nth(2).getByRole('button', { name: 'Yes' }).waitFor()
    await nth(1).getByRole('textbox', { name: 'For example' }).waitFor()
  })

  it('works in a sandboxed frame that may store nothing', async () => {
    pages['/frame'] = {
      html: html(
        '',
        `<iframe sandbox="allow-scripts allow-forms" src="/inner" width="380" height="700" title="Help"></iframe>`,
      ),
    }
    pages['/inner'] = { html: html(script(), '<bench-lamp></bench-lamp>') }
    const page = await newPage(browser)
    await page.goto(`${dealerUrl}/frame`)
    const frame = page.frameLocator('iframe')
    await frame.getByRole('textbox').fill('it jerks')
    await frame.getByRole('button', { name: 'Go on' }).click()
    await frame.getByRole('button', { name: 'Yes' }).waitFor()
  })

  it('says what happens in events, and asks the server for nothing until it is used', async () => {
    pages['/events'] = { html: html(script(), '<bench-lamp></bench-lamp>') }
    const page = await newPage(browser)
    const sockets: string[] = []
    page.on('websocket', (s) => sockets.push(s.url()))
    await page.goto(`${dealerUrl}/events`)
    await drawn(page)
    await page.evaluate(() => {
      const heard: unknown[] = []
      Object.assign(globalThis, { heard })
      for (const name of ['bl-opened', 'bl-turn', 'bl-finding', 'bl-handed-over', 'bl-act', 'bl-wish']) {
        document.addEventListener(name, (e) => heard.push([name, (e as CustomEvent).detail]))
      }
    })
    await page.waitForTimeout(300)
    expect(sockets).toEqual([])
    await page.getByRole('textbox').fill('it jerks')
    await page.getByRole('button', { name: 'Go on' }).click()
    await page.getByRole('button', { name: 'Yes' }).click()
    await page.getByRole('button', { name: 'Near the floor' }).click()
    await page.locator('bl-hand-over .code').waitFor()
    const heard = (await page.evaluate('heard')) as [string, Record<string, unknown>][]
    expect(heard.map(([name]) => name)).toEqual([
      'bl-opened',
      'bl-turn',
      'bl-turn',
      'bl-turn',
      'bl-finding',
      'bl-handed-over',
      'bl-turn',
    ])
    expect(heard.find(([name]) => name === 'bl-handed-over')![1]).toEqual({
      code: await page.locator('bl-hand-over .code').textContent(),
    })
  })
})

describe('what was typed', () => {
  it('stays when it is refused, with what to do beside it', async () => {
    const page = await newPage(browser)
    await page.goto(`${url}/bench#pass=technician`)
    await page.getByLabel('Car', { exact: true }).fill('Car 17')
    await page.getByRole('button', { name: 'Begin' }).click()
    await page.getByRole('button', { name: 'Skip' }).click()
    await page.getByRole('textbox', { name: 'For example' }).fill('it jerks')
    await page.getByRole('button', { name: 'Go on' }).click()
    await page.getByRole('button', { name: 'Understood, this is done' }).click()
    await page.getByRole('button', { name: 'Five' }).click()
    await page.getByRole('button', { name: 'Lit', exact: true }).click()
    const field = page.getByLabel('Reading in V')
    await field.fill('317')
    await page.keyboard.press('Enter')
    await page.getByRole('alert').getByText('Enter 0 to 60 V.').waitFor()
    expect(await field.inputValue()).toBe('317')
    await field.fill('31,7')
    await page.getByText(/31\.7\sV would mean: contactor 4 does not carry/).waitFor()
    await page.keyboard.press('Enter')
    await page.locator('bl-finding h2').waitFor()
    expect(lamp.taken.at(-1)).toMatchObject({
      answers: [{ reading: { value: 31.7, unit: 'V', instrument: 'voltmeter' } }],
    })

    // A bridge is reminded of until it is out, and the card does not close before.
    await page.getByLabel(/Bridge put in/).selectOption({ index: 1 })
    await page.getByRole('note').waitFor()
    await page.getByRole('button', { name: /^Close the card/ }).click()
    const close = page.getByRole('button', { name: 'Close without a signature' })
    await close.click()
    await page.getByRole('alert').getByText('A part is still bridged.').waitFor()
    await page.getByRole('button', { name: 'It is out' }).click()
    await page.getByRole('note').waitFor({ state: 'detached' })
    await close.click()
    await page.getByText('This job card is closed').first().waitFor()
    expect(page.failures).toEqual([])
  })
})

describe('after each turn', () => {
  it('the focus is at the next act, and one polite announcement says what is new', async () => {
    const page = await newPage(browser, { viewport: PHONE, hasTouch: true })
    await page.goto(url)
    await drawn(page)
    await page.evaluate(() => {
      const log = document.querySelector('bench-lamp')!.shadowRoot!.querySelector('[role=log]')!
      const said: string[] = []
      Object.assign(globalThis, { said })
      new MutationObserver(() => said.push(log.textContent!)).observe(log, {
        childList: true,
        characterData: true,
        subtree: true,
      })
    })
    const focused = () =>
      page.evaluate(() => {
        let e: Element | null = document.activeElement
        while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement
        return e?.textContent?.trim()
      })
    await page.getByRole('textbox').fill('it jerks')
    await page.getByRole('button', { name: 'Go on' }).click()
    await expect.poll(focused).toBe('Does it do the same going backwards?')
    await page.getByRole('button', { name: 'Yes' }).click()
    await expect.poll(focused).toBe('Where in the pedal’s travel did it jerk?')
    await page.waitForTimeout(300)
    expect(await page.evaluate('said')).toEqual([
      'Understood: it jerks as it speeds up. Does it do the same going backwards?',
      'Where in the pedal’s travel did it jerk?',
    ])
    // Under the thumb: the answers are in the lower half, whole.
    const last = await page.getByRole('button', { name: 'I’m not sure' }).boundingBox()
    expect(last!.y).toBeGreaterThan(PHONE.height / 2)
    expect(last!.y + last!.height).toBeLessThanOrEqual(PHONE.height)
  })
})
