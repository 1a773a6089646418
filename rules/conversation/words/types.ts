import type { Unit } from '../../schema/car.ts'

/** A complaint or circumstance id and how well the words fit it: 0 not at all, 1 as well as words can. */
export interface Scored {
  id: string
  score: number
}

/** What was made of somebody's own words. Nothing here is recorded unless `sure`; otherwise ask, with `options`. */
export interface Understanding {
  /** likeliest first; when not `sure`, the best guess so far or none */
  complaints: Scored[]
  /** what went before or when it happens; in order of score */
  circumstances: Scored[]
  /** true: `complaints` may be recorded and shown back; false: ask which of `options` it is */
  sure: boolean
  /** complaint ids to offer, likeliest first, at most four; empty when the words are about something else */
  options: string[]
  /** `out`: not a complaint about such a car; `unsure`: nothing in it says either */
  domain: 'in' | 'out' | 'unsure'
  /** what was said not to happen, one lexicon word or concept each: "click" in "no click" */
  negated: string[]
}

export type Understand = (text: string) => Understanding

/** The parts of a check that a typed answer is read against. */
export interface AnswerableCheck {
  id: string
  outcomes: readonly { id: string }[]
  reading?: { unit: Unit; min: number; max: number; instrument?: string; step?: number } | undefined
  text: {
    /** the question, so that "yes" finds its outcome where none is called so */
    ask?: string
    outcomes: Readonly<Record<string, string | { label: string; small?: string | undefined }>>
  }
}

/** The `refused` codes of the protocol that typed words can meet. */
export type AnswerProblemCode = 'wrong-unit' | 'out-of-range' | 'no-reading' | 'not-understood'

/** What was made of a typed answer to a check. */
export type UnderstoodAnswer =
  | { kind: 'outcome'; outcome: string }
  | { kind: 'reading'; reading: { value: number; unit: Unit } }
  /** several outcomes fit, or none surely: ask which; outcome ids, likeliest first */
  | { kind: 'unsure'; unsure: true; options: string[] }
  | { kind: 'problem'; code: AnswerProblemCode; text: string; mend: string }

export const DONT_KNOW = 'dont-know'
