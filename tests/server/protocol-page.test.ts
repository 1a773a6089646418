import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { clientMessage } from '../../rules/protocol/index.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { protocolPage } from '../../server/replay/page.ts'

/** Who sends what in which order: what stays the same when words and figures change with the knowledge. */
const arrows = (page: string) => [...page.matchAll(/^\*\*(\w+ →|→ \w+)\*\*( `[\w-]+`)?/gm)].map(([line]) => line)

/** Type -> the parts that its messages have on the page. */
function partsByType(page: string): Record<string, string[]> {
  const parts: Record<string, Set<string>> = {}
  for (const [, json] of page.matchAll(/\n```jsonc\n([\s\S]*?)\n```/g)) {
    const message = JSON.parse(json!) as { type: string }
    parts[message.type] ??= new Set()
    for (const part of Object.keys(message)) if (part !== '…') parts[message.type]!.add(part)
  }
  return Object.fromEntries(Object.entries(parts).map(([type, set]) => [type, [...set].sort()]))
}

it('the page of the protocol shows a conversation as it goes now', async () => {
  const { conversation, problems } = await loadConversation()
  expect(problems).toEqual([])
  const page = readFileSync(fileURLToPath(new URL('../../rules/protocol/README.md', import.meta.url)), 'utf8')
  const now = await protocolPage(conversation!)
  const help = 'rules/protocol/README.md is out of date: npm run protocol:page'
  expect(arrows(page), help).toEqual(arrows(now))
  expect(partsByType(page), help).toEqual(partsByType(now))
  expect(page.split('## One conversation')[0], help).toBe(now.split('## One conversation')[0])
  expect(arrows(page).length).toBeGreaterThan(40)
})

it('what the page sends is right, but for the one message that is meant to be wrong', () => {
  const page = readFileSync(fileURLToPath(new URL('../../rules/protocol/README.md', import.meta.url)), 'utf8')
  const sent = [...page.matchAll(/^\*\*\w+ →\*\*\n\n```json\n([\s\S]*?)\n```/gm)].map(([, json]) => JSON.parse(json!))
  const wrong = sent.filter((message) => !clientMessage.safeParse(message).success)
  expect(wrong.map((m) => m.id)).toEqual(['t99'])
  expect(new Set(sent.map((m) => m.type)).size).toBeGreaterThanOrEqual(7)
})
