import type { Analysis, Clause } from './analyse.ts'

/** What some clauses alone are likeliest to mean. */
export interface Top {
  id: string
  score: number
  meaning: number
}

/** A further complaint counts only when its own clauses say it this plainly and this surely. */
const OWN_MEANING = 0.75
const OWN_SCORE = 0.7
const MOST_CLAUSES = 8

/**
 * A second complaint that stands in clauses of its own: without them the first one stays likeliest, without the first
 * one's clauses the second is. "It clicks. It doesn't move." is one complaint: neither half is another by itself.
 */
export function furtherComplaint(
  analysis: Analysis,
  first: string,
  topOf: (clauses: Clause[]) => Top | undefined,
): Top | undefined {
  const { clauses } = analysis
  if (clauses.length < 2 || clauses.length > MOST_CLAUSES) return undefined
  const stands = (top: Top | undefined) => top !== undefined && top.meaning >= OWN_MEANING && top.score >= OWN_SCORE
  let best: Top | undefined
  for (let cut = 1; cut < clauses.length; cut++) {
    const before = topOf(clauses.slice(0, cut))
    const after = topOf(clauses.slice(cut))
    if (!stands(before) || !stands(after) || before!.id === after!.id) continue
    const other = before!.id === first ? after : after!.id === first ? before : undefined
    if (other && (!best || other.score > best.score)) best = other
  }
  return best
}
