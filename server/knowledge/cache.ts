import { createHash, randomUUID } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { compile } from '../../rules/reasoning/compile.ts'
import { type Compiled, fromText, toText } from '../../rules/reasoning/compiled.ts'
import type { Knowledge } from '../../rules/schema/knowledge.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const FOLDER = join(ROOT, '.cache')
/** What the tables are made by, beside the knowledge: after a change here, tables from before are not used. */
const MAKERS = ['rules/reasoning', 'rules/schema', 'rules/handbook', 'rules/wiring']
/** Tables of this many versions of the knowledge are kept. */
const KEPT = 6

/**
 * The tables of a knowledge, from the cache or else made and kept there. A cache that can't be read or written, or holds
 * something else, is as good as none.
 */
export async function compiledOf(knowledge: Knowledge, hash: string, folder = FOLDER): Promise<Compiled> {
  const file = join(folder, `tables-${hash}-${makersHash()}.json`)
  try {
    const [sum, text] = readFileSync(file, 'utf8').split('\n', 2)
    if (text !== undefined && sum === sumOf(text)) return fromText(text)
  } catch {
    // Not there yet.
  }
  const compiled = await compile(knowledge, hash)
  try {
    mkdirSync(folder, { recursive: true })
    const text = toText(compiled)
    // Written aside and moved, so that nobody reads half of it.
    const aside = `${file}.${randomUUID()}`
    writeFileSync(aside, `${sumOf(text)}\n${text}`)
    renameSync(aside, file)
    const old = readdirSync(folder).filter((name) => /^tables-.*\.json$/.test(name) && !file.endsWith(name))
    for (const name of old.slice(0, Math.max(0, old.length - KEPT + 1))) rmSync(join(folder, name), { force: true })
  } catch {
    // A folder that may not be written to: made again next time.
  }
  return compiled
}

const sumOf = (text: string) => createHash('sha256').update(text).digest('hex')

let made: string | undefined
function makersHash(): string {
  if (made !== undefined) return made
  const hash = createHash('sha256')
  const visit = (at: string) => {
    for (const entry of readdirSync(at, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const path = join(at, entry.name)
      if (entry.isDirectory()) visit(path)
      else if (entry.name.endsWith('.ts')) hash.update(`${path.slice(ROOT.length)}\0${readFileSync(path, 'utf8')}\0`)
    }
  }
  for (const folder of MAKERS) visit(join(ROOT, folder))
  hash.update(readFileSync(join(ROOT, 'package-lock.json')))
  made = hash.digest('hex').slice(0, 16)
  return made
}
