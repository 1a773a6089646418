/** Something wrong with the knowledge, said so that a person who repairs cars and has never programmed can mend it. */
export interface Problem {
  /** path below rules/knowledge */
  file: string
  /** JSON path in that file, `$` for the whole */
  path: string
  what: string
  mend: string
}

export function formatProblem(p: Problem): string {
  return `${p.file} ${p.path}: ${p.what}. ${p.mend}`
}
