import type { Analysis } from './analyse.ts'
import type { Understanding } from './types.ts'

/** Above this a line is about something else. Above 0, since to turn a customer away is worse than to ask one too many. */
const FOREIGN = 1
/** Added to both counts of a sign, so that one never seen on one side says something, not everything. */
const SHRINK = 0.2
/** What a word says that neither side has used: things not known here are more often other people's. */
const UNKNOWN = 0.5
const UNKNOWN_FIRST = 0.7

/** A thing that is no such car hardly counts after a complaint as plain as this: "it bucks so that my bag falls off". */
const PLAIN = 0.7

/** The signs of a line by which ours are told from others': its words, its first word, and what kind of thing it names. */
export function signsOf(analysis: Analysis, car: ReadonlySet<string>, meaning: number, before: number): string[] {
  const signs = new Set<string>()
  const concepts = new Set<string>()
  let first: string | undefined
  for (const clause of analysis.clauses) {
    for (const concept of clause.concepts) concepts.add(concept)
    for (const term of clause.terms) {
      signs.add(term)
      if (!term.startsWith('#')) first ??= term
    }
  }
  if (first !== undefined) signs.add(`first:${first}`)
  if (analysis.other > 0) {
    const named = concepts.has('golfcar') || concepts.has('pedal') || concepts.has('solenoid')
    signs.add(before < PLAIN ? '@other-first' : '@other-later')
    signs.add(named ? '@other-named' : '@other-alone')
  }
  if (analysis.otherAside > 0) signs.add('@aside')
  if (analysis.fuel > 0) signs.add('@fuel')
  if (analysis.asking > 0) signs.add('@asking')
  if (analysis.strange) signs.add('@strange')
  if (analysis.small > 0) signs.add('@small')
  signs.add(analysis.pronoun ? '@pronoun' : '@no-pronoun')
  signs.add(concepts.has('golfcar') ? '@named' : '@unnamed')
  signs.add([...car].some((c) => concepts.has(c)) ? '@car' : '@no-car')
  signs.add(`@meaning-${Math.floor(meaning * 4)}`)
  signs.add(concepts.size === 0 ? '@nothing' : concepts.size < 3 ? '@little' : '@much')
  return [...signs]
}

/**
 * How much a line looks like one about something else: the sum of the log ratios of how often each sign stands in lines
 * of either kind (naive Bayes without the prior). Above 0 rather other, below 0 rather ours.
 */
export function createForeignness(ours: readonly (readonly string[])[], others: readonly (readonly string[])[]) {
  const count = (lines: readonly (readonly string[])[]) => {
    const counts = new Map<string, number>()
    for (const line of lines) for (const sign of line) counts.set(sign, (counts.get(sign) ?? 0) + 1)
    return counts
  }
  const here = count(ours)
  const there = count(others)
  const rate = (n: number, all: number) => (n + SHRINK) / (all + 2 * SHRINK)
  return (signs: readonly string[]): number => {
    let sum = 0
    for (const sign of signs) {
      const a = here.get(sign) ?? 0
      const b = there.get(sign) ?? 0
      if (a + b === 0) sum += sign.startsWith('first:') ? UNKNOWN_FIRST : sign.startsWith('#') ? 0 : UNKNOWN
      else sum += Math.log(rate(b, others.length) / rate(a, ours.length))
    }
    return sum
  }
}

/** `heard`: something of a complaint was recognised. */
export function domainOf(analysis: Analysis, foreignness: number, heard: boolean): Understanding['domain'] {
  // "It's broken": nobody names the thing that they stand beside.
  const named = analysis.clauses.some((c) => c.concepts.has('golfcar'))
  if (analysis.vague > 0 && analysis.other + analysis.fuel + analysis.asking === 0 && (named || analysis.words <= 4)) {
    return 'in'
  }
  if (foreignness > FOREIGN) return analysis.words === 0 || analysis.small > 0 ? 'unsure' : 'out'
  if (heard) return 'in'
  return 'unsure'
}
