import type { StepMessage } from '../../protocol/index.ts'
import { mayNot } from './answer.ts'
import { type Decision, type StepInput, stamp } from './types.ts'

/** What is true of the car now. A bridge is only written down once everything that makes it safe has been shown. */
export async function carState(input: StepInput): Promise<Decision> {
  const message = input.message as Extract<StepMessage, { type: 'car-state' }>
  const { names, r, state, caller } = input
  const { t } = names
  if (caller.role === 'customer') {
    return { refuse: { code: 'not-your-role', text: t('refuse.not-your-role'), mend: t('refuse.not-your-role.mend') } }
  }
  const already = new Set(state.setUp.carState.bridged ?? [])
  for (const part of message.state.bridged ?? []) {
    if (already.has(part)) continue
    const tests = r.knowledge.checks.filter((c) => c.carState?.bridged?.includes(part))
    const refusals = await Promise.all(tests.map((check) => mayNot(input, check)))
    if (refusals.some((x) => x === undefined)) continue
    const first = refusals[0] ?? {
      code: 'caution-first' as const,
      text: t('refuse.caution-first'),
      mend: t('refuse.caution-first.mend', { list: names.part(part) }),
    }
    return { refuse: { ...first, field: 'state.bridged' } }
  }
  return { events: [{ ...stamp(input), type: 'car-state', state: message.state }], say: t('noted.carstate') }
}
