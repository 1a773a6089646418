/**
 * `npm run shots`: a picture of every state of the gallery, at 360 and 1280 px, light and dark, to be looked at; and sheets of
 * them side by side.
 *
 *   --to FOLDER      where to; by default shots/ in the system's folder for temporary files
 *   --only WORD      states whose name has this in it
 *   --lang es        in another language
 *   --built FOLDER   a client that is built already
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import type { Browser } from 'playwright-core'
import { deskStates } from '../../client/dev/desk-states.ts'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { states } from '../../client/dev/states.ts'
import { DESK, launch, newPage, PHONE } from './browser.ts'
import { buildClient } from './built.ts'
import { eachState } from './each-state.ts'

const { values } = parseArgs({
  options: {
    to: { type: 'string', default: join(tmpdir(), 'shots') },
    only: { type: 'string', default: '' },
    lang: { type: 'string', default: 'en' },
    built: { type: 'string' },
  },
})
const { to, only, lang } = values
await mkdir(to, { recursive: true })
const server = new FakeServer(values.built ?? (await buildClient('shots')))
const url = await server.start(0)
const browser = await launch()
const wanted = [...states, ...deskStates].filter((s) => s.name.includes(only))
const taken: string[] = []
try {
  for (const [size, viewport] of [
    ['360', PHONE],
    ['1280', DESK],
  ] as const) {
    for (const theme of ['light', 'dark'] as const) {
      const page = await newPage(browser, { viewport, colorScheme: theme })
      for await (const { name } of eachState(page, `${url}/gallery?theme=${theme}&lang=${lang}`, wanted)) {
        await page.waitForTimeout(120)
        const file = `${name}-${size}-${theme}.png`
        await page.screenshot({ path: join(to, file), fullPage: true })
        taken.push(file)
      }
      for (const failure of page.failures) console.error(failure)
      await page.context().close()
      await sheets(
        browser,
        `${size}-${theme}`,
        wanted.map((s) => `${s.name}-${size}-${theme}.png`),
        size === '360' ? 7 : 3,
      )
    }
  }
} finally {
  await browser.close()
  await server.stop()
}
console.log(`${taken.length} pictures and their sheets are in ${to}`)

/** A few rows of pictures on one, so that what differs from its neighbours is seen. */
async function sheets(browser: Browser, name: string, files: string[], columns: number) {
  const page = await newPage(browser, { viewport: { width: 1680, height: 1000 } })
  const each = columns * 2
  for (let i = 0; i * each < files.length; i++) {
    const cells = await Promise.all(
      files.slice(i * each, (i + 1) * each).map(async (file) => {
        const data = (await readFile(join(to, file))).toString('base64')
        return `<figure><figcaption>${file.replace('.png', '')}</figcaption><img src="data:image/png;base64,${data}"></figure>`
      }),
    )
    await page.setContent(
      `<style>body{margin:8px;display:grid;grid-template-columns:repeat(${columns},1fr);gap:8px;background:#888}figure{margin:0}figcaption{font:13px sans-serif}img{width:100%;display:block}</style>${cells.join('')}`,
    )
    await writeFile(join(to, `sheet-${name}-${i + 1}.png`), await page.screenshot({ fullPage: true }))
  }
  await page.context().close()
}
