import { text } from 'node:stream/consumers'
import { reasoningHashOf } from '../../rules/reasoning/hash.ts'
import { lintKnowledge } from '../../rules/reasoning/lint/lint.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
import { formatProblem, type Problem } from '../../rules/schema/problem.ts'
import { compiledOf } from './cache.ts'
import { readKnowledgeFiles } from './load.ts'
import { laidOver } from './overlays.ts'

/** A process of its own: files on standard input, what the linter has against them on standard output. */
const base = readKnowledgeFiles()
const own = JSON.parse(await text(process.stdin)) as SourceFile[]

async function reasonerOf(files: readonly SourceFile[]): Promise<Reasoner | Problem[]> {
  const { knowledge, problems } = parseKnowledge(files)
  return knowledge ? new Reasoner(await compiledOf(knowledge, reasoningHashOf(files)), knowledge) : problems
}

const [over, common] = [await reasonerOf(laidOver(base, own)), await reasonerOf(base)]
/** Only where they differ: what the common knowledge has of its own is not the shop's to mend. */
const lint = (x: Reasoner | Problem[], since: Reasoner | Problem[]) =>
  x instanceof Reasoner ? lintKnowledge(x, since instanceof Reasoner ? since : undefined) : x

const problems = lint(over, common)
// Which problems are its own is asked of it only where there are some. What cannot be read is held against what can.
const ours = problems.length === 0 || (Array.isArray(over) && !Array.isArray(common)) ? [] : lint(common, over)
const known = new Set(ours.map(formatProblem))
process.stdout.write(JSON.stringify(problems.filter((p) => !known.has(formatProblem(p)))))
