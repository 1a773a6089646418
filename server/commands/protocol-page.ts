import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { loadConversation } from '../knowledge/conversation.ts'
import { protocolPage } from '../replay/page.ts'
import { printProblems } from '../run.ts'

/** Writes rules/protocol/README.md anew. */
const loaded = await loadConversation()
if (!loaded.conversation) {
  printProblems(loaded.problems)
  process.exit(1)
}
writeFileSync(
  fileURLToPath(new URL('../../rules/protocol/README.md', import.meta.url)),
  await protocolPage(loaded.conversation),
)
