import { parseArgs } from 'node:util'
import { formatProblem } from '../rules/schema/problem.ts'
import { loadConversation } from './knowledge/conversation.ts'
import { watchKnowledge } from './knowledge/watch.ts'
import { runServer } from './run.ts'

let dev = false
try {
  dev = parseArgs({ options: { dev: { type: 'boolean' } } }).values.dev ?? false
} catch (error) {
  console.error(
    `${(error as Error).message}\nThe only flag is --dev: pages made on the fly, knowledge read again as it changes.`,
  )
  process.exit(2)
}

const running = await runServer(
  (own) => loadConversation(undefined, own),
  dev ? { devPages: async (http) => (await import('./transport/dev-pages.ts')).devPages(http) } : {},
)

if (dev) {
  watchKnowledge(async () => {
    const { problems, changed } = await running.reload()
    for (const problem of problems) console.error(formatProblem(problem))
    if (problems.length > 0) console.error('The knowledge from before is kept until this is mended.')
    else if (changed) console.log('The knowledge was read again.')
  })
}
