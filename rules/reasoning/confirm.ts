import { type Option, predicted, TAIL } from './next-check.ts'
import { type Standing, withoutTail } from './standing.ts'

/**
 * A second look tells enough if its answers differ by this much, as total variation, between cars with the finding and all
 * others: 0 where both answer alike, 1 where they never do. Tuned by `npm run evaluate`.
 */
const APART = 0.25
/** Longer than this nobody looks twice, minutes. Estimate. */
const LONGEST = 15
/** To pick up, ask and write down takes this long whatever the check, minutes; so that the quickest does not always win. Estimate. */
const AT_LEAST = 3

/**
 * The second look before a part is bought. Minute by minute no single check is worth asking once a finding is likely: one
 * answer alone seldom turns it over. Still a slip, or a neighbour that shows nearly the same, is what leads to a wrong part,
 * and a look from another side shows it: of those quick enough, the one that tells most per minute.
 * @param found whether the repair mends this cause, by index
 */
export function confirming(
  all: Standing,
  options: readonly Option[],
  found: (cause: number) => boolean,
): Option | undefined {
  const s = withoutTail(all, TAIL)
  const inFound = Array.from(s.causeOf, found)
  let p = 0
  for (let h = 0; h < s.p.length; h++) if (inFound[h]) p += s.p[h]!
  if (p <= 0 || p >= 1) return undefined
  let best: Option | undefined
  let most = 0
  for (const option of options) {
    if (option.minutes > LONGEST) continue
    const apart = variation(s, option.check, inFound, p)
    if (apart < APART) continue
    const rate = apart / (option.minutes + AT_LEAST)
    if (rate > most) {
      most = rate
      best = option
    }
  }
  return best
}

/** How far apart a check's answers lie with and without the finding: ½ Σ |P(answer | found) - P(answer | not found)|. */
function variation(s: Standing, check: number, inFound: readonly boolean[], p: number): number {
  let sum = 0
  for (const fit of predicted(s, check)) {
    let found = 0
    let rest = 0
    for (let h = 0; h < fit.length; h++) {
      if (inFound[h]) found += s.p[h]! * fit[h]!
      else rest += s.p[h]! * fit[h]!
    }
    sum += Math.abs(found / p - rest / (1 - p))
  }
  return sum / 2
}
