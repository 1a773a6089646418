import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createConversation } from '../../rules/conversation/index.ts'
import type { Conversation } from '../../rules/conversation/types.ts'
import { compile } from '../../rules/reasoning/compile.ts'
import { type Compiled, fromText, toText } from '../../rules/reasoning/compiled.ts'
import { hashOf, reasoningHashOf } from '../../rules/reasoning/hash.ts'
import type { Knowledge } from '../../rules/schema/knowledge.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'
import { textsOf } from './conversation.ts'
import { readKnowledgeFiles } from './load.ts'

export type Prepared =
  | { knowledge: Knowledge; compiled: Compiled; conversation: Conversation; problems: [] }
  | { conversation?: undefined; problems: Problem[] }

/** Changes when what `compile` writes changes, so that an old cache is not read. */
const FORMAT = 1

/**
 * Files to a conversation: checked, compiled (or read from the cache, by the knowledge's hash), ready.
 *
 * @param cacheFolder where compiled tables are kept; without one they are made anew
 */
export async function prepareKnowledge(
  files: readonly SourceFile[] = readKnowledgeFiles(),
  cacheFolder?: string,
): Promise<Prepared> {
  const { knowledge, problems } = parseKnowledge(files)
  if (!knowledge) return { problems }
  const hash = reasoningHashOf(files)
  const compiled = await compiledFrom(knowledge, hash, cacheFolder)
  return {
    knowledge,
    compiled,
    conversation: createConversation(compiled, knowledge, { texts: textsOf(files), hash: hashOf(files) }),
    problems: [],
  }
}

async function compiledFrom(knowledge: Knowledge, hash: string, cacheFolder: string | undefined): Promise<Compiled> {
  const file = cacheFolder && join(cacheFolder, `compiled-${FORMAT}-${hash}.json`)
  if (file && existsSync(file)) {
    try {
      return fromText(readFileSync(file, 'utf8'))
    } catch {
      // A cache that cannot be read is made again.
    }
  }
  const compiled = await compile(knowledge, hash)
  if (file) {
    mkdirSync(cacheFolder, { recursive: true })
    writeFileSync(`${file}.part`, toText(compiled))
    renameSync(`${file}.part`, file)
  }
  return compiled
}
