import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { states } from '../../client/dev/states.ts'
import { axeFinds } from './accessible.ts'
import { DESK, launch, newPage, PHONE } from './browser.ts'
import { eachState } from './each-state.ts'

let browser: Browser
let server: FakeServer
let url: string

beforeAll(async () => {
  server = new FakeServer(inject('built'))
  url = await server.start(0)
  browser = await launch()
})
afterAll(async () => {
  await browser?.close()
  await server?.stop()
})

describe('every state', () => {
  it.each([
    // Both languages in both themes, each on the screen that the other is not on.
    ['light', 'en', 'phone', PHONE],
    ['dark', 'en', 'desk', DESK],
    ['light', 'es', 'desk', DESK],
    ['dark', 'es', 'phone', PHONE],
  ] as const)(
    '%s, in %s, on a %s: axe finds nothing, nothing sticks out, what is pressed is large',
    async (theme, lang, _name, viewport) => {
      const page = await newPage(browser, { viewport, colorScheme: theme })
      const found: string[] = []
      for await (const state of eachState(page, `${url}/gallery?theme=${theme}&lang=${lang}`, states)) {
        for (const f of await axeFinds(page)) found.push(`${state.name}: ${f}`)
        const { wide, small, empty } = await page.evaluate(() => {
          const small: string[] = []
          let headings = 0
          const look = (root: ShadowRoot | Document) => {
            headings += root === document ? 0 : root.querySelectorAll('h2').length
            for (const e of root.querySelectorAll<HTMLElement>('*')) {
              if (e.shadowRoot) look(e.shadowRoot)
              if (!e.matches('button, select, summary, input:not([type=hidden]), textarea')) continue
              const { width, height } = (e.closest('label.field, .chips label') ?? e).getBoundingClientRect()
              if (width > 0 && (width < 43.5 || height < 43.5))
                small.push(`${e.outerHTML.slice(0, 60)} is ${width} x ${height}`)
            }
          }
          look(document)
          return { wide: document.documentElement.scrollWidth - innerWidth, small, empty: headings === 0 }
        })
        if (empty) found.push(`${state.name}: shows nothing`)
        if (wide > 0) found.push(`${state.name}: ${wide} px too wide`)
        for (const s of small) found.push(`${state.name}: ${s}`)
      }
      expect([...found, ...page.failures]).toEqual([])
      await page.context().close()
    },
    // Dozens of states, each looked at whole.
    300_000,
  )
})

it('at 400 % zoom (320 CSS px wide, 256 high) nothing is cut off or covered', async () => {
  // WCAG 2.2, 1.4.10 Reflow: 1280 x 1024 at 400 % is 320 x 256.
  const page = await newPage(browser, { viewport: { width: 320, height: 256 } })
  for await (const state of eachState(page, `${url}/gallery?lang=en`, states)) {
    expect(await page.evaluate(() => document.documentElement.scrollWidth), state.name).toBeLessThanOrEqual(320)
    const heading = page.locator('bench-lamp h2').first()
    await heading.scrollIntoViewIfNeeded()
    const seen = await heading.evaluate((h) => {
      const { left, top, width, height } = h.getBoundingClientRect()
      const deepest = (x: number, y: number) => {
        let e = document.elementFromPoint(x, y)
        while (e?.shadowRoot) e = e.shadowRoot.elementFromPoint(x, y) ?? null
        return e
      }
      return [0.1, 0.5].map((f) => deepest(left + width * f, Math.min(top + height / 2, innerHeight - 2)) === h)
    })
    expect(seen, state.name).toContain(true)
  }
  await page.context().close()
}, 300_000)

it('reads from right to left where the language does', async () => {
  const page = await newPage(browser, { viewport: PHONE })
  await page.goto(`${url}/gallery?state=counter-first&lang=ar`)
  const mark = await page.locator('bench-lamp .stub bl-mark').boundingBox()
  const about = await page.locator('bench-lamp .stub .about').boundingBox()
  expect(mark!.x).toBeGreaterThan(about!.x)
  await page.context().close()
})
