import type { Browser, BrowserContextOptions } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { DESK, drawn, launch, newPage, PHONE, type WatchedPage } from './browser.ts'

let browser: Browser
let server: FakeServer
let url: string

beforeAll(async () => {
  server = new FakeServer(inject('built'))
  url = await server.start(0)
  browser = await launch()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
})
afterAll(async () => {
  await browser?.close()
  await server?.stop()
})

/** Every state below the other on one page. */
async function gallery(options: BrowserContextOptions, query = ''): Promise<WatchedPage> {
  const page = await newPage(browser, options)
  await page.goto(`${url}/gallery${query}`)
  await drawn(page)
  return page
}

/** What is wider than the screen, and what text is cut off, by state. */
function cutOff(page: WatchedPage): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = []
    const scrolls = '.scroller, table, pre, [data-scrolls]'
    const look = (root: ShadowRoot | Element, state: string, within = false) => {
      for (const e of root.querySelectorAll<HTMLElement>('*')) {
        if (e.shadowRoot) look(e.shadowRoot, state, within || e.closest(scrolls) !== null)
        const style = getComputedStyle(e)
        const box = e.getBoundingClientRect()
        if (box.width === 0 || style.visibility === 'hidden' || e.closest('.hidden, svg')) continue
        const inScroller = within || e.closest(scrolls)
        if (!inScroller && (box.right > innerWidth + 1 || box.left < -1)) {
          found.push(
            `${state}: <${e.localName} class="${e.className}"> goes from ${Math.round(box.left)} to ${Math.round(box.right)}`,
          )
        }
        const holdsText = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent!.trim() !== '')
        const clips = /hidden|clip/.test(style.overflowX + style.overflowY)
        // Shown whole elsewhere: the complaint in the stub, and the boxes at the top of the bench, which have a title. What
        // is cut off of the picture buttons is the field that lies over their words unseen.
        const shortened = e.matches('.about b, .pick') || e.title !== ''
        if (
          holdsText &&
          clips &&
          !shortened &&
          (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1)
        ) {
          found.push(`${state}: “${e.textContent!.trim().slice(0, 40)}” is cut off`)
        }
      }
    }
    for (const section of document.querySelectorAll('#stage > section'))
      look(section, section.querySelector('h2')!.textContent!)
    if (document.documentElement.scrollWidth > innerWidth)
      found.push(`the page is ${document.documentElement.scrollWidth} px wide`)
    return [...new Set(found)]
  })
}

describe('zoom and text', () => {
  it.each([
    ['200 % of 1280 x 1024', { width: 640, height: 512 }],
    ['400 % of 1280 x 1024', { width: 320, height: 256 }],
  ])('at %s nothing has to be scrolled sideways (WCAG 1.4.4, 1.4.10)', async (_what, viewport) => {
    expect(await cutOff(await gallery({ viewport }))).toEqual([])
  })

  it.each([
    ['a phone', PHONE],
    ['a desk', DESK],
  ])('with the text spacing of WCAG 1.4.12 nothing is cut off on %s', async (_what, viewport) => {
    const page = await gallery({ viewport })
    await page.evaluate(() => {
      const sheet = new CSSStyleSheet()
      sheet.replaceSync(
        '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-block-end: 2em !important }',
      )
      const spread = (root: Document | ShadowRoot) => {
        root.adoptedStyleSheets = [...root.adoptedStyleSheets, sheet]
        for (const e of root.querySelectorAll('*')) if (e.shadowRoot) spread(e.shadowRoot)
      }
      spread(document)
    })
    expect(await cutOff(page)).toEqual([])
  })

  it.each([
    ['a phone', PHONE],
    ['a desk', DESK],
  ])('from right to left nothing sticks out, and what leads stands on the right, on %s', async (_what, viewport) => {
    const page = await gallery({ viewport }, '?lang=ar')
    expect(await cutOff(page)).toEqual([])
    const sides = await page.evaluate(() => {
      const root = document.querySelector('#gallery-bench-lamp-check')!.shadowRoot!
      const trail = root.querySelector('bl-trail')!.shadowRoot!
      const item = trail.querySelector('li')!.getBoundingClientRect()
      const words = trail.querySelector('.q')!.getBoundingClientRect()
      const standing = root.querySelector('bl-standing')!.shadowRoot!
      const bar = standing.querySelector('.bar')!.getBoundingClientRect()
      const filled = standing.querySelector('.bar i')!.getBoundingClientRect()
      return { hole: item.right - words.right > 15, bar: Math.abs(bar.right - filled.right) < 1 }
    })
    expect(sides).toEqual({ hole: true, bar: true })
  })
})

describe('without colours', () => {
  it('forced colours leave every thing to press an edge, what is chosen a mark, every bar a length', async () => {
    const page = await gallery({ viewport: DESK, forcedColors: 'active' })
    const found = await page.evaluate(() => {
      const found: string[] = []
      const look = (root: ShadowRoot | Element, state: string) => {
        for (const e of root.querySelectorAll<HTMLElement>('*')) {
          if (e.shadowRoot) look(e.shadowRoot, state)
          if (e.getBoundingClientRect().width === 0) continue
          const s = getComputedStyle(e)
          const edge = (x: CSSStyleDeclaration) =>
            Number.parseFloat(x.borderTopWidth) > 0 && x.borderTopStyle !== 'none'
          const name = `${state}: ${e.outerHTML.slice(0, 80)}`
          if (e.matches('button:not(.quiet)') && !edge(s)) found.push(`${name} has no edge`)
          if (e.matches('.bar i') && s.backgroundColor === getComputedStyle(e.parentElement!).backgroundColor)
            found.push(`${name} can not be told from its ground`)
          if (e.matches('.keys [aria-pressed=true]')) {
            const other = getComputedStyle(e.parentElement!.querySelector('button:not([aria-pressed=true])')!)
            if (s.borderTopColor === other.borderTopColor && s.backgroundColor === other.backgroundColor)
              found.push(`${name} looks as if it were not chosen`)
          }
        }
      }
      for (const section of document.querySelectorAll('#stage > section'))
        look(section, section.querySelector('h2')!.textContent!)
      return found
    })
    expect(found).toEqual([])
  })
})

describe('motion', () => {
  const moving = (page: WatchedPage) =>
    page.evaluate(() => {
      const all: string[] = []
      const look = (root: Document | ShadowRoot) => {
        for (const a of root.getAnimations())
          all.push(String((a as CSSAnimation).animationName ?? (a as CSSTransition).transitionProperty))
        for (const e of root.querySelectorAll('*')) if (e.shadowRoot) look(e.shadowRoot)
      }
      look(document)
      return all
    })
  /** All that moves while a question comes, is answered and the next one stands. */
  async function aTurn(reducedMotion: 'reduce' | 'no-preference') {
    const page = await newPage(browser, { viewport: PHONE, reducedMotion })
    await page.goto(url)
    await drawn(page)
    await page.getByRole('textbox').fill('it jerks')
    await page.getByRole('button', { name: 'Go on' }).click()
    const seen: string[] = []
    const yes = page.getByRole('button', { name: 'Yes' })
    await yes.waitFor({ state: 'attached' })
    for (let i = 0; i < 6; i++) seen.push(...(await moving(page)))
    await yes.click()
    await page.getByRole('button', { name: 'Near the floor' }).waitFor({ state: 'attached' })
    for (let i = 0; i < 6; i++) seen.push(...(await moving(page)))
    return seen
  }

  it('explains, and stops for whoever asked for less of it', async () => {
    expect(await aTurn('no-preference')).toContain('come')
    expect(await aTurn('reduce')).toEqual([])
  })
})

describe('to take along', () => {
  it.each(['counter-hand-over', 'bench-finding'])(
    '%s is copied, or marked where there is no clipboard',
    async (state) => {
      const page = await newPage(browser, { permissions: ['clipboard-read', 'clipboard-write'] })
      await page.goto(`${url}/gallery?state=${state}`)
      await drawn(page)
      const copy = page.getByRole('button', { name: 'Copy as text' })
      await copy.press('Enter')
      await page.getByText('Copied').waitFor()
      const copied = await page.evaluate(() => navigator.clipboard.readText())
      expect(copied).toContain('K7-204')
      // As over plain http on a workshop's network.
      await page.evaluate(() => Object.defineProperty(navigator, 'clipboard', { value: undefined }))
      await copy.press('Enter')
      await page.getByText('press Ctrl and C').waitFor()
      const marked = await page.evaluate(() => {
        let e = document.activeElement
        while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement
        const field = e as HTMLTextAreaElement
        return field.value.slice(field.selectionStart, field.selectionEnd)
      })
      expect(marked).toBe(copied)
    },
  )
})

describe('by keyboard', () => {
  it.each([
    'counter-ask',
    'counter-trail',
    'counter-not-understood',
    'counter-hand-over',
    'bench-set-up',
    'bench-reading',
    'bench-why',
    'bench-bridged',
    'bench-finding',
  ])('in %s, on a phone, what has the focus shows it and is not covered (WCAG 2.4.7, 2.4.11)', async (state) => {
    const page = await newPage(browser, { viewport: PHONE })
    await page.goto(`${url}/gallery?state=${state}`)
    await drawn(page)
    const found: string[] = []
    const visited = new Set<string>()
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab')
      const now = await page.evaluate(() => {
        let e = document.activeElement as HTMLElement | null
        while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement as HTMLElement
        if (!e || e === document.body) return undefined
        const box = e.getBoundingClientRect()
        const ring = (x: Element | null): boolean =>
          x !== null &&
          Number.parseFloat(getComputedStyle(x).outlineWidth) >= 2 &&
          getComputedStyle(x).outlineStyle !== 'none'
        let top = document.elementFromPoint(
          box.left + box.width / 2,
          Math.min(innerHeight - 1, Math.max(0, box.top + box.height / 2)),
        )
        while (top?.shadowRoot) {
          const inner: Element | null = top.shadowRoot.elementFromPoint(
            box.left + box.width / 2,
            Math.min(innerHeight - 1, Math.max(0, box.top + box.height / 2)),
          )
          if (!inner || inner === top) break
          top = inner
        }
        const label = e.closest('label')
        return {
          what: `${e.localName} “${(e.getAttribute('aria-label') ?? e.textContent ?? '').trim().slice(0, 30)}”`,
          place: `${Math.round(box.left + scrollX)} ${Math.round(box.top + scrollY)}`,
          ring: ring(e) || ring(label) || ring(e.parentElement),
          seen: top !== null && (e.contains(top) || top.contains(e)) && box.bottom > 0 && box.top < innerHeight,
        }
      })
      if (!now) break
      if (visited.has(`${now.what} ${now.place}`)) continue
      visited.add(`${now.what} ${now.place}`)
      if (!now.ring) found.push(`${now.what} shows no focus`)
      if (!now.seen) found.push(`${now.what} is covered`)
    }
    expect(visited.size).toBeGreaterThan(2)
    expect(found).toEqual([])
  })
})
