import meanings from '../../knowledge/texts/meanings.json' with { type: 'json' }
import type { Knowledge } from '../../schema/knowledge.ts'
import { type Analysis, analyse, type Clause } from './analyse.ts'
import { createForeignness, domainOf, signsOf } from './domain.ts'
import { wordsOf } from './languages.ts'
import { compileLexicon, type MeaningsFile, type WordsFile } from './lexicon.ts'
import { compileMeanings, type Meaning, weighMeanings } from './meanings.ts'
import { createPhraseIndex } from './phrase-index.ts'
import { furtherComplaint, type Top } from './several.ts'
import type { Scored, Understand, Understanding } from './types.ts'

/** What the three grounds count for; tuned on tests/words/tuning.json and, left out in turn, the phrases themselves. */
const OF_MEANING = 1.5
const OF_PHRASE = 1
const OF_EVIDENCE = 0.5
const OF_UNFIT = 2.5
const MOST_SURE = 0.99
/** A first one this sure and this far ahead of the second is taken without asking. */
const SURE = 0.75
const AHEAD = 0.5
const CIRCUMSTANCE = 0.6
const OF_LIKE_CIRCUMSTANCE = 0.5
/** From any of these on, something was recognised. */
const HEARD_MEANING = 0.4
const HEARD_PHRASE = 0.8
const HEARD_EVIDENCE = 12
/** Flattens the scores: words that belong together are counted as if they were independent. */
const FLATTEN = 0.3
/** Offered to choose from down to this share of the first. */
const OFFERED = 0.002
const MOST_OPTIONS = 4
/** "It's broken" in up to so many words says nothing: what cars are oftenest brought in for is offered. */
const VAGUE_WORDS = 4
const MOST_TEXT = 2_000

/**
 * Builds the index once; the returned function reads one utterance in a few milliseconds. Pure: the same text gives the
 * same understanding. `knowledge` is in the language of `language`; `words` takes the place of the built-in words of it.
 */
export function createUnderstanding(
  knowledge: Pick<Knowledge, 'complaints' | 'circumstances'>,
  language: string,
  words: WordsFile = wordsOf(language),
): Understand {
  const table: MeaningsFile = meanings
  const fixed = new Set(table.fixed)
  const car = new Set(table.car)
  const lexicon = compileLexicon(words, texts(knowledge))
  const read = (text: string) => analyse(text, lexicon, fixed)
  const meant = compileMeanings(table.complaints)
  const complaints = createGrounds(knowledge.complaints, meant, read, table)
  const circumstances = createGrounds(knowledge.circumstances, compileMeanings(table.circumstances), read)

  const plainness = (clauses: Analysis['clauses']) => Math.max(0, ...weighMeanings({ clauses }, meant).values())
  const signs = (analysis: Analysis) =>
    signsOf(analysis, car, plainness(analysis.clauses), plainness(analysis.beforeOther ?? []))
  const foreignness = createForeignness(
    knowledge.complaints.flatMap((c) => c.text.phrases.map((phrase) => signs(read(phrase)))),
    words.notOurs.map((line) => signs(read(line))),
  )

  const common = [...knowledge.complaints]
    .sort((a, b) => b.base - a.base || (a.id < b.id ? -1 : 1))
    .slice(0, MOST_OPTIONS)
    .map((c) => c.id)
  const topOf = (clauses: Clause[]): Top | undefined => {
    const grounds = complaints({ clauses })
    const top = rank(grounds)[0]
    return top && { ...top, meaning: grounds.find((g) => g.id === top.id)!.meaning }
  }
  const grave = new Map(table.gravity.flatMap((ids, i) => ids.map((id) => [id, i] as const)))
  const graver = (a: string, b: string) =>
    (grave.get(a) ?? table.gravity.length) < (grave.get(b) ?? table.gravity.length)

  return (text): Understanding => {
    const analysis = read(text.slice(0, MOST_TEXT))
    const grounds = complaints(analysis)
    const heard = strongest(grounds)
    const plain = heard.meaning >= HEARD_MEANING || heard.evidence >= HEARD_EVIDENCE
    const domain = domainOf(
      analysis,
      foreignness(signs(analysis)),
      plain || heard.phrase >= HEARD_PHRASE || spokenOf(analysis),
    )
    const { negated } = analysis
    if (domain !== 'in') return { complaints: [], circumstances: [], sure: false, options: [], domain, negated }
    const ranked = rank(grounds)
    const unfit = new Set(grounds.filter((g) => g.unfit > 0).map((g) => g.id))
    const further = ranked[0] && plain ? furtherComplaint(analysis, ranked[0].id, topOf) : undefined
    const second = further && !unfit.has(further.id) ? further : undefined
    if (second) put(ranked, second.id, graver(second.id, ranked[0]!.id) ? 0 : 1)
    const first = ranked[0]
    return {
      complaints: first && plain ? ranked.slice(0, second ? 2 : 1) : [],
      circumstances: circumstances(analysis)
        .map((g) => ({ id: g.id, score: round(1 - (1 - g.meaning) * (1 - OF_LIKE_CIRCUMSTANCE * g.phrase)) }))
        .filter((c) => c.score >= CIRCUMSTANCE)
        .sort(byScore),
      sure:
        plain &&
        first !== undefined &&
        (second !== undefined || (first.score >= SURE && first.score - (ranked[1]?.score ?? 0) >= AHEAD)),
      options:
        analysis.vague > 0 && heard.meaning < HEARD_MEANING && analysis.words <= VAGUE_WORDS
          ? common
          : ranked
              .filter((r) => r.score >= OFFERED * (first?.score ?? 0))
              .slice(0, MOST_OPTIONS)
              .map((r) => r.id),
      domain,
      negated,
    }
  }
}

function* texts(knowledge: Pick<Knowledge, 'complaints' | 'circumstances'>): Iterable<string> {
  for (const file of [...knowledge.complaints, ...knowledge.circumstances]) {
    yield file.text.name
    yield file.text.plain
    yield* file.text.phrases
  }
}

/** Moves one to a place nearer the front. */
function put(ranked: Scored[], id: string, place: number): void {
  const [moved] = ranked.splice(
    ranked.findIndex((r) => r.id === id),
    1,
  )
  if (moved) ranked.splice(place, 0, moved)
}

const byScore = (a: Scored, b: Scored) => b.score - a.score || (a.id < b.id ? -1 : 1)

/** The three grounds together as shares of 1. */
function rank(grounds: readonly Grounds[]): Scored[] {
  const weights = grounds.map((g) => ({
    id: g.id,
    weight:
      -OF_MEANING * Math.log(1 - Math.min(MOST_SURE, g.meaning)) +
      OF_PHRASE * g.phrase +
      OF_EVIDENCE * g.evidence -
      OF_UNFIT * g.unfit +
      g.lean,
  }))
  const most = Math.max(...weights.map((w) => w.weight))
  const shares = weights.map((w) => ({ id: w.id, share: Math.exp(FLATTEN * (w.weight - most)) }))
  const whole = shares.reduce((sum, s) => sum + s.share, 0)
  return shares.map((s) => ({ id: s.id, score: round(s.share / whole) })).sort(byScore)
}

type Heard = Omit<Grounds, 'id' | 'unfit' | 'lean'>

function strongest(grounds: readonly Grounds[]): Heard {
  return {
    meaning: Math.max(0, ...grounds.map((g) => g.meaning)),
    phrase: Math.max(0, ...grounds.map((g) => g.phrase)),
    evidence: Math.max(0, ...grounds.map((g) => g.evidence)),
  }
}

/** What speaks for one id, before it is put together. */
export interface Grounds {
  id: string
  /** how many of the limits it breaks: a concept that it needs is missing, one that speaks against it is there */
  unfit: number
  lean: number
  meaning: number
  phrase: number
  evidence: number
}

export function createGrounds(
  files: Knowledge['circumstances'],
  meanings: Meaning[],
  read: (text: string) => Analysis,
  limits: Pick<MeaningsFile, 'needs' | 'against' | 'lean'> = { needs: {}, against: {}, lean: {} },
): (analysis: Pick<Analysis, 'clauses'>) => Grounds[] {
  const ids = new Set(files.map((f) => f.id))
  const known = meanings.filter((m) => ids.has(m.id))
  const phrases = createPhraseIndex(
    files.flatMap((file) =>
      [...new Set([file.text.name, file.text.plain, ...file.text.phrases])].map((text) => ({
        id: file.id,
        terms: terms(read(text)),
      })),
    ),
  )
  return (analysis) => {
    const meant = weighMeanings(analysis, known)
    const alike = phrases(terms(analysis))
    const said = new Set(analysis.clauses.flatMap((c) => [...c.concepts]))
    const any = (list: readonly string[] | undefined) => list?.some((c) => said.has(c))
    return files.map(({ id }) => ({
      id,
      unfit: Number(any(limits.needs[id]) === false) + Number(any(limits.against[id]) === true),
      lean: limits.lean[id] ?? 0,
      meaning: meant.get(id) ?? 0,
      phrase: alike.get(id)?.phrase ?? 0,
      evidence: alike.get(id)?.evidence ?? 0,
    }))
  }
}

/** Concepts, stems, and pairs of stems that stand side by side. */
export function terms(analysis: Pick<Analysis, 'clauses'>): string[] {
  const found = new Set<string>()
  for (const clause of analysis.clauses) {
    for (const term of clause.terms) found.add(term)
    const stems = clause.terms.filter((t) => !t.startsWith('#'))
    for (let i = 0; i + 1 < stems.length; i++) found.add(`${stems[i]}_${stems[i + 1]}`)
  }
  return [...found]
}

const round = (n: number) => Math.round(n * 1000) / 1000

/** Words that stand for the car, or for the part that makes it go. */
function spokenOf(analysis: Analysis): boolean {
  return analysis.pronoun || analysis.clauses.some((c) => c.concepts.has('golfcar') || c.concepts.has('pedal'))
}
