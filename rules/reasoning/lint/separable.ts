import type { Problem } from '../../schema/problem.ts'
import type { Reasoner } from '../reasoner.ts'
import { outcomeProbabilities } from './outcome-probabilities.ts'

/** A check tells two causes apart where some outcome is this many times as likely under one as under the other. */
export const APART = 3

/** Every pair of causes with different remedies that no check tells apart, less those that are listed with a reason. */
export function inseparablePairs(r: Reasoner): { a: string; b: string; best: number; check: string }[] {
  const c = r.compiled
  const n = c.causes.length - 1
  const best = new Float64Array(n * n)
  const by = new Int32Array(n * n).fill(-1)
  c.checks.forEach((check, index) => {
    for (const p of outcomeProbabilities(r, index) ?? []) {
      const k = check.outcomes.length
      for (let a = 0; a < n; a++) {
        for (let b = a + 1; b < n; b++) {
          for (let i = 0; i < k; i++) {
            const x = p[a * k + i]!
            const y = p[b * k + i]!
            const ratio = x > y ? x / y : y / x
            if (ratio > best[a * n + b]!) {
              best[a * n + b] = ratio
              by[a * n + b] = index
            }
          }
        }
      }
    }
  })
  const listed = r.knowledge.inseparable.map((x) => new Set(x.causes))
  const out: { a: string; b: string; best: number; check: string }[] = []
  for (let a = 0; a < n; a++) {
    for (let b = a + 1; b < n; b++) {
      const ratio = best[a * n + b]!
      if (c.remedyOf[a] === c.remedyOf[b] || ratio >= APART || !shareACar(r, a, b)) continue
      const idA = c.causes[a]!
      const idB = c.causes[b]!
      if (listed.some((set) => set.has(idA) && set.has(idB))) continue
      out.push({ a: idA, b: idB, best: ratio, check: c.checks[by[a * n + b]!]?.id ?? 'none' })
    }
  }
  return out
}

/** Causes that no car can have together need no check between them. */
function shareACar(r: Reasoner, a: number, b: number): boolean {
  const c = r.compiled
  const A = c.applies[a]!
  const B = c.applies[b]!
  const both = [...new Set([...A.facts, ...B.facts])]
  const n = both.reduce((x, f) => x * c.facts[f]!.values.length, 1)
  const indexIn = (facts: number[], values: number[]) =>
    facts.reduce((at, f) => at * c.facts[f]!.values.length + values[both.indexOf(f)]!, 0)
  for (let i = 0; i < n; i++) {
    const values: number[] = []
    let rest = i
    for (const f of both) {
      values.push(rest % c.facts[f]!.values.length)
      rest = Math.floor(rest / c.facts[f]!.values.length)
    }
    if (A.yes[indexIn(A.facts, values)] && B.yes[indexIn(B.facts, values)]) return true
  }
  return false
}

export function lintSeparable(r: Reasoner): Problem[] {
  return inseparablePairs(r).map(({ a, b, best, check }) => ({
    file: `causes/${a}.json`,
    path: '$.effects',
    what: `no check tells it from ${b}, whose remedy is another; the best is ${check} with ${best.toFixed(1)} : 1`,
    mend: `Add a check that separates them at least ${APART} : 1, sharpen an effect that is true, or list the two in inseparable/ with the reason`,
  }))
}
