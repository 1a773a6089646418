import meanings from '../../knowledge/texts/meanings.json' with { type: 'json' }
import type { Knowledge } from '../../schema/knowledge.ts'
import { type Analysis, analyse } from './analyse.ts'
import { wordsOf } from './languages.ts'
import { compileLexicon, type MeaningsFile, type WordsFile } from './lexicon.ts'
import { compileMeanings, type Meaning, weighMeanings } from './meanings.ts'
import { createPhraseIndex } from './phrase-index.ts'
import type { Scored, Understand, Understanding } from './types.ts'

/** How much the meanings and the phrases count: 1 - (1 - a·meaning)(1 - b·phrase). Tuned on tests/words/tuning.json. */
const OF_MEANING = 0.9
const OF_PHRASE = 0.75
/** A first one this sure and this far ahead of the second is taken without asking. */
const SURE = 0.6
const AHEAD = 0.12
const CIRCUMSTANCE = 0.55
/** Below this nothing was recognised. */
const HEARD = 0.3
/** Offered to choose from down to this share of the first. */
const OFFERED = 0.3
const MOST_OPTIONS = 4
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
  const complaints = matcher(knowledge.complaints, compileMeanings(table.complaints), read)
  const circumstances = matcher(knowledge.circumstances, compileMeanings(table.circumstances), read)

  return (text): Understanding => {
    const analysis = read(text.slice(0, MOST_TEXT))
    const ranked = complaints(analysis)
    const first = ranked[0]
    const score = first?.score ?? 0
    const domain = domainOf(analysis, score, car)
    if (domain !== 'in' || !first) {
      return {
        complaints: [],
        circumstances: [],
        sure: false,
        options: domain === 'in' ? knowledge.complaints.slice(0, MOST_OPTIONS).map((c) => c.id) : [],
        domain,
        negated: analysis.negated,
      }
    }
    const sure = score >= SURE && score - (ranked[1]?.score ?? 0) >= AHEAD
    return {
      complaints: score >= HEARD ? [first] : [],
      circumstances: circumstances(analysis).filter((c) => c.score >= CIRCUMSTANCE),
      sure,
      options: ranked
        .filter((r) => r.score >= OFFERED * score)
        .slice(0, MOST_OPTIONS)
        .map((r) => r.id),
      domain,
      negated: analysis.negated,
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

function matcher(files: Knowledge['circumstances'], meanings: Meaning[], read: (text: string) => Analysis) {
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
  return (analysis: Analysis): Scored[] => {
    const meant = weighMeanings(analysis, known)
    const alike = new Map(phrases(terms(analysis)).map((s) => [s.id, s.score]))
    return [...new Set([...meant.keys(), ...alike.keys()])]
      .map((id) => ({
        id,
        score: round(1 - (1 - OF_MEANING * (meant.get(id) ?? 0)) * (1 - OF_PHRASE * (alike.get(id) ?? 0))),
      }))
      .filter((s) => s.score > 0)
      .sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1))
  }
}

const terms = (analysis: Analysis) => analysis.clauses.flatMap((c) => c.terms)
const round = (n: number) => Math.round(n * 1000) / 1000

/** Is this about such a car at all? */
function domainOf(analysis: Analysis, score: number, car: ReadonlySet<string>): Understanding['domain'] {
  const concepts = new Set(analysis.clauses.flatMap((c) => [...c.concepts]))
  const named = concepts.has('golfcar')
  if (analysis.fuel > 0) return 'out'
  if (analysis.other > 0 && !named && !concepts.has('solenoid') && !concepts.has('pedal')) return 'out'
  if (analysis.asking > 0 && score < 0.7) return 'out'
  if (score >= HEARD) return 'in'
  if (analysis.vague > 0 && ([...car].some((c) => concepts.has(c)) || analysis.words <= 4)) return 'in'
  if (named && analysis.asking === 0) return 'in'
  return analysis.words === 0 || analysis.small > 0 || analysis.words <= 3 ? 'unsure' : 'out'
}
