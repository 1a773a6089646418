import { describe, expect, it } from 'vitest'
import { formatProblem } from '../../rules/schema/problem.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { readTranscripts } from '../../server/replay/files.ts'
import { replay } from '../../server/replay/run.ts'

const { conversation } = await loadConversation()
const files = readTranscripts()

describe('the demo conversations', () => {
  it('are at least twelve, of customers and technicians', () => {
    expect(files.length).toBeGreaterThanOrEqual(12)
    const from = new Set(files.flatMap((f) => ('transcript' in f ? f.transcript.steps.map((s) => s.from) : [])))
    expect([...from].sort()).toEqual(['customer', 'technician'])
  })

  it.each(files.map((f) => [f.file, f] as const))('%s goes as it says', async (_name, file) => {
    if ('problems' in file) throw new Error(file.problems.map(formatProblem).join('\n'))
    const { steps } = await replay(conversation!, file.transcript)
    const differences = steps.flatMap((s, i) => s.differences.map((d) => `step ${i + 1}: ${d}`))
    expect(differences, 'npm run replay shows it whole').toEqual([])
    // Each step that moved the case says what is asked next and what is likeliest.
    for (const [i, { step, happened }] of steps.entries()) {
      if (happened.ask !== undefined) expect(step.expect, `step ${i + 1}`).toHaveProperty('ask')
      if (happened.standing) expect(step.expect, `step ${i + 1}`).toHaveProperty('standing')
    }
  })
})
