import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, it } from 'vitest'
import { deskStates } from '../../client/dev/desk-states.ts'
import { FakeServer } from '../../client/dev/fake-server.ts'
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

it.each([
  ['light', 'en', 'phone', PHONE],
  ['dark', 'es', 'phone', PHONE],
  ['dark', 'en', 'desk', DESK],
  ['light', 'es', 'desk', DESK],
  // 1280 at 400 %, WCAG 2.2, 1.4.10
  ['light', 'en', '400 % zoom', { width: 320, height: 256 }],
] as const)(
  'every page of the desk, %s, in %s, on a %s: axe finds nothing, nothing sticks out, what is pressed is large',
  { timeout: 300_000 },
  async (theme, lang, _name, viewport) => {
    const page = await newPage(browser, { viewport, colorScheme: theme })
    const found: string[] = []
    for await (const state of eachState(page, `${url}/gallery?theme=${theme}&lang=${lang}`, deskStates)) {
      for (const f of await axeFinds(page)) found.push(`${state.name}: ${f}`)
      const { wide, small, empty } = await page.evaluate(() => {
        const small: string[] = []
        let text = ''
        const look = (root: ShadowRoot | Document) => {
          text += root === document ? '' : root.textContent
          for (const e of root.querySelectorAll<HTMLElement>('*')) {
            if (e.shadowRoot) look(e.shadowRoot)
            if (!e.matches('button, select, summary, input:not([type=hidden]):not(.hidden), textarea, nav a')) continue
            const { width, height } = (e.closest('.pick, fieldset label') ?? e).getBoundingClientRect()
            if (width > 0 && (width < 43.5 || height < 43.5))
              small.push(`${e.outerHTML.slice(0, 60)} is ${width} x ${height}`)
          }
        }
        look(document)
        const wide = document.documentElement.scrollWidth - innerWidth
        return { wide, small, empty: text.trim().length < 10 }
      })
      if (wide > 0) found.push(`${state.name}: ${wide} px too wide`)
      if (empty) found.push(`${state.name}: shows nothing`)
      for (const s of small) found.push(`${state.name}: ${s}`)
    }
    expect([...found, ...page.failures]).toEqual([])
    await page.context().close()
  },
)
