import type { CaseEvent, StepMessage } from '../../protocol/index.ts'
import { approvedUpTo, toDo } from '../../record/work.ts'
import { type Decision, type Refusal, type StepInput, stamp, technicianOnly } from './types.ts'

type Of<T extends StepMessage['type']> = Extract<StepMessage, { type: T }>

/** How to reach the customer. Name and phone go beside the log; sending neither takes them away. */
export async function contact(input: StepInput): Promise<Decision> {
  const { name, phone } = input.message as Of<'contact'>
  const words: Record<string, string> = {}
  const keep = (text: string | undefined, part: 'name' | 'phone') => {
    if (!text) return {}
    const key = input.outside.newId()
    words[key] = text
    return { [part]: key }
  }
  return {
    events: [{ ...stamp(input), type: 'contact', ...keep(name, 'name'), ...keep(phone, 'phone') }],
    words,
    say: input.names.t(name || phone ? 'noted.contact' : 'noted.contact.none'),
  }
}

/** What the customer agreed to, and up to which amount; customers may say so themselves. */
export async function approve(input: StepInput): Promise<Decision> {
  const { remedies, upTo, way, who } = input.message as Of<'approve'>
  const not = unknownRemedy(input, remedies)
  if (not) return { refuse: not }
  const kept = beside(input, who)
  const currency = input.state.money.currency
  return {
    events: [
      {
        ...stamp(input),
        type: 'approved',
        remedies,
        upTo,
        way,
        ...(currency === undefined ? {} : { currency }),
        ...kept.key,
      },
    ],
    words: kept.words,
    say: input.names.t('noted.approved', { list: namesOf(input, remedies) }),
  }
}

export async function decline(input: StepInput): Promise<Decision> {
  const { remedies, who } = input.message as Of<'decline'>
  const not = unknownRemedy(input, remedies)
  if (not) return { refuse: not }
  const kept = beside(input, who)
  return {
    events: [{ ...stamp(input), type: 'declined', remedies, ...kept.key }],
    words: kept.words,
    say: input.names.t('noted.declined', { list: namesOf(input, remedies) }),
  }
}

/** Why it failed: asked before a costly part is fitted, so that the new one does not follow the old. */
export async function rootCause(input: StepInput): Promise<Decision> {
  const { root, found, text } = input.message as Of<'root-cause'>
  const { t } = input.names
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const file = input.names.knowledge.rootCauses.find((c) => c.id === root)
  if (!file) {
    return {
      refuse: {
        code: 'unknown-root-cause',
        text: t('refuse.unknown-root-cause', { id: root }),
        mend: t('refuse.unknown-root-cause.mend'),
        field: 'root',
      },
    }
  }
  const kept = beside(input, text)
  return {
    events: [{ ...stamp(input), type: 'root-cause', root, found, ...kept.key }],
    words: kept.words,
    say: t('noted.root-cause', { name: file.text.name }),
  }
}

export async function handBack(input: StepInput): Promise<Decision> {
  const { items } = input.message as Of<'hand-back'>
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const events: CaseEvent[] = []
  const words: Record<string, string> = {}
  for (const { item, result, text } of items) {
    const left = item === 'bridges-out' ? stillBridged(input) : item === 'leads-back' ? stillLifted(input) : undefined
    if (left) return { refuse: { ...left, field: 'items' } }
    const kept = beside(input, text)
    Object.assign(words, kept.words)
    events.push({ ...stamp(input), type: 'handed-back', item, result, ...kept.key })
  }
  return { events, words, say: input.names.t('noted.handed-back') }
}

export async function signOff(input: StepInput): Promise<Decision> {
  const { charged, text } = input.message as Of<'sign-off'>
  const { t } = input.names
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const { state } = input
  const left = stillBridged(input) ?? stillLifted(input)
  if (left) return { refuse: left }
  if (state.repaired.length > 0 && !state.proved) {
    return { refuse: { code: 'not-proved', text: t('refuse.not-proved'), mend: t('refuse.not-proved.mend') } }
  }
  const open = toDo(state.work)
  if (open.length > 0) {
    return {
      refuse: {
        code: 'not-handed-back',
        text: t('refuse.not-handed-back', { list: open.map((item) => t(`hand-back.${item}`)).join('; ') }),
        mend: t('refuse.not-handed-back.mend'),
      },
    }
  }
  const upTo = approvedUpTo(state.work)
  if (charged !== undefined && upTo !== undefined && charged > upTo) {
    const { currency } = state.money
    const money = new Intl.NumberFormat(input.names.language, {
      ...(currency === undefined ? {} : { style: 'currency', currency }),
      trailingZeroDisplay: 'stripIfInteger',
    })
    return {
      refuse: {
        code: 'over-approved',
        text: t('refuse.over-approved', { charged: money.format(charged), upTo: money.format(upTo) }),
        mend: t('refuse.over-approved.mend'),
        field: 'charged',
      },
    }
  }
  const kept = beside(input, text)
  const currency = input.state.money.currency
  return {
    events: [
      {
        ...stamp(input),
        type: 'signed-off',
        ...(charged === undefined ? {} : { charged, ...(currency === undefined ? {} : { currency }) }),
        ...kept.key,
      },
    ],
    words: kept.words,
    say: t('noted.signed-off'),
  }
}

function beside(
  input: StepInput,
  text: string | undefined,
): { key: { words?: string }; words: Record<string, string> } {
  if (text === undefined) return { key: {}, words: {} }
  const key = input.outside.newId()
  return { key: { words: key }, words: { [key]: text } }
}

function unknownRemedy({ r, names }: StepInput, remedies: readonly string[]): Refusal | undefined {
  const known = new Set(r.knowledge.remedies.map((x) => x.id))
  const unknown = remedies.filter((id) => !known.has(id))
  if (unknown.length === 0) return undefined
  return {
    code: 'unknown-remedy',
    text: names.t('refuse.unknown-remedy', { id: unknown[0]! }),
    mend: names.t('refuse.unknown-remedy.mend'),
    field: `remedies[${remedies.indexOf(unknown[0]!)}]`,
  }
}

function stillBridged({ state, names }: StepInput): Refusal | undefined {
  const parts = state.setUp.carState.bridged ?? []
  if (parts.length === 0) return undefined
  return {
    code: 'bridged',
    text: names.t('refuse.bridged', { part: parts.map(names.part).join(', ') }),
    mend: names.t('refuse.bridged.mend'),
  }
}

function stillLifted({ state, names }: StepInput): Refusal | undefined {
  const parts = state.setUp.carState.lifted ?? []
  if (parts.length === 0) return undefined
  return {
    code: 'leads-lifted',
    text: names.t('refuse.leads-lifted', { part: parts.map(names.part).join(', ') }),
    mend: names.t('refuse.leads-lifted.mend'),
  }
}

const namesOf = ({ names }: StepInput, remedies: readonly string[]) =>
  remedies.map((id) => names.knowledge.remedies.find((x) => x.id === id)!.text.name).join('; ')
