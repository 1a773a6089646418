import { lintKnowledge } from '../../rules/reasoning/lint/lint.ts'
import { inflesz } from '../../rules/reasoning/lint/perspicuity.ts'
import { lintTranslatedWords, readabilityOf } from '../../rules/reasoning/lint/translated-words.ts'
import { lintTranslations } from '../../rules/reasoning/lint/translations.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { readKnowledgeFiles } from '../knowledge/load.ts'
import { prepareKnowledge } from '../knowledge/prepare.ts'

const files = readKnowledgeFiles()
const prepared = await prepareKnowledge(files)
const reports = lintTranslations(files)
const problems = [
  ...(prepared.conversation ? lintKnowledge(new Reasoner(prepared.compiled, prepared.knowledge)) : prepared.problems),
  ...lintTranslatedWords(files),
  ...reports.flatMap((r) => [...r.problems, ...(r.complete ? r.missing : [])]),
]
for (const problem of problems) console.log(formatProblem(problem))
for (const { language, name, complete, done, all, missing } of reports) {
  const rest = missing.length === 0 || complete ? '' : `, ${missing.length} still missing or stale`
  const scores = readabilityOf(files)
    .filter((x) => x.language === language)
    .map((x) => `${x.pool} ${x.score.toFixed(0)} (${inflesz(x.score)})`)
  console.log(
    `${name} (${language}): ${done} of ${all} files${rest}${scores.length > 0 ? `; easy to read: ${scores.join(', ')}` : ''}`,
  )
}
if (prepared.conversation) {
  const k = prepared.knowledge
  const checks = new Set(k.checks.map((c) => c.id.replace(/\d+/g, 'n')))
  console.log(
    `${new Set(k.familyOf.values()).size} causes (${k.causes.length} with numbered siblings), ${checks.size} checks (${k.checks.length} with siblings), ${k.checks.filter((c) => c.who.includes('customer')).length} of them for customers, ${k.observables.length} observables: ${problems.length === 0 ? 'no problems' : `${problems.length} problems`}`,
  )
}
process.exit(problems.length > 0 ? 1 : 0)
