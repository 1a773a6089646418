import assets from 'virtual:local-assets'
import sentences from 'virtual:sentences'
import { createConversation } from '../../rules/conversation/index.ts'
import type { Conversation } from '../../rules/conversation/types.ts'
import { unpack } from '../../rules/reasoning/packed.ts'
import type { Knowledge } from '../../rules/schema/knowledge.ts'
import type { KnowledgeTexts } from '../../rules/schema/texts.ts'

/** The conversation, and how it learns a language: English it knows, of any other it fetches the texts. */
export interface LocalConversation {
  conversation: Conversation
  learn(language: string): Promise<void>
}

/**
 * Everything that was made from the knowledge at build, see client/build/local.ts.
 *
 * @throws where it can't be fetched
 */
export async function loadConversation(): Promise<LocalConversation> {
  const [tables, knowledge] = await Promise.all([bytesOf(assets.tables), bytesOf(assets.knowledge).then(parsed)])
  const texts: Record<string, KnowledgeTexts> = {}
  const whole = knowledge as Knowledge & { familyOf: Iterable<[string, string]> }
  const conversation = createConversation(
    unpack(tables),
    { ...whole, familyOf: new Map(whole.familyOf) },
    { texts, hash: assets.hash },
  )
  return {
    conversation,
    async learn(language) {
      const name = assets.texts[language]
      if (!name || texts[language]) return
      // Without its texts a language is read in English, as it is of a knowledge that has none.
      const found = await bytesOf(name)
        .then(parsed)
        .catch(() => undefined)
      if (!found) return
      const { texts: own, sentences: said } = found as { texts: KnowledgeTexts; sentences: Record<string, string> }
      texts[language] = own
      sentences[language] = Object.assign(sentences[language] ?? {}, said)
    },
  }
}

/** The files are compressed themselves; a server that says so in its headers has the browser undo it already. */
async function bytesOf(name: string): Promise<Uint8Array> {
  const response = await fetch(new URL(name, import.meta.url))
  if (!response.ok) throw new Error(`${name}: ${response.status}`)
  const bytes = new Uint8Array(await response.arrayBuffer())
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) return bytes
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'))
  return new Uint8Array(await new Response(plain).arrayBuffer())
}

const parsed = (bytes: Uint8Array): unknown => JSON.parse(new TextDecoder().decode(bytes))
