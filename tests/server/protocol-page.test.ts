import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { clientMessage } from '../../rules/protocol/index.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { protocolPage } from '../../server/replay/page.ts'

/** Who, which type, which parts: what stays the same when words and figures change with the knowledge. */
function skeleton(page: string): string[] {
  return [...page.matchAll(/^(\*\*.+\*\*.*)\n\n```jsonc?\n([\s\S]*?)\n```/gm)].map(([, arrow, json]) => {
    const parts = JSON.parse(json!) as object
    return `${arrow}: ${Object.keys(parts).sort().join(' ')}`
  })
}

it('the page of the protocol shows a conversation as it goes now', async () => {
  const { conversation, problems } = await loadConversation()
  expect(problems).toEqual([])
  const page = readFileSync(fileURLToPath(new URL('../../rules/protocol/README.md', import.meta.url)), 'utf8')
  const now = await protocolPage(conversation!)
  const help = 'rules/protocol/README.md is out of date: npm run protocol:page'
  expect(skeleton(page), help).toEqual(skeleton(now))
  expect(page.split('## One conversation')[0], help).toBe(now.split('## One conversation')[0])
  expect(skeleton(page).length).toBeGreaterThan(30)
})

it('what the page sends is right, but for the one message that is meant to be wrong', () => {
  const page = readFileSync(fileURLToPath(new URL('../../rules/protocol/README.md', import.meta.url)), 'utf8')
  const sent = [...page.matchAll(/^\*\*\w+ →\*\*\n\n```json\n(.*)\n```/gm)].map(([, json]) => JSON.parse(json!))
  const wrong = sent.filter((message) => !clientMessage.safeParse(message).success)
  expect(wrong.map((m) => m.id)).toEqual(['t99'])
  expect(new Set(sent.map((m) => m.type)).size).toBeGreaterThanOrEqual(7)
})
