import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** What axe-core finds against WCAG 2.2 AA and its own best practices, one line each; empty is clean. */
export async function axeFinds(page: Page): Promise<string[]> {
  // Through the debugger, not as a script tag: the page's content security policy stays as it is.
  if (!(await page.evaluate('"axe" in globalThis'))) await page.evaluate(`${axe};0`)
  return page.evaluate(async () => {
    type Axe = {
      run(
        context: unknown,
        options: unknown,
      ): Promise<{ violations: { id: string; nodes: { target: unknown[]; failureSummary: string }[] }[] }>
    }
    const { violations } = await (globalThis as unknown as { axe: Axe }).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    })
    return violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${JSON.stringify(n.target)} ${n.failureSummary}`))
  })
}
