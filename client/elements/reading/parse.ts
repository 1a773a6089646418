import type { AskBody } from '../../../rules/protocol/index.ts'

type Item = { check: string; reading?: { value: number; unit: ReadingUnit; instrument?: string }; text?: string }
export type ReadingUnit = NonNullable<AskBody['reading']>['unit']

/** A plain number with a decimal point or comma, as typed; undefined for anything else. */
export function plainNumber(typed: string): number | undefined {
  const text = typed.trim().replace('−', '-')
  return /^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(',', '.')) : undefined
}

/** The answer to send for what stands in the field: a plain number is a reading, all else goes as words for the server to read. */
export function answerOf(check: string, typed: string, unit: ReadingUnit, instrument?: string): Item {
  const value = plainNumber(typed)
  return value === undefined
    ? { check, text: typed.trim() }
    : { check, reading: { value, unit, ...(instrument && { instrument }) } }
}
