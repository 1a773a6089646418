import type { Reasoner } from '../../reasoning/reasoner.ts'
import type { RootCauseFile } from '../../schema/knowledge.ts'
import { HOLDS_FROM, type Turn } from '../turn.ts'
import type { Names } from './names.ts'

/** Why it failed: what is asked of a repair, and whether it has to be answered before the part is fitted. */
export interface AskedWhy {
  root: RootCauseFile
  first: boolean
}

/** What the causes of a repair and the repair itself ask, on this car; those of the causes first, each once. */
export function askedOf(r: Reasoner, turn: Turn, names: Names, remedy: string, causes: readonly string[]): AskedWhy[] {
  const k = names.knowledge
  const first = k.remedies.find((x) => x.id === remedy)?.askWhyFirst
  const ids = new Set([
    ...causes.flatMap((id) => {
      const cause = k.causes.find((c) => c.id === id)
      return cause?.remedy === remedy ? cause.rootCauses : []
    }),
    ...(first ?? []),
  ])
  const known = { ...turn.situation.caseFacts, ...turn.state.facts }
  return [...ids]
    .map((id) => k.rootCauses.find((c) => c.id === id)!)
    .filter((c) => !c.when || r.holdsWithProbability(turn.standing, c.when, known) >= HOLDS_FROM)
    .map((root) => ({ root, first: first !== undefined }))
}

/** The causes that a repair mends and that are still to be reckoned with, likeliest first. */
export function causesFor(r: Reasoner, turn: Turn, remedy: string): string[] {
  const all = turn.ranked.filter(
    (x) => x.id !== 'other' && r.compiled.remedies[r.compiled.remedyOf[x.cause]!] === remedy,
  )
  const sum = all.reduce((p, x) => p + x.p, 0)
  return all.filter((x) => x.p >= 0.1 * sum).map((x) => x.id)
}

/** What has to be answered before this part is fitted, and is not. */
export const unansweredFirst = (r: Reasoner, turn: Turn, names: Names, remedy: string): RootCauseFile[] =>
  askedOf(r, turn, names, remedy, causesFor(r, turn, remedy))
    .filter(({ root, first }) => first && !turn.state.work.rootCauses.has(root.id))
    .map(({ root }) => root)
