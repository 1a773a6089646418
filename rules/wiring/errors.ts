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
export function near(word: string, known: Iterable<string>): string {
  const bits = word.split(/[.-]/)
  const scored = [...known]
    .map((id) => ({ id, score: bits.filter((bit) => bit.length > 1 && id.includes(bit)).length }))
    .filter((s) => s.score > 0)
    .sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1))
  return scored
    .slice(0, 4)
    .map((s) => s.id)
    .join(', ')
}
