import { createConversation } from '../../rules/conversation/index.ts'
import { hashOf } from '../../rules/reasoning/hash.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
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
  return { conversation: createConversation(await compiledOf(knowledge, hashOf(files)), knowledge), problems: [] }
}
