import { distance } from 'fastest-levenshtein'

/** What can be wrong with what somebody asked of the wiring model. */
export type WiringProblem =
  | 'impossible-netlist'
  | 'unknown-part'
  | 'unknown-node'
  | 'unknown-cause'
  | 'unknown-state'
  | 'bad-facts'
  | 'bad-instrument'
  | 'no-solution'

/** Says what was wrong, where, and what to do about it. */
export class WiringError extends Error {
  override readonly name = 'WiringError'
  readonly code: WiringProblem
  /** id or JSON path of the thing at fault */
  readonly where: string
  readonly mend: string

  constructor(code: WiringProblem, where: string, what: string, mend: string) {
    super(`${where}: ${what}. ${mend}.`)
    this.code = code
    this.where = where
    this.mend = mend
  }
}

/** The few ids nearest in spelling, for a message. */
export const near = (word: string, known: Iterable<string>): string => nearest(word, known).join(', ')

export function nearest(word: string, known: Iterable<string>): string[] {
  return [...known]
    .map((id) => ({ id, off: word !== '' && id.includes(word) ? 0 : distance(word, id) }))
    .filter((s) => s.off <= Math.max(3, word.length / 2))
    .sort((a, b) => a.off - b.off || (a.id < b.id ? -1 : 1))
    .slice(0, 4)
    .map((s) => s.id)
}
