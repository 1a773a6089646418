import { createConversation } from '../../rules/conversation/index.ts'
import { hashOf, reasoningHashOf } from '../../rules/reasoning/hash.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
import { languagesOf, textsOfLanguage } from '../../rules/schema/texts.ts'
import { compiledOf } from './cache.ts'
import { KNOWLEDGE_FOLDER, readKnowledgeFiles } from './load.ts'
import type { Loaded } from './loader.ts'
import { laidOver } from './overlays.ts'

/** The knowledge of a folder, read, checked, compiled: a conversation, or every problem found. */
export async function loadConversation(folder = KNOWLEDGE_FOLDER, own: readonly SourceFile[] = []): Promise<Loaded> {
  let files: ReturnType<typeof readKnowledgeFiles>
  try {
    files = laidOver(readKnowledgeFiles(folder), own)
  } catch (error) {
    // In the middle of being edited: a file was listed and then gone.
    const { code = 'unreadable', path = folder } = error as NodeJS.ErrnoException
    return {
      problems: [
        { file: path, path: '$', what: `can't be read (${code})`, mend: 'Put it back, or mend its permissions' },
      ],
    }
  }
  const { knowledge, problems } = parseKnowledge(files)
  if (!knowledge) return { problems }
  const compiled = await compiledOf(knowledge, reasoningHashOf(files))
  const options = { texts: textsOf(files), hash: hashOf(files) }
  return { conversation: createConversation(compiled, knowledge, options), problems: [] }
}

/** The knowledge's texts in every language that it has, English aside. */
export const textsOf = (files: readonly SourceFile[]) =>
  Object.fromEntries(languagesOf(files).map((language) => [language, textsOfLanguage(files, language)]))
