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

async function lint(files: readonly SourceFile[]): Promise<Problem[]> {
  const { knowledge, problems } = parseKnowledge(files)
  if (!knowledge) return problems
  return lintKnowledge(new Reasoner(await compiledOf(knowledge, reasoningHashOf(files)), knowledge))
}

const problems = await lint(laidOver(base, own))
// What the common knowledge has of its own is not the shop's to mend. Linting it takes a while, reading it does not.
const unreadable = parseKnowledge(laidOver(base, own)).problems.length > 0
const ours = problems.length === 0 ? [] : unreadable ? parseKnowledge(base).problems : await lint(base)
const known = new Set(ours.map(formatProblem))
process.stdout.write(JSON.stringify(problems.filter((p) => !known.has(formatProblem(p)))))
