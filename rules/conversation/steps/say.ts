import type { CaseEvent, StepMessage } from '../../protocol/index.ts'
import { circumstancesOf, complaintsOf } from '../case-state.ts'
import { type Decision, type StepInput, stamp, type Unsent } from './types.ts'

/** Free words, or complaints and circumstances picked from the list. Nothing is concluded from words not understood. */
export async function say(input: StepInput): Promise<Decision> {
  const message = input.message as Extract<StepMessage, { type: 'say' }>
  const { names, r, state } = input
  const { t } = names
  const events: CaseEvent[] = []
  const words: Record<string, string> = {}
  let key: string | undefined
  if (message.text !== undefined) {
    key = input.outside.newId()
    words[key] = message.text
  }
  const picked = (message.complaints?.length ?? 0) + (message.circumstances?.length ?? 0) > 0
  if (picked) {
    for (const [i, id] of (message.complaints ?? []).entries()) {
      if (!r.knowledge.complaints.some((c) => c.id === id)) return unknown(input, id, `complaints[${i}]`)
    }
    for (const [i, id] of (message.circumstances ?? []).entries()) {
      if (!r.knowledge.circumstances.some((c) => c.id === id)) return unknown(input, id, `circumstances[${i}]`)
    }
    return record(input, events, words, key, message.complaints ?? [], message.circumstances ?? [])
  }
  if (message.text === undefined) {
    return {
      refuse: { code: 'not-understood', text: t('refuse.nothing'), mend: t('refuse.nothing.mend'), field: 'text' },
    }
  }
  const understood = input.understand(message.text)
  const complaints = understood.complaints.map((c) => c.id)
  const circumstances = understood.circumstances.map((c) => c.id)
  if (understood.sure && complaints.length > 0) return record(input, events, words, key, complaints, circumstances)
  // Once the complaint is known, a circumstance alone is something to write down.
  if (
    circumstances.length > 0 &&
    complaints.length === 0 &&
    complaintsOf(state).length > 0 &&
    understood.domain !== 'out'
  ) {
    return record(input, events, words, key, [], circumstances)
  }
  events.push({ ...stamp(input), type: 'said', words: key, complaints: [], circumstances: [], sure: false })
  const options = understood.options.length > 0 ? understood.options : r.knowledge.complaints.map((c) => c.id)
  const reply: Unsent = {
    type: 'understood',
    sure: false,
    text: understood.domain === 'out' ? t('understood.out') : t('understood.unsure'),
    complaints: [],
    circumstances: circumstances.map((id) => ({ id, name: names.circumstance(id) })),
    options: options.map((id) => option(input, id)),
  }
  return { events, words, replies: [reply] }
}

function record(
  input: StepInput,
  events: CaseEvent[],
  words: Record<string, string>,
  key: string | undefined,
  complaints: string[],
  circumstances: string[],
): Decision {
  const { names, state } = input
  const { t } = names
  const before = new Set([...complaintsOf(state), ...circumstancesOf(state)])
  const list = [...complaints.map(names.complaint), ...circumstances.map(names.circumstance)].join('; ')
  const newComplaints = complaints.filter((id) => !before.has(id))
  const newCircumstances = circumstances.filter((id) => !before.has(id))
  if (newComplaints.length + newCircumstances.length > 0 || key)
    events.push({
      ...stamp(input),
      type: 'said',
      ...(key ? { words: key } : {}),
      complaints: newComplaints,
      circumstances: newCircumstances,
      sure: true,
    })
  const reply: Unsent = {
    type: 'understood',
    sure: true,
    text: t('understood.sure', { list }),
    complaints: complaints.map((id) => ({ id, name: names.complaint(id) })),
    circumstances: circumstances.map((id) => ({ id, name: names.circumstance(id) })),
    options: [],
  }
  return { events, words, replies: [reply], say: t('noted.said', { list }) }
}

export function option({ names }: Pick<StepInput, 'names'>, id: string) {
  const file = names.knowledge.complaints.find((c) => c.id === id)
  return { id, name: file?.text.name ?? id, plain: file?.text.plain ?? id }
}

const unknown = (input: StepInput, id: string, field: string): Decision => ({
  refuse: {
    code: 'unknown-complaint',
    text: input.names.t('refuse.unknown-complaint', { id }),
    mend: input.names.t('refuse.unknown-complaint.mend'),
    field,
  },
})
