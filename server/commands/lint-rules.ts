import { parseKnowledge } from '../../rules/schema/parse.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { readKnowledgeFiles } from '../knowledge/load.ts'

const { knowledge, problems } = parseKnowledge(readKnowledgeFiles())
for (const problem of problems) console.log(formatProblem(problem))
if (knowledge) {
  console.log(
    `${new Set(knowledge.familyOf.values()).size} causes (${knowledge.causes.length} with numbered siblings), ${knowledge.checks.length} checks, ${knowledge.observables.length} observables: no problems`,
  )
}
process.exit(problems.length > 0 ? 1 : 0)
