import chromium from '@sparticuz/chromium'
import { type Browser, type BrowserContextOptions, chromium as launcher, type Page } from 'playwright-core'

/** These switch off what the tests are there to see: the same-origin rules, and pages that outlive each other. */
const NOT_OURS = new Set([
  '--single-process',
  '--no-zygote',
  '--disable-web-security',
  '--allow-running-insecure-content',
  // Drawing by a graphics processor that there is none of: it is acted out by the two cores, which takes longer than to draw.
  '--ignore-gpu-blocklist',
  '--in-process-gpu',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
])

/**
 * A real Chromium, the one that comes with the npm packages. `BROWSER_PATH` names another one where that can't start.
 *
 * @throws Error that says what to install; a browser test is never skipped
 */
export async function launch(): Promise<Browser> {
  const named = process.env['BROWSER_PATH']
  const executablePath = named || (await chromium.executablePath())
  const args = named ? ['--no-sandbox'] : [...chromium.args.filter((a) => !NOT_OURS.has(a)), '--disable-gpu']
  try {
    return await launcher.launch({ executablePath, args, headless: true })
  } catch (error) {
    throw new Error(
      `Chromium could not be started (${executablePath}). It needs the system libraries nss and nspr; or install a ` +
        `Chromium and set BROWSER_PATH to it (Debian: apt-get install chromium, BROWSER_PATH=/usr/bin/chromium).`,
      { cause: error },
    )
  }
}

export const PHONE = { width: 360, height: 740 }
export const DESK = { width: 1280, height: 860 }

/** `failures`: what went wrong in the page. */
export type WatchedPage = Page & { failures: string[] }

/** A page of its own, with nothing kept from others; whatever goes wrong in it ends up in `page.failures`. */
export async function newPage(browser: Browser, options: BrowserContextOptions = {}): Promise<WatchedPage> {
  const context = await browser.newContext({ viewport: DESK, reducedMotion: 'reduce', ...options })
  const page = Object.assign(await context.newPage(), { failures: [] as string[] })
  page.setDefaultTimeout(60_000)
  page.on('pageerror', (e) => page.failures.push(String(e)))
  page.on('console', (m) => {
    // A server that is down on purpose is not a failure of the page.
    if (m.type() === 'error' && !/WebSocket|ERR_CONNECTION/.test(m.text())) page.failures.push(m.text())
  })
  return page
}

/** Waits until every part of the elements on the page is fetched and drawn. */
export async function drawn(page: Page): Promise<void> {
  await page.locator('bench-lamp h2').first().waitFor()
  await page.waitForFunction(() => {
    const whole = (root: Document | ShadowRoot): boolean =>
      [...root.querySelectorAll('*')].every(
        (e) => !e.localName.includes('-') || (e.matches(':defined') && (!e.shadowRoot || whole(e.shadowRoot))),
      )
    return whole(document)
  })
}
