import type { AnswerItem, CaseEvent, Reading } from '../../protocol/index.ts'
import { mayHold } from '../../reasoning/condition.ts'
import type { Unit } from '../../schema/car.ts'
import { factsOf } from '../../schema/conditions.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import { learnedOf } from '../case-state.ts'
import { outcomeOfReading } from '../turn.ts'
import { DONT_KNOW, type UnderstoodAnswer, understandAnswer } from '../words/index.ts'
import { judgeBlocks, readsBlocks } from './blocks.ts'
import { type Decision, type Refusal, type StepInput, stamp, type Unsent } from './types.ts'

/** Powers of ten between units of one quantity, so that 31700 mV is not refused where volts are asked. */
const SAME_QUANTITY: Record<string, { unit: Unit; factor: number }[]> = {
  V: [{ unit: 'mV', factor: 1e-3 }],
  mV: [{ unit: 'V', factor: 1e3 }],
  Ω: [
    { unit: 'kΩ', factor: 1e3 },
    { unit: 'MΩ', factor: 1e6 },
  ],
  kΩ: [
    { unit: 'Ω', factor: 1e-3 },
    { unit: 'MΩ', factor: 1e3 },
  ],
  MΩ: [
    { unit: 'kΩ', factor: 1e-3 },
    { unit: 'Ω', factor: 1e-6 },
  ],
}

/** One or several answers, asked for or not; all are taken or, where one cannot be, none. */
export async function answer(input: StepInput): Promise<Decision> {
  const { message, names } = input
  if (message.type !== 'answer') throw new Error('not an answer')
  const events: CaseEvent[] = []
  const words: Record<string, string> = {}
  const current = (await input.turn()).current
  const asked = current && current.kind !== 'complaint' ? current.check.id : undefined
  for (const [i, item] of message.answers.entries()) {
    const field = `answers[${i}]`
    const check = names.check(item.check)
    if (!check) {
      return refuse(
        `${field}.check`,
        'unknown-check',
        names.t('refuse.unknown-check', { id: item.check }),
        names.t('refuse.unknown-check.mend'),
      )
    }
    const not = await mayNot(input, check)
    if (not) return { refuse: { ...not, field: `${field}.check` } }
    const one = read(input, check, item, field)
    if ('refuse' in one) return one
    if ('unsure' in one) return { events: [], replies: [unsure(input, check, one.unsure)] }
    const event: CaseEvent = { ...stamp(input), type: 'answered', check: check.id, ...one }
    if (check.id !== asked) event.unasked = true
    if (item.text !== undefined && one.outcome === undefined) {
      const key = input.outside.newId()
      words[key] = item.text
      event.words = key
    }
    events.push(event)
  }
  // Words that were made an answer of are said back: somebody who was misunderstood has to see it.
  const typed = message.answers.flatMap((item, i) => {
    const e = events[i]
    return item.text !== undefined && e?.type === 'answered' ? [names.answer(e)] : []
  })
  const say = typed.length > 0 ? names.t('noted.typed', { answer: typed.join(', ') }) : undefined
  return { events, words, compare: 'answered', ...(say ? { say } : {}) }
}

type One = { outcome?: string; reading?: Reading; blocks?: number[] }

function read(
  input: StepInput,
  check: CheckFile,
  item: AnswerItem,
  field: string,
): One | { refuse: Refusal } | { unsure: string[] } {
  const { names, r } = input
  const list = check.outcomes.map((o) => o.id).join(', ')
  if (item.blocks) return blocksOf(input, check, item.blocks, `${field}.blocks`)
  if (item.reading) return number(input, check, item.reading, `${field}.reading`)
  if (item.outcome !== undefined) {
    if (item.outcome === DONT_KNOW || check.outcomes.some((o) => o.id === item.outcome))
      return { outcome: item.outcome }
    return refuse(
      `${field}.outcome`,
      'unknown-outcome',
      names.t('refuse.unknown-outcome', { check: check.text.ask, id: item.outcome }),
      names.t('refuse.unknown-outcome.mend', { list }),
    )
  }
  if (item.text === undefined || item.text.trim() === '') {
    return refuse(
      field,
      'not-understood',
      names.t('refuse.no-answer', { check: check.text.ask }),
      names.t('refuse.no-answer.mend'),
    )
  }
  const understood = understandAnswer(item.text, check, { language: names.language, words: names.words })
  switch (understood.kind) {
    case 'outcome':
      return { outcome: understood.outcome }
    case 'reading': {
      const file = check.observable ? r.lookup.observableFile.get(check.observable) : undefined
      return file ? number(input, check, understood.reading, `${field}.text`) : { outcome: DONT_KNOW }
    }
    case 'unsure':
      return { unsure: understood.options }
    case 'problem':
      return problem(input, check, item.text, understood, `${field}.text`)
  }
}

/** The volts of each block: kept as they were read, and the outcome that they come to. */
function blocksOf(input: StepInput, check: CheckFile, volts: number[], field: string): One | { refuse: Refusal } {
  const { names, state } = input
  if (!readsBlocks(check)) {
    const list = check.outcomes.map((o) => names.outcome(check, o.id).label).join(', ')
    const text = names.t('refuse.blocks', { check: names.check(check.id)?.text.ask ?? check.id })
    return refuse(field, 'no-reading', text, names.t('refuse.blocks.mend', { list }))
  }
  // A block that takes more than the pack's nominal volts leave it, half as much again, is a slip of the finger.
  const most = state.facts.packVolts === undefined ? 60 : (1.5 * state.facts.packVolts) / volts.length
  const wrong = volts.findIndex((v) => v > most)
  if (wrong >= 0) {
    const text = names.t('refuse.block-volts', { volts: names.number(volts[wrong]!), count: volts.length })
    return refuse(`${field}[${wrong}]`, 'out-of-range', text, names.t('refuse.block-volts.mend'))
  }
  return { blocks: volts, outcome: judgeBlocks(check.id, volts).outcome }
}

/** Readings are read in English, and so are what is wrong with them; in another language it is said more shortly. */
function problem(
  { names }: StepInput,
  check: CheckFile,
  typed: string,
  understood: Extract<UnderstoodAnswer, { kind: 'problem' }>,
  field: string,
): { refuse: Refusal } {
  const { code } = understood
  if (names.language.startsWith('en') || !check.reading) return refuse(field, code, understood.text, understood.mend)
  const { unit, min, max } = check.reading
  const text = typed.trim().slice(0, 60)
  const { t } = names
  if (code === 'wrong-unit')
    return refuse(
      field,
      code,
      t('refuse.typed-unit', { text, want: unit }),
      t('refuse.wrong-unit.mend', { want: unit }),
    )
  if (code === 'out-of-range')
    return refuse(field, code, t('refuse.typed-range', { text, unit, min, max }), t('refuse.out-of-range.mend'))
  return refuse(field, code, t('refuse.not-understood', { text }), t('refuse.not-understood.mend'))
}

function number(input: StepInput, check: CheckFile, given: Reading, field: string): One | { refuse: Refusal } {
  const { names, r, state } = input
  const wanted = check.reading
  if (!wanted) {
    return refuse(
      field,
      'no-reading',
      names.t('refuse.no-reading', { check: check.text.ask }),
      names.t('refuse.no-reading.mend', { list: check.outcomes.map((o) => o.id).join(', ') }),
    )
  }
  let { value } = given
  if (given.unit !== wanted.unit) {
    const factor = SAME_QUANTITY[wanted.unit]?.find((x) => x.unit === given.unit)?.factor
    if (factor === undefined) {
      return refuse(
        `${field}.unit`,
        'wrong-unit',
        names.t('refuse.wrong-unit', { check: check.text.ask, want: wanted.unit, got: given.unit }),
        names.t('refuse.wrong-unit.mend', { want: wanted.unit }),
      )
    }
    value *= factor
  }
  if (value < wanted.min || value > wanted.max) {
    return refuse(
      `${field}.value`,
      'out-of-range',
      names.t('refuse.out-of-range', {
        value: names.number(value),
        unit: wanted.unit,
        min: wanted.min,
        max: wanted.max,
      }),
      names.t('refuse.out-of-range.mend'),
    )
  }
  const reading: Reading = { value, unit: wanted.unit, instrument: given.instrument ?? wanted.instrument }
  const weights = r.weightsOf({ kind: 'answer', check: check.id, value }, state.facts, learnedOf(state))
  const outcome = weights ? outcomeOfReading(r, check, weights) : undefined
  return outcome === undefined ? { reading } : { reading, outcome }
}

/** Why this check may not be answered now, if so: the wrong role, not in this car, or other proofs have to come first. */
export async function mayNot(input: StepInput, check: CheckFile): Promise<Refusal | undefined> {
  const { names, caller } = input
  const { t } = names
  const asker = caller.role === 'customer' ? 'customer' : 'technician'
  if (!check.who.includes(asker)) {
    return { code: 'not-your-role', text: t('refuse.not-your-role'), mend: t('refuse.not-your-role.mend') }
  }
  const turn = await input.turn()
  if (turn.stops.length > 0 && asker === 'customer') {
    return { code: 'stopped', text: t('refuse.stopped'), mend: t('refuse.stopped.mend') }
  }
  if (!check.when || input.r.appliesTo(turn.standing, check, turn.situation) > 0) return undefined
  // Would it apply if everything that has to be shown first had been shown? Then it is too early, else not in this car.
  const missing = factsOf(check.when).filter((f) => f.includes(':'))
  if (missing.length > 0 && !mayHold(check.when, input.state.facts)) {
    return notInThisCar(names, check)
  }
  if (missing.length === 0) return notInThisCar(names, check)
  const list = missing
    .map((f) => f.split(/:(.*)/s) as [string, string])
    .filter(
      ([kind, id]) =>
        (kind === 'answer' && !input.state.given.some((g) => g.check === id && !g.stale)) ||
        (kind === 'acknowledged' && !input.state.acknowledged.has(id)),
    )
    .map(([kind, id]) =>
      kind === 'answer'
        ? (names.check(id)?.text.ask ?? id)
        : (names.knowledge.cautions.find((c) => c.id === id)?.text.hazard ?? id),
    )
  return {
    code: 'caution-first',
    text: t('refuse.caution-first'),
    mend: t('refuse.caution-first.mend', { list: [...new Set(list)].map((x) => x.replace(/[.?]$/, '')).join(' · ') }),
  }
}

const notInThisCar = (names: StepInput['names'], check: CheckFile): Refusal => ({
  code: 'not-in-this-car',
  text: names.t('refuse.not-in-this-car', { check: names.check(check.id)?.text.ask ?? check.id }),
  mend: names.t('refuse.not-in-this-car.mend'),
})

function unsure(input: StepInput, check: CheckFile, options: string[]): Unsent {
  const { names } = input
  const ids = options.length > 0 ? options : check.outcomes.map((o) => o.id)
  return {
    type: 'understood',
    sure: false,
    text: names.t('understood.answer'),
    complaints: [],
    circumstances: [],
    check: check.id,
    options: ids.map((id) => {
      const { label, small } = names.outcome(check, id)
      return { id, name: label, plain: small ?? label }
    }),
  }
}

function refuse(field: string, code: Refusal['code'], text: string, mend: string): { refuse: Refusal } {
  return { refuse: { code, text, mend, field } }
}
