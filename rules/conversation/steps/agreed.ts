import { isApproved, isDeclined } from '../../record/work.ts'
import { unansweredFirst } from '../compose/why-first.ts'
import type { Refusal, StepInput } from './types.ts'

/**
 * Nobody repairs what nobody agreed to. A shop's own car or warranty work needs one line as well, an amount of nothing
 * and who decided it: the same for everybody, and the record says why it was done for nothing.
 */
export function notAgreed({ state, names }: StepInput, remedy: string): Refusal | undefined {
  if (isApproved(state.work, remedy)) return undefined
  const name = names.knowledge.remedies.find((x) => x.id === remedy)?.text.name ?? remedy
  return {
    code: 'not-approved',
    text: names.t(isDeclined(state.work, remedy) ? 'refuse.declined' : 'refuse.not-approved', { name }),
    mend: names.t('refuse.not-approved.mend'),
  }
}

/** A part that dies of something else is not fitted before that was asked. "Not looked" is an answer, and stands. */
export async function notAskedWhy(input: StepInput, remedy: string): Promise<Refusal | undefined> {
  const { r, names } = input
  if (!r.knowledge.remedies.find((x) => x.id === remedy)?.askWhyFirst) return undefined
  const open = unansweredFirst(r, await input.turn(), names, remedy)
  if (open.length === 0) return undefined
  return {
    code: 'ask-why-first',
    text: names.t('refuse.ask-why-first', { list: open.map((root) => root.text.name).join('; ') }),
    mend: names.t('refuse.ask-why-first.mend'),
  }
}
