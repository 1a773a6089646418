import type { StepMessage } from '../../protocol/index.ts'
import { cautionBody } from '../compose/caution.ts'
import { notAgreed, notAskedWhy } from './agreed.ts'
import { mayNot } from './answer.ts'
import { type Decision, type StepInput, stamp, technicianOnly } from './types.ts'

type Of<T extends StepMessage['type']> = Extract<StepMessage, { type: T }>

export async function facts(input: StepInput): Promise<Decision> {
  const message = input.message as Of<'facts'>
  const tag = message.tag === undefined ? {} : { tag: message.tag }
  return {
    events: [{ ...stamp(input), type: 'facts', facts: message.facts, ...tag }],
    say: input.names.t('noted.facts'),
  }
}

export async function retract(input: StepInput): Promise<Decision> {
  const { check } = input.message as Of<'retract'>
  const { t } = input.names
  const given = input.state.given.find((g) => g.check === check)
  if (!given) {
    return {
      refuse: {
        code: 'not-answered',
        text: t('refuse.not-answered', { id: check }),
        mend: t('refuse.not-answered.mend'),
        field: 'check',
      },
    }
  }
  if (input.caller.role === 'customer' && given.by !== 'customer') return { refuse: technicianOnly(input) }
  return { events: [{ ...stamp(input), type: 'retracted', check }], compare: 'retracted', retracted: check }
}

export async function pick(input: StepInput): Promise<Decision> {
  const { check } = input.message as Of<'pick'>
  const { t } = input.names
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  if (check !== null) {
    const file = input.r.check(check)
    if (!file) {
      return {
        refuse: {
          code: 'unknown-check',
          text: t('refuse.unknown-check', { id: check }),
          mend: t('refuse.unknown-check.mend'),
          field: 'check',
        },
      }
    }
    const not = await mayNot(input, file)
    if (not) return { refuse: { ...not, field: 'check' } }
  }
  return { events: [{ ...stamp(input), type: 'picked', check }] }
}

export async function acknowledge(input: StepInput): Promise<Decision> {
  const { caution } = input.message as Of<'acknowledge'>
  const { t } = input.names
  if (!input.r.knowledge.cautions.some((c) => c.id === caution)) {
    return {
      refuse: {
        code: 'unknown-caution',
        text: t('refuse.unknown-caution', { id: caution }),
        mend: t('refuse.unknown-caution.mend'),
        field: 'caution',
      },
    }
  }
  if (input.state.acknowledged.has(caution)) return { events: [], say: t('noted.same') }
  return { events: [{ ...stamp(input), type: 'acknowledged', caution }], say: t('noted.acknowledged') }
}

export async function tell(input: StepInput): Promise<Decision> {
  const { text } = input.message as Of<'tell'>
  const key = input.outside.newId()
  return {
    events: [{ ...stamp(input), type: 'told', words: key }],
    words: { [key]: text },
    say: input.names.t('noted.told'),
  }
}

export async function repaired(input: StepInput): Promise<Decision> {
  const { remedy } = input.message as Of<'repaired'>
  const { t } = input.names
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const file = input.names.knowledge.remedies.find((x) => x.id === remedy)
  if (!file) {
    return {
      refuse: {
        code: 'unknown-remedy',
        text: t('refuse.unknown-remedy', { id: remedy }),
        mend: t('refuse.unknown-remedy.mend'),
        field: 'remedy',
      },
    }
  }
  const not = notAgreed(input, remedy) ?? (await notAskedWhy(input, remedy))
  if (not) return { refuse: { ...not, field: 'remedy' } }
  // The work is done; a caution not acknowledged before is shown now rather than the record refused.
  const missed = (file.cautions ?? []).filter((id) => !input.state.acknowledged.has(id))
  const replies = missed.map((id) => input.r.knowledge.cautions.find((c) => c.id === id)!).filter((c) => c.acknowledge)
  return {
    events: [{ ...stamp(input), type: 'repaired', remedy }],
    say: t('noted.repaired', { name: file.text.name }),
    replies:
      replies.length > 0
        ? [
            {
              type: 'caution',
              stop: false,
              cautions: replies.map((c) =>
                cautionBody(input.names.caution(c), input.caller.role, input.state.acknowledged),
              ),
            },
          ]
        : [],
  }
}

export async function close(input: StepInput): Promise<Decision> {
  const { note } = input.message as Of<'close'>
  const { t } = input.names
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const bridged = input.state.setUp.carState.bridged ?? []
  if (bridged.length > 0) {
    return {
      refuse: {
        code: 'bridged',
        text: t('refuse.bridged', { part: bridged.map(input.names.part).join(', ') }),
        mend: t('refuse.bridged.mend'),
        field: 'type',
      },
    }
  }
  const lifted = input.state.setUp.carState.lifted ?? []
  if (lifted.length > 0) {
    return {
      refuse: {
        code: 'leads-lifted',
        text: t('refuse.leads-lifted', { part: lifted.map(input.names.part).join(', ') }),
        mend: t('refuse.leads-lifted.mend'),
        field: 'type',
      },
    }
  }
  if (note === undefined) return { events: [{ ...stamp(input), type: 'closed' }], say: t('noted.closed') }
  const key = input.outside.newId()
  return {
    events: [{ ...stamp(input), type: 'closed', words: key }],
    words: { [key]: note },
    say: t('noted.closed'),
  }
}
