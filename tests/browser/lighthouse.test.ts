import { afterAll, beforeAll, expect, inject, it } from 'vitest'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { type Harness, removeFolders, startHarness } from '../server/harness.ts'
import { audit } from './audit.ts'

let server: Harness
beforeAll(async () => {
  server = await startHarness({
    load: (own) => loadConversation(undefined, own),
    pages: inject('built'),
  })
})
afterAll(async () => {
  await server?.stop()
  removeFolders()
})

// What is a matter of time is measured by `npm run lighthouse` and not asserted here.
it.each(['/', '/embed'])(
  'Lighthouse finds %s accessible and built as pages should be',
  async (path) => {
    const { scores, lost } = await audit(`${server.base}${path}`, ['accessibility', 'best-practices'])
    expect(scores['accessibility'], lost.join('\n')).toBeGreaterThanOrEqual(95)
    expect(scores['best-practices'], lost.join('\n')).toBeGreaterThanOrEqual(95)
  },
  180_000,
)
