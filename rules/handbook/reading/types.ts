import type { Unit } from '../units.ts'

/** What the check asks for. */
export interface Expected {
  /** The unit the value is wanted in; anything of the same dimension is converted to it. */
  readonly expects: Unit
  /** An id of `instruments.ts`: its least and greatest reading bound the value. A tool without readings bounds nothing. */
  readonly instrument?: string
  /** Tighter limits of the check, in `expects`. */
  readonly min?: number
  readonly max?: number
  /** True if the field already shows the unit, so that a bare number is meant in it. */
  readonly unitShown?: boolean
}

export type NoteCode =
  | 'approximate'
  | 'range'
  | 'at-least'
  | 'at-most'
  | 'over-range-display'
  | 'hydrometer-points'
  | 'minus-sign'
  | 'taken-as-zero'
  | 'one-way-to-read-it'

/** How the words were taken; to be shown back, so that a wrong understanding is seen. */
export interface Note {
  readonly code: NoteCode
  readonly message: string
}

export interface Reading {
  readonly ok: true
  /** In `unit`; the middle of a range; the limit itself for a bound. Always finite. */
  readonly value: number
  /** The unit asked for. */
  readonly unit: Unit
  /** Ends of a range, in `unit`, `from` ≤ `to`. */
  readonly from?: number
  readonly to?: number
  /** The true value is `value` or more (an ohmmeter shows over range), or `value` or less. */
  readonly bound?: 'at-least' | 'at-most'
  readonly approximate: boolean
  /** Step of the last digit typed, in `unit`: "31" is known to 1 V, "31.20" to 0.01 V. */
  readonly step: number
  readonly notes: readonly Note[]
  /** As typed. */
  readonly typed: string
}

export type ProblemCode =
  | 'empty'
  | 'too-long'
  | 'no-number'
  | 'negated'
  | 'several-numbers'
  | 'ambiguous-number'
  | 'no-unit'
  | 'unknown-unit'
  | 'ambiguous-unit'
  | 'wrong-unit'
  | 'mixed-units'
  | 'negative'
  | 'below-range'
  | 'above-range'
  | 'over-range-display'
  | 'not-a-number-instrument'

/** Something that was perhaps meant: one tap, and it is the answer. */
export interface Suggestion {
  readonly value: number
  readonly unit: Unit
  readonly text: string
}

/** In plain English; `typed` keeps what was typed: nothing is lost. */
export interface ReadingProblem {
  readonly ok: false
  readonly code: ProblemCode
  /** What was wrong, a sentence. */
  readonly wrong: string
  /** What to do, a sentence. */
  readonly mend: string
  /** Both. */
  readonly message: string
  readonly suggestions: readonly Suggestion[]
  readonly typed: string
}

export type ParsedReading = Reading | ReadingProblem
