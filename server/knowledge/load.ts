import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { SourceFile } from '../../rules/schema/parse.ts'

export const KNOWLEDGE_FOLDER = fileURLToPath(new URL('../../rules/knowledge', import.meta.url))

/** Reads every JSON file below a knowledge folder, in order of path. */
export function readKnowledgeFiles(folder = KNOWLEDGE_FOLDER): SourceFile[] {
  const found: SourceFile[] = []
  const visit = (at: string) => {
    for (const name of readdirSync(at).sort()) {
      const path = join(at, name)
      if (statSync(path).isDirectory()) visit(path)
      else if (name.endsWith('.json')) {
        found.push({ path: relative(folder, path).split(sep).join('/'), text: readFileSync(path, 'utf8') })
      }
    }
  }
  visit(folder)
  return found
}
