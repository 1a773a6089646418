/**
 * Likelihoods as people say them.
 *
 * Source: S. Renooij & C. Witteman, "Talking probabilities: communicating probabilistic information with words and
 * numbers", Int. J. Approximate Reasoning 22 (1999) 169–194: a scale of seven words at 100, 85, 75, 50, 25, 15, 0 %.
 * The end words are clamped away from 1 and 0, since no check in a workshop excludes a cause for ever.
 */
export const LIKELIHOOD_WORDS = {
  certain: 0.98,
  probable: 0.85,
  expected: 0.75,
  'fifty-fifty': 0.5,
  uncertain: 0.25,
  improbable: 0.15,
  impossible: 0.02,
} as const

export type LikelihoodWord = keyof typeof LIKELIHOOD_WORDS

/** A word of the scale, or a probability with where it comes from. */
export type Likelihood = LikelihoodWord | { p: number; source: string }

/** Probability of a word or a number, 0.001 to 0.999. */
export function probabilityOf(likelihood: Likelihood): number {
  const p = typeof likelihood === 'string' ? LIKELIHOOD_WORDS[likelihood] : likelihood.p
  return Math.min(0.999, Math.max(0.001, p))
}

/**
 * A distribution over `outcomes` from the likelihoods that somebody wrote for some of them. What is left of 1 goes to
 * the outcomes not mentioned, in equal parts; if all are mentioned, or they add up to more than 1, they are scaled.
 *
 * @param outcomes ids, in order
 * @param written  likelihood by outcome id
 * @returns probabilities in the order of `outcomes`, adding up to 1
 */
export function distributionOf(outcomes: readonly string[], written: Readonly<Record<string, Likelihood>>): number[] {
  const given = outcomes.map((id) => {
    const likelihood = written[id]
    return likelihood === undefined ? undefined : probabilityOf(likelihood)
  })
  const sum = given.reduce<number>((total, p) => total + (p ?? 0), 0)
  const silent = given.filter((p) => p === undefined).length
  const left = silent === 0 ? 0 : Math.max(0.002 * silent, 1 - sum)
  const filled = given.map((p) => p ?? left / silent)
  const total = filled.reduce((a, b) => a + b, 0)
  return filled.map((p) => p / total)
}
