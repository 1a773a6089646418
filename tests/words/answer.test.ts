import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type AnswerableCheck, understandAnswer } from '../../rules/conversation/words/index.ts'
import { shippedKnowledge } from './knowledge.ts'

const en = { language: 'en' }
const check = (
  ask: string,
  outcomes: Record<string, string>,
  reading?: AnswerableCheck['reading'],
): AnswerableCheck => ({
  id: 'a-check',
  outcomes: Object.keys(outcomes).map((id) => ({ id })),
  reading,
  text: { ask, outcomes },
})
const outcome = (text: string, of: AnswerableCheck) => {
  const answer = understandAnswer(text, of, en)
  return answer.kind === 'outcome' ? answer.outcome : answer.kind
}

const yesNo = check('Did it begin just after a charge?', { yes: 'Yes', no: 'No' })
const lamp = check('Does the lamp light at click 2?', { lit: 'Lit', dim: 'Dim or flickers', dark: 'Dark' })
const clicks = check('What did you hear?', { all: 'Several clicks, one by one', one: 'One click', none: 'No sound' })
const volts = check(
  'What does the bus bar read at click 3?',
  { 'as-it-should': 'As it should', none: 'Nothing', same: 'The same as at the click before' },
  { unit: 'V', min: 0, max: 80 },
)

describe('yes and no', () => {
  it.each(['yes', 'Yeah it does', 'yep', 'sure', 'I think so', 'Yes, straight after.'])('%s', (text) =>
    expect(outcome(text, yesNo)).toBe('yes'),
  )
  it.each(['no', 'nope', "No it didn't", 'not really', "it doesn't", 'not that I know of'])('%s', (text) =>
    expect(outcome(text, yesNo)).toBe('no'),
  )
  it.each(['maybe', 'yes and no', 'banana', ''])('%j is asked again', (text) => {
    expect(understandAnswer(text, yesNo, en)).toEqual({ kind: 'unsure', unsure: true, options: ['yes', 'no'] })
  })
  it('finds the outcome that repeats the question', () => {
    expect(outcome('yes', lamp)).toBe('lit')
    expect(outcome('no', lamp)).toBe('dark')
    const dark = check('Key off: is the bus bar dark?', { dark: 'Dark', lit: 'Lit' })
    expect(outcome('yes', dark)).toBe('dark')
    expect(outcome('no', dark)).toBe('lit')
  })
  it('takes neither where the question asks how or what', () => expect(outcome('yes', clicks)).toBe('unsure'))
})

describe("I don't know", () => {
  it.each(['not sure', 'dunno', "I don't know", 'no idea', "can't remember", "didn't look"])('%s', (text) => {
    for (const of of [yesNo, lamp, clicks, volts]) expect(outcome(text, of)).toBe('dont-know')
  })
})

describe('words of an outcome', () => {
  it.each([
    ["it's lit", 'lit'],
    ['it lights up', 'lit'],
    ['not lit', 'dark'],
    ['no light', 'dark'],
    ["doesn't light", 'dark'],
    ['yes but only dimly', 'dim'],
    ['flickers', 'dim'],
  ])('%s', (text, id) => expect(outcome(text, lamp)).toBe(id))
  it.each([
    ['the second one', 'one'],
    ['last one', 'none'],
    ['one click', 'one'],
    ['silence', 'none'],
    ['no sound at all', 'none'],
    ['several', 'all'],
  ])('%s', (text, id) => expect(outcome(text, clicks)).toBe(id))
  it('asks when two things are said at once', () => expect(outcome('no, it lights', lamp)).toBe('unsure'))
})

describe('numbers', () => {
  it.each([
    ['about 31 volts', 31],
    ['31,2', 31.2],
    ['31.2 V', 31.2],
    ['thirty one', 31],
    ['31200 mV', 31.2],
  ])('%s', (text, value) => {
    expect(understandAnswer(text, volts, en)).toEqual({ kind: 'reading', reading: { value, unit: 'V' } })
  })
  it('says what is wrong with a unit, and what to do', () => {
    const answer = understandAnswer('12 ohms', volts, en)
    expect(answer).toMatchObject({ kind: 'problem', code: 'wrong-unit' })
    if (answer.kind === 'problem') expect(answer.mend.length).toBeGreaterThan(10)
  })
  it('says when it is out of range', () => {
    expect(understandAnswer('400 V', volts, en)).toMatchObject({ kind: 'problem', code: 'out-of-range' })
  })
  it('takes words where there is no number', () => {
    expect(outcome('nothing', volts)).toBe('none')
    expect(outcome('same as before', volts)).toBe('same')
  })
})

describe('every check as shipped', () => {
  const { checks } = shippedKnowledge()
  it('takes each of its own labels, in any case, for that outcome', () => {
    for (const c of checks) {
      for (const { id } of c.outcomes) {
        const label = c.text.outcomes[id]!
        expect(outcome((typeof label === 'string' ? label : label.label).toUpperCase(), c), c.id).toBe(id)
      }
    }
  })
  it('reads any text without throwing, the same way each time, into outcomes that it has', () => {
    fc.assert(
      fc.property(fc.constantFrom(...checks), fc.string({ unit: 'binary', maxLength: 80 }), (c, text) => {
        const answer = understandAnswer(text, c, en)
        expect(understandAnswer(text, c, en)).toEqual(answer)
        const ids = new Set([...c.outcomes.map((o) => o.id), 'dont-know'])
        if (answer.kind === 'outcome') expect(ids.has(answer.outcome)).toBe(true)
        if (answer.kind === 'unsure') expect(answer.options.every((id) => ids.has(id))).toBe(true)
        if (answer.kind === 'reading') expect(Number.isFinite(answer.reading.value)).toBe(true)
      }),
      { seed: 7, numRuns: 500 },
    )
  })
})
