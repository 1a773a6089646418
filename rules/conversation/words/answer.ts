import { parseReading } from '../../handbook/reading/index.ts'
import { answerWords } from './answer-words.ts'
import { wordsOf } from './languages.ts'
import type { WordsFile } from './lexicon.ts'
import type { AnswerableCheck, AnswerProblemCode, UnderstoodAnswer } from './types.ts'
import { DONT_KNOW } from './types.ts'

/** An outcome whose words fit this well, and so much better than the next, is taken. */
const FITS = 0.5
const AHEAD = 0.25
const MOST_TEXT = 2_000

/**
 * Reads a typed answer against one check: "yes", "nope", "about 31 volts", "31,2", "the second one", "it stays dark",
 * "dunno". Never throws on text. Where nothing fits for certain, the outcomes come back as options, likeliest first; a
 * number in a wrong unit or out of the check's range is a problem with what to do about it.
 */
export function understandAnswer(
  text: string,
  check: AnswerableCheck,
  options: { language: string; words?: WordsFile | undefined },
): UnderstoodAnswer {
  const typed = text.slice(0, MOST_TEXT).trim()
  const words = answerWords(options.words ?? wordsOf(options.language))
  const ids = check.outcomes.map((o) => o.id)
  const unsure = (likely: readonly string[] = []): UnderstoodAnswer => ({
    kind: 'unsure',
    unsure: true,
    options: [...new Set([...likely, ...ids])],
  })
  if (typed === '') return unsure()

  const exact = ids.find((id) => (id.length > 3 && same(typed, id)) || same(typed, labelOf(check, id)))
  if (exact !== undefined) return { kind: 'outcome', outcome: exact }

  const said = words.read(typed)
  if (said.stance === 'unknown') return { kind: 'outcome', outcome: DONT_KNOW }
  if (said.ordinal !== undefined && !/\d\s*(v|volts?|ohms?|amps?|a)\b/i.test(typed)) {
    const id = said.ordinal === -1 ? ids.at(-1) : ids[said.ordinal - 1]
    if (id !== undefined && said.tokens.length <= 2) return { kind: 'outcome', outcome: id }
  }
  let problem: UnderstoodAnswer | undefined
  if (check.reading) {
    const reading = readNumber(words.readingOf(typed), check.reading)
    if (reading?.kind === 'reading') return reading
    problem = reading
  }

  const own = ids.map((id) => new Set([...words.tokens(id.replaceAll('-', ' ')), ...words.tokens(allOf(check, id))]))
  const ranked = ids.map((id, i) => ({ id, fit: fit(said.tokens, own[i]!, own) })).sort((a, b) => b.fit - a.fit)
  const [first, second] = ranked
  const polar = polarOutcomes(check, words)
  if (first && first.fit >= FITS && first.fit - Math.max(0, second?.fit ?? 0) >= AHEAD) {
    // "No, it lights" says two things where "yes" would stand for lit.
    const against = said.stance === 'yes' ? polar?.no : said.stance === 'no' ? polar?.yes : undefined
    return against === first.id ? unsure([first.id]) : { kind: 'outcome', outcome: first.id }
  }
  if (problem) return problem
  if (said.stance === 'yes' || said.stance === 'no') {
    const id = polar?.[said.stance]
    if (id !== undefined) return { kind: 'outcome', outcome: id }
    return unsure(polar?.yes !== undefined && said.stance === 'no' ? ids.filter((i) => i !== polar.yes) : [])
  }
  return unsure(ranked.filter((r) => r.fit > 0).map((r) => r.id))
}

function labelOf(check: AnswerableCheck, id: string): string {
  const label = check.text.outcomes[id]
  return typeof label === 'string' ? label : (label?.label ?? id)
}

function allOf(check: AnswerableCheck, id: string): string {
  const label = check.text.outcomes[id]
  return typeof label === 'string' ? label : label ? `${label.label} ${label.small ?? ''}` : ''
}

const same = (a: string, b: string) => squash(a) === squash(b)
const squash = (text: string) =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

/** What a word that no outcome has takes away. */
const STRANGE = 0.25
const denied = (token: string) => (token.startsWith('not_') ? token.slice(4) : `not_${token}`)

/** -1..1: how much of what was said stands in the outcome's words; a denial of them counts against it. */
function fit(said: readonly string[], outcome: ReadonlySet<string>, all: readonly ReadonlySet<string>[]): number {
  let score = 0
  let weight = 0
  for (const token of new Set(said)) {
    weight += all.some((own) => own.has(token) || own.has(denied(token))) ? 1 : STRANGE
    if (outcome.has(token)) score++
    else if (outcome.has(denied(token))) score--
  }
  return weight === 0 ? 0 : score / weight
}

/** Which outcome "yes" and "no" stand for: those called so, or that say so, or the one that repeats the question. */
function polarOutcomes(
  check: AnswerableCheck,
  words: ReturnType<typeof answerWords>,
): { yes?: string; no?: string } | undefined {
  const ids = check.outcomes.map((o) => o.id)
  const begins = (id: string, word: 'yes' | 'no') => {
    const label = words.read(labelOf(check, id))
    return label.stance === word && label.oneWord
  }
  const only = (list: string[]) => (list.length === 1 ? list[0] : undefined)
  const yes = ids.find((id) => id === 'yes' || id === 'true') ?? only(ids.filter((id) => begins(id, 'yes')))
  const no = ids.find((id) => id === 'no' || id === 'false') ?? only(ids.filter((id) => begins(id, 'no')))
  const other = (id: string) => (ids.length === 2 ? ids.find((i) => i !== id) : undefined)
  const open = check.text.ask !== undefined && words.isOpen(check.text.ask)
  if (yes !== undefined && no !== undefined) return { yes, no }
  if (open) return undefined
  if (yes !== undefined || no !== undefined) {
    return { yes: yes ?? other(no!), no: no ?? other(yes!) }
  }
  if (check.text.ask === undefined) return undefined
  const asked = new Set(words.tokens(check.text.ask))
  const own = new Map(ids.map((id) => [id, words.tokens(allOf(check, id))]))
  // Of two outcomes the one that shares a word with the question is meant; of more only one that says nothing else.
  const repeats = (list: string[]) =>
    ids.length === 2 ? list.some((t) => asked.has(t)) : list.length > 0 && list.every((t) => asked.has(t))
  const said = only(ids.filter((id) => repeats(own.get(id)!)))
  if (said === undefined) return undefined
  const opposite = new Set(
    own
      .get(said)!
      .filter((t) => asked.has(t))
      .flatMap((t) => [words.opposites.get(t) ?? denied(t), denied(t)]),
  )
  const denies = only(ids.filter((id) => own.get(id)!.some((t) => opposite.has(t))))
  return { yes: said, no: denies ?? other(said) }
}

/** A reading, a problem with one, or nothing where there is no number in it. */
function readNumber(typed: string, wanted: NonNullable<AnswerableCheck['reading']>): UnderstoodAnswer | undefined {
  const { unit, min, max } = wanted
  const read = parseReading(typed, { expects: unit, min, max, unitShown: true })
  if (read.ok) return { kind: 'reading', reading: { value: read.value, unit } }
  if (read.code === 'no-number' || read.code === 'empty' || read.code === 'too-long') return undefined
  const code: AnswerProblemCode =
    read.code === 'wrong-unit' || read.code === 'mixed-units' || read.code === 'unknown-unit'
      ? 'wrong-unit'
      : read.code === 'below-range' || read.code === 'above-range' || read.code === 'negative'
        ? 'out-of-range'
        : 'not-understood'
  const [text, ...mend] = read.message.split(/(?<=[.?]) (?=\p{Lu})/u)
  return { kind: 'problem', code, text: text ?? read.message, mend: mend.join(' ') || read.message }
}
