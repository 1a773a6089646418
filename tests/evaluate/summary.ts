import type { Visit } from './visit.ts'

/** A finding of at least this much is called confident. */
export const CONFIDENT = 0.8

export interface Summary {
  visits: number
  firstTwo: number
  first: number
  medianChecks: number
  mostChecks: number
  /** asking ended of itself */
  handedOver: number
  meanMinutes: number
  confidentlyWrong: number
  /** "not one of these" stood first when asking ended */
  other: number
  /** … or after proofs of repairs that did not help */
  endsOther: number
  fixed: number
  meanRepairs: number
}

export function summarise(visits: readonly Visit[]): Summary {
  const n = visits.length
  const share = (test: (v: Visit) => boolean) => (n === 0 ? 0 : visits.filter(test).length / n)
  const checks = visits.map((v) => v.checks).sort((a, b) => a - b)
  return {
    visits: n,
    firstTwo: share((v) => v.place === 1 || v.place === 2),
    first: share((v) => v.place === 1),
    medianChecks: checks[Math.floor(n / 2)] ?? 0,
    mostChecks: checks.at(-1) ?? 0,
    handedOver: share((v) => v.over),
    meanMinutes: n === 0 ? 0 : visits.reduce((a, v) => a + v.minutes, 0) / n,
    confidentlyWrong: share((v) => v.p >= CONFIDENT && !v.right && !v.other),
    other: share((v) => v.other),
    endsOther: share((v) => v.end === 'other'),
    fixed: share((v) => v.end === 'fixed'),
    meanRepairs: n === 0 ? 0 : visits.reduce((a, v) => a + v.repairs, 0) / n,
  }
}
