/**
 * `npm run lighthouse`: Lighthouse over the counter page of the real server, the median of some runs; and how long it takes
 * from the request for the page until the first question is seen, the median of twenty.
 *
 *   --runs N   of Lighthouse, 3 without it
 */
import { parseArgs } from 'node:util'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { removeFolders, startHarness } from '../server/harness.ts'
import { type Audit, audit } from './audit.ts'
import { buildClient } from './built.ts'
import { firstQuestion } from './first-question.ts'

const { values } = parseArgs({ options: { runs: { type: 'string', default: '3' } } })
const runs = Number(values.runs)
if (!Number.isInteger(runs) || runs < 1) {
  console.error(`--runs ${values.runs} is no whole number from 1 on.`)
  process.exit(2)
}
const pages = await buildClient('lighthouse')
const server = await startHarness({ load: (own) => loadConversation(undefined, own), pages })
try {
  const audits: Audit[] = []
  for (let i = 0; i < runs; i++)
    audits.push(await audit(`${server.base}/`, ['performance', 'accessibility', 'best-practices']))
  const median = (of: (a: Audit) => number) => audits.map(of).sort((a, b) => a - b)[Math.floor(runs / 2)]!
  const rows = Object.keys(audits[0]!.scores).map((id) => [
    id,
    { median: median((a) => a.scores[id]!), each: audits.map((a) => a.scores[id]).join(' ') },
  ])
  console.table(Object.fromEntries(rows))
  console.log(
    `first paint ${median((a) => a.firstPaintMs)} ms, largest ${median((a) => a.largestPaintMs)} ms, on the slow phone that Lighthouse plays`,
  )
  for (const what of new Set(audits.flatMap((a) => a.lost))) console.log(`costs points: ${what}`)
  const times = await firstQuestion(`${server.base}/`, 20)
  console.log(
    `first question seen after ${times.medianMs} ms (median of ${times.all.length} cold loads on this machine; ${times.all[0]} to ${times.all.at(-1)})`,
  )
} finally {
  await server.stop()
  removeFolders()
}
