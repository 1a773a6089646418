import type { FindingBody } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { fitOf } from '../../reasoning/standing.ts'
import type { Turn } from '../turn.ts'
import type { Names } from './names.ts'

/** How each answer speaks for some causes against all the others: likelihood ratio, from the standing's own tables. */
export function evidenceFor(
  r: Reasoner,
  turn: Turn,
  names: Names,
  causes: ReadonlySet<number>,
): { row: FindingBody['evidence'][number]; ratio: number }[] {
  const s = turn.standing
  const out: { row: FindingBody['evidence'][number]; ratio: number }[] = []
  for (const given of turn.state.given) {
    if (given.stale) continue
    const said = /^(complaint|circumstance)\./.test(given.check)
    const weights = said
      ? Float64Array.from([0.9, 0.05])
      : r.weightsOf(
          { kind: 'answer', check: given.check, outcome: given.outcome, value: given.reading?.value },
          turn.state.facts,
          turn.learned,
        )
    const observable = said
      ? r.lookup.observable.get(given.check)
      : r.compiled.checks[r.lookup.check.get(given.check) ?? -1]?.observable
    if (!weights || observable === undefined || observable < 0) continue
    const fit = fitOf(s, observable, weights)
    // Each side is averaged by the weights of the causes before any answer, so that one likely rival does not hide the rest.
    let mine = 0
    let minesWeight = 0
    let others = 0
    let othersWeight = 0
    for (let h = 0; h < fit.length; h++) {
      if (s.loose[h]! > 0) continue
      const w = r.compiled.weights[s.causeOf[h]!]!
      if (causes.has(s.causeOf[h]!)) {
        mine += w * fit[h]!
        minesWeight += w
      } else {
        others += w * fit[h]!
        othersWeight += w
      }
    }
    if (minesWeight === 0 || othersWeight === 0) continue
    const ratio = mine / minesWeight / (others / othersWeight)
    const weight = ratio >= 3 ? 'strong' : ratio >= 1.15 ? 'some' : ratio <= 1 / 1.5 ? 'against' : undefined
    if (!weight) continue
    out.push({
      ratio,
      row: { check: given.check, question: names.question(given), answer: names.answer(given), weight },
    })
  }
  return out.sort(
    (a, b) => (a.row.weight === 'against' ? 1 : 0) - (b.row.weight === 'against' ? 1 : 0) || b.ratio - a.ratio,
  )
}
