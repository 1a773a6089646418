import type { Knowledge } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

/** The knowledge as shipped. */
export function shippedKnowledge(): Knowledge {
  const { knowledge, problems } = parseKnowledge(readKnowledgeFiles())
  if (!knowledge) throw new Error(problems.map(formatProblem).join('\n'))
  return knowledge
}
