import { lintKnowledge } from '../../rules/reasoning/lint/lint.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { prepareKnowledge } from '../knowledge/prepare.ts'

const prepared = await prepareKnowledge()
const problems = prepared.conversation
  ? lintKnowledge(new Reasoner(prepared.compiled, prepared.knowledge))
  : prepared.problems
for (const problem of problems) console.log(formatProblem(problem))
if (prepared.conversation) {
  const k = prepared.knowledge
  const checks = new Set(k.checks.map((c) => c.id.replace(/\d+/g, 'n')))
  console.log(
    `${new Set(k.familyOf.values()).size} causes (${k.causes.length} with numbered siblings), ${checks.size} checks (${k.checks.length} with siblings), ${k.checks.filter((c) => c.who.includes('customer')).length} of them for customers, ${k.observables.length} observables: ${problems.length === 0 ? 'no problems' : `${problems.length} problems`}`,
  )
}
process.exit(problems.length > 0 ? 1 : 0)
