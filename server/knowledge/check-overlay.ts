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

/** Ready to reason with, or what keeps it from being read. */
async function read(files: readonly SourceFile[]): Promise<Reasoner | Problem[]> {
  const { knowledge, problems } = parseKnowledge(files)
  return knowledge ? new Reasoner(await compiledOf(knowledge, reasoningHashOf(files)), knowledge) : problems
}

/** What is wrong with the two laid over each other, and what of it the common knowledge has of its own. */
function lint(over: Reasoner | Problem[], common: Reasoner | Problem[]): [problems: Problem[], theirs: Problem[]] {
  if (over instanceof Reasoner && common instanceof Reasoner) {
    const problems = lintKnowledge(over, common)
    return [problems, problems.length > 0 ? lintKnowledge(common, over) : []]
  }
  return [over instanceof Reasoner ? lintKnowledge(over) : over, common instanceof Reasoner ? [] : common]
}

const [problems, theirs] = lint(await read(laidOver(base, own)), await read(base))
const known = new Set(theirs.map(formatProblem))
// What the common knowledge has of its own is not the shop's to mend.
process.stdout.write(JSON.stringify(problems.filter((p) => !known.has(formatProblem(p)))))
