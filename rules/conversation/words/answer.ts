import type { AnswerableCheck, UnderstoodAnswer } from './types.ts'
import { DONT_KNOW } from './types.ts'

const YES = /^(y|yes|yeah|yep|yup|sure|it does|correct|right|ok)\b/
const NO = /^(n|no|nope|nah|it does not|it doesn't|negative)\b/
const UNKNOWN = /\b(do not|don't|dont) know\b|\bdunno\b|\bnot sure\b|\bno idea\b/

/** Reads a typed answer against one check. Never throws. `options.language` chooses the words. */
export function understandAnswer(
  text: string,
  check: AnswerableCheck,
  _options: { language: string },
): UnderstoodAnswer {
  const said = text.toLowerCase().replaceAll('’', "'").trim()
  if (UNKNOWN.test(said)) return { kind: 'outcome', outcome: DONT_KNOW }
  const ids = check.outcomes.map((o) => o.id)
  const number = /-?\d+(?:[.,]\d+)?/.exec(said)
  if (check.reading && number) {
    const value = Number(number[0].replace(',', '.'))
    if (value < check.reading.min || value > check.reading.max) {
      return {
        kind: 'problem',
        code: 'out-of-range',
        text: `${value} ${check.reading.unit} is outside what this check can read.`,
        mend: `Give a number from ${check.reading.min} to ${check.reading.max} ${check.reading.unit}.`,
      }
    }
    return { kind: 'reading', reading: { value, unit: check.reading.unit } }
  }
  if (YES.test(said) && ids.includes('yes')) return { kind: 'outcome', outcome: 'yes' }
  if (NO.test(said) && ids.includes('no')) return { kind: 'outcome', outcome: 'no' }
  for (const id of ids) {
    const label = check.text.outcomes[id]
    const words = (typeof label === 'string' ? label : (label?.label ?? '')).toLowerCase()
    if (words && (said === words || said === id)) return { kind: 'outcome', outcome: id }
  }
  return { kind: 'unsure', unsure: true, options: ids }
}
