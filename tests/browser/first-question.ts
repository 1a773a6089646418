import { launch, newPage, PHONE } from './browser.ts'

/** As text, since what runs this may add helpers of its own to functions. The frame after the one it is found in shows it. */
const LOOK = `(function look() {
  const say = document.querySelector('bench-lamp')?.shadowRoot?.querySelector('bl-say')
  const heading = say?.shadowRoot?.querySelector('h2')
  if (heading && heading.getBoundingClientRect().height > 0) requestAnimationFrame(() => { globalThis.seenAt = performance.now() })
  else requestAnimationFrame(look)
})()`

/**
 * From the request for the page until the first question is drawn, each time in a fresh browser context with nothing kept.
 * Read from the browser's own clock: the paint after the heading has a place on the screen.
 */
export async function firstQuestion(url: string, loads: number): Promise<{ medianMs: number; all: number[] }> {
  const browser = await launch()
  const all: number[] = []
  try {
    for (let i = 0; i < loads; i++) {
      const page = await newPage(browser, { viewport: PHONE })
      await page.addInitScript({ content: LOOK })
      await page.goto(url)
      const seen = await page.waitForFunction(() => (globalThis as unknown as { seenAt?: number }).seenAt)
      all.push(Math.round((await seen.jsonValue())!))
      await page.context().close()
    }
  } finally {
    await browser.close()
  }
  all.sort((a, b) => a - b)
  return { medianMs: all[Math.floor(all.length / 2)]!, all }
}
