import { writeFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import { lintTranslation, translated } from '../../rules/reasoning/lint/translations.ts'
import { fingerprintOf } from '../../rules/schema/fingerprint.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { KNOWLEDGE_FOLDER, readKnowledgeFiles } from '../knowledge/load.ts'
import { argumentsOf } from './command.ts'

const HELP = `npm run texts -- LANGUAGE [PATH…]

Writes down which English text each translated file was made from (its "of"), so that the linter can tell when the
English has changed since. Run it once you have translated the text that stands there now, and only then.

  LANGUAGE   such as es: the folder below rules/knowledge/texts
  PATH…      files or folders to stamp, such as checks/ask-jerks.json or checks; without one, those never stamped`

const { positionals } = argumentsOf(HELP, {}, { least: 1, most: Number.POSITIVE_INFINITY })
const [language, ...paths] = positionals as [string, ...string[]]
const root = `texts/${language}/`
const files = readKnowledgeFiles()
const english = new Map(files.map((f) => [f.path, f.text]))
const own = files.filter((f) => f.path.startsWith(root))
if (own.length === 0) {
  console.error(`There is no rules/knowledge/${root} with files in it. Copy the English files' texts there first.`)
  process.exit(2)
}

/** A path as somebody types it: below the language's folder, below rules/knowledge, or on this machine. */
const meant = (typed: string): string => {
  const bare = typed.replace(/\/$/, '')
  const below = (path: string) => own.some((f) => f.path === root + path || f.path.startsWith(`${root}${path}/`))
  const here = relative(join(KNOWLEDGE_FOLDER, root), resolve(bare))
  const found = [bare, `${bare}.json`, here].find(below)
  if (found === undefined) {
    console.error(`There is no file and no folder "${typed}" below rules/knowledge/${root}. Mend the path.`)
    process.exit(2)
  }
  return root + found
}
const wanted = paths.map(meant)
const chosen = own.filter((f) => wanted.some((w) => f.path === w || f.path.startsWith(`${w}/`)))

let stamped = 0
let same = 0
let wrong = 0
for (const file of wanted.length > 0 ? chosen : own) {
  const path = file.path.slice(root.length)
  const source = english.get(path)
  if (/^(words|parts|language)\.json$/.test(path)) continue
  if (source === undefined) {
    wrong++
    console.error(`${file.path}: there is no English ${path}. Take it out, or mend its name.`)
    continue
  }
  let content: { of?: string; text?: unknown }
  try {
    content = JSON.parse(file.text)
  } catch (error) {
    wrong++
    console.error(`${file.path}: not valid JSON (${(error as Error).message}). Look near that place.`)
    continue
  }
  if (wanted.length === 0 && content.of) continue
  const of = fingerprintOf(JSON.parse(source))
  if (content.of === of) {
    same++
    continue
  }
  const problems = lintTranslation(path, translated(files, path), { ...content, of }, language)
  if (problems.length > 0) {
    wrong++
    for (const problem of problems) console.error(formatProblem(problem))
    continue
  }
  // Only this value changes: what stands around it is somebody's own hand.
  const text = /"of"\s*:\s*"[^"]*"/.test(file.text)
    ? file.text.replace(/"of"\s*:\s*"[^"]*"/, `"of": "${of}"`)
    : file.text.replace('{', `{\n  "of": "${of}",`)
  writeFileSync(join(KNOWLEDGE_FOLDER, file.path), text)
  stamped++
}
const count = (n: number) => `${n} ${n === 1 ? 'file' : 'files'}`
console.log(
  `${count(stamped)} stamped, ${same} stamped before with the same English${wrong > 0 ? `, ${wrong} not: see above` : ''}.`,
)
process.exit(wrong > 0 ? 1 : 0)
