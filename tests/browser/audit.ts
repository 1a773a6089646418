import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import chromium from '@sparticuz/chromium'
import lighthouse, { type Flags } from 'lighthouse'

export interface Audit {
  /** 0 to 100 */
  scores: Record<string, number>
  /** what cost points: its id and what Lighthouse says of it */
  lost: string[]
  firstPaintMs: number
  largestPaintMs: number
}

/** Lighthouse over one page, in a Chromium of its own: everything cold, as a phone on a slow line has it. */
export async function audit(url: string, categories: string[]): Promise<Audit> {
  const folder = await mkdtemp(join(tmpdir(), 'benchlamp-lighthouse-'))
  const path = process.env['BROWSER_PATH'] || (await chromium.executablePath())
  const child = spawn(
    path,
    [
      '--headless=new',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-dev-shm-usage',
      '--remote-debugging-port=0',
      `--user-data-dir=${folder}`,
      'about:blank',
    ],
    { stdio: 'ignore' },
  )
  try {
    const flags: Flags = {
      port: await portOf(child, folder),
      output: 'json',
      logLevel: 'error',
      onlyCategories: categories,
    }
    const result = await lighthouse(url, flags)
    if (!result) throw new Error('Lighthouse gave no result.')
    const { lhr } = result
    if (lhr.runtimeError) throw new Error(`Lighthouse: ${lhr.runtimeError.message}`)
    const scores: Record<string, number> = {}
    const lost: string[] = []
    for (const category of Object.values(lhr.categories)) {
      scores[category.id] = Math.round((category.score ?? 0) * 100)
      for (const { id, weight } of category.auditRefs) {
        const { score, title, displayValue } = lhr.audits[id]!
        if (weight > 0 && score !== null && score < 0.9) lost.push(`${id}: ${title} ${displayValue ?? ''}`.trim())
      }
    }
    const ms = (id: string) => Math.round(lhr.audits[id]?.numericValue ?? Number.NaN)
    return { scores, lost, firstPaintMs: ms('first-contentful-paint'), largestPaintMs: ms('largest-contentful-paint') }
  } finally {
    const gone = new Promise((done) => child.once('exit', done))
    child.kill('SIGKILL')
    await gone
    await rm(folder, { recursive: true, force: true, maxRetries: 5 })
  }
}

/** The browser writes the port that it took into its folder. */
async function portOf(child: ChildProcess, folder: string): Promise<number> {
  for (let i = 0; i < 150; i++) {
    if (child.exitCode !== null) throw new Error('Chromium ended at once; BROWSER_PATH names another one.')
    const text = await readFile(join(folder, 'DevToolsActivePort'), 'utf8').catch(() => '')
    const port = Number(text.split('\n')[0])
    if (port > 0) return port
    await new Promise((done) => setTimeout(done, 100))
  }
  throw new Error('Chromium did not open its debugging port in 15 seconds.')
}
