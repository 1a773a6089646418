import stemmers from 'snowball-stemmers'
import { z } from 'zod'

/**
 * The words of one language, as data: texts/<language>/words.json. A concept is an idea that many words stand for
 * ("budge", "take off": move); which concepts together mean which complaint stands once for all languages in
 * texts/meanings.json.
 */
const list = z.array(z.string().min(1))

export const wordsFile = z.strictObject({
  $schema: z.string().optional(),
  language: z.string(),
  stemmer: z.string().describe('name of a Snowball stemmer: "english", "spanish"'),
  contractions: z.record(z.string(), z.string()).describe("word as typed -> words in full: won't -> will not"),
  negators: list.describe('words that deny what follows in the same clause'),
  halfNegators: list.describe('words that say something and also deny the next thing: "nothing clicks"'),
  notNegators: list.describe('expressions with a negator in them that deny nothing: "not only"'),
  negationEnds: list.describe('words at which a denial ends: "but", "when"'),
  clauseBreaks: list.describe('words at which a new clause begins'),
  joiners: list.describe('words at which one begins before a new subject: "and the lights are out"'),
  comparisons: list.describe('words before a comparison, whose things are not meant: "like a sewing machine"'),
  prepositions: list.describe(
    'words after which a thing is where or with what, not what is wrong: "in front of a tractor"',
  ),
  possessives: list.describe('"in my kitchen" is about the kitchen, "in a kitchen" is not'),
  determiners: list.describe('words that open a noun: "the sprinkler will not stop"'),
  pronouns: list.describe('words that may stand for the car'),
  standFor: list.describe('words that stand for the car when they come first: "it", "she"'),
  fillers: list.describe('words that say nothing about the car'),
  concepts: z
    .record(z.string(), list)
    .describe(
      'concept -> expressions; "-concept" for the opposite; `*` for up to three words between, `=` for that very form',
    ),
  ordinary: list.describe('everyday words that are never a slip of the keyboard'),
  otherThings: list.describe('things that are not such a car'),
  people: list.describe('people, and words that may open a complaint: "my wife heard a click"'),
  subjects: list.describe('things that are meant when they come first: "the lift goes the wrong way"'),
  fuelEngine: list.describe('parts of a car with a fuel engine'),
  asking: list.describe('beginnings of requests that are no complaint'),
  smallTalk: list,
  answers: z
    .strictObject({
      yes: list,
      no: list,
      unknown: list.describe('ways to say "I don\'t know"'),
      maybe: list,
      ordinals: z.array(list).describe('ways to name the first, second, … outcome'),
      last: list,
      alike: z.array(list).describe('words that mean the same in an answer'),
      opposites: z.array(z.array(z.string()).length(2)),
      questionWords: list.describe('a question that one of these opens takes no "yes"'),
      padding: list.describe('expressions that add nothing: "at all"'),
    })
    .describe('for typed answers to a check'),
  notOurs: list.describe('lines about other things, many with words of the trade in them: "my knee jerks"'),
  vague: list.describe('ways to say that something is wrong without saying what'),
  reading: z
    .record(z.string(), z.string())
    .optional()
    .describe('numbers, units and the words around them -> in English, which readings are read in: "voltios": "volts"'),
})
export type WordsFile = z.infer<typeof wordsFile>

export const meaningsFile = z.strictObject({
  $schema: z.string().optional(),
  fixed: list.describe('concepts that a denial passes over: "doesn\'t move when I press the pedal"'),
  car: list.describe('concepts that only such a car, its parts or its trouble have'),
  complaints: z
    .record(z.string(), z.record(z.string(), z.number().min(0).max(1)))
    .describe('complaint -> concepts that stand together -> how surely they mean it'),
  circumstances: z.record(z.string(), z.record(z.string(), z.number().min(0).max(1))),
  needs: z.record(z.string(), list).describe('complaint -> without any of these concepts it is hardly meant'),
  against: z.record(z.string(), list).describe('complaint -> with any of these concepts it is hardly meant'),
  lean: z
    .record(z.string(), z.number())
    .describe(
      'complaint -> added to its weight: above 0 for what is said in so many ways that it is met too seldom; found by leaving each phrase out in turn',
    ),
  gravity: z
    .array(list)
    .describe('of two complaints in one line the graver comes first: what stops the car or can hurt, then the rest'),
})
export type MeaningsFile = z.infer<typeof meaningsFile>

/** A concept with its sign: `move`, or `-move` when it is denied. */
export type Signed = string

interface Expression {
  /** stems, `*` for a gap */
  stems: string[]
  marks: string[]
}

export interface Lexicon {
  readonly words: WordsFile
  stem(word: string): string
  /** first stem -> expressions that begin with it, longest first */
  readonly expressions: ReadonlyMap<string, readonly Expression[]>
  /** first stem -> negators that begin with it */
  readonly negators: ReadonlyMap<string, readonly string[][]>
  readonly halfNegators: ReadonlySet<string>
  readonly notNegators: ReadonlyMap<string, readonly string[][]>
  readonly negationEnds: ReadonlySet<string>
  readonly clauseBreaks: ReadonlySet<string>
  readonly joiners: ReadonlySet<string>
  readonly comparisons: ReadonlySet<string>
  readonly prepositions: ReadonlySet<string>
  readonly possessives: ReadonlySet<string>
  readonly determiners: ReadonlySet<string>
  readonly pronouns: ReadonlySet<string>
  readonly standFor: ReadonlySet<string>
  readonly fillers: ReadonlySet<string>
  readonly contractions: ReadonlyMap<string, readonly string[]>
  /** every word known as written, by first letter: what a slip of the keyboard is mended to */
  readonly spellings: ReadonlyMap<string, readonly string[]>
  readonly known: ReadonlySet<string>
  /** words that the phrases of the knowledge use */
  /** first stem -> things that are meant when they come first */
  readonly subjects: ReadonlyMap<string, readonly string[][]>
  readonly people: ReadonlySet<string>
}

export const OTHER = '@other'
export const FUEL = '@fuel'
export const ASKING = '@asking'
export const SMALL = '@small'
export const VAGUE = '@vague'

/** Words as typed: lower case, plain letters, one apostrophe, figures apart from letters. */
export function split(text: string): string[] {
  return (
    text
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .toLowerCase()
      .replace(/[’‘`´]/g, "'")
      .replace(/([a-z])\1{2,}/g, '$1$1')
      .match(/[\p{L}]+(?:'[\p{L}]+)*|\d+(?:[.,]\d+)?|[.,;:!?\n()+=–—/]| - /gu) ?? []
  )
}

/** Words as typed to words in full, both without accents, as text is read. */
export const contractionsOf = (words: WordsFile): Map<string, string[]> =>
  new Map(Object.entries(words.contractions).map(([typed, full]) => [split(typed)[0] ?? typed, split(full)]))

const isWord = (token: string) => /^[\p{L}\d]/u.test(token)

export function compileLexicon(words: WordsFile, texts: Iterable<string>): Lexicon {
  const stemmer = stemmers.newStemmer(words.stemmer)
  const stems = new Map<string, string>()
  const stem = (word: string) => {
    let known = stems.get(word)
    if (known === undefined) {
      known = /^[a-z]/.test(word) || /\p{L}/u.test(word) ? (stemmer.stem(word) as string) : word
      // A cache of bounded size: text from outside must not fill the memory.
      if (stems.size < 20_000) stems.set(word, known)
    }
    return known
  }
  const contractions = contractionsOf(words)
  const known = new Set<string>()
  const full = (text: string): string[] => {
    const tokens = split(text.replaceAll('*', ' \u0001 '))
    const out: string[] = []
    for (const token of tokens) {
      if (!isWord(token)) continue
      for (const part of contractions.get(token) ?? [token]) {
        if (part.length > 1) known.add(part)
        out.push(part)
      }
    }
    return out
  }
  const sequence = (text: string): string[] => {
    const parts = text.split('*')
    // "=quit" is that very word and no other form of it: "quite" has the same stem.
    if (text.startsWith('=')) return full(text).map((word) => `=${word}`)
    return parts.flatMap((part, i) => [...full(part).map(stem), ...(i < parts.length - 1 ? ['*'] : [])])
  }

  const byKey = new Map<string, Expression>()
  const add = (text: string, mark: string) => {
    const seq = sequence(text)
    if (!seq.length) return
    const key = seq.join(' ')
    const found = byKey.get(key)
    if (!found) byKey.set(key, { stems: seq, marks: [mark] })
    else if (!found.marks.includes(mark)) found.marks.push(mark)
  }
  for (const [concept, list] of Object.entries(words.concepts)) for (const text of list) add(text, concept)
  for (const text of words.otherThings) add(text, OTHER)
  for (const text of words.fuelEngine) add(text, FUEL)
  for (const text of words.asking) add(text, ASKING)
  for (const text of words.smallTalk) add(text, SMALL)
  for (const text of words.vague) add(text, VAGUE)

  const expressions = new Map<string, Expression[]>()
  for (const expression of byKey.values()) {
    const first = expression.stems[0]!
    const there = expressions.get(first)
    if (there) there.push(expression)
    else expressions.set(first, [expression])
  }
  for (const there of expressions.values()) there.sort((a, b) => b.stems.length - a.stems.length)

  const byFirst = (texts: readonly string[]) => {
    const map = new Map<string, string[][]>()
    for (const seq of texts.map(sequence).sort((a, b) => b.length - a.length)) {
      const there = map.get(seq[0]!)
      if (there) there.push(seq)
      else map.set(seq[0]!, [seq])
    }
    return map
  }
  for (const text of texts) full(text)
  const set = (all: readonly string[]) => new Set(all.flatMap((w) => full(w).map(stem)))
  const lexicon = {
    words,
    stem,
    expressions,
    negators: byFirst(words.negators),
    halfNegators: set(words.halfNegators),
    notNegators: byFirst(words.notNegators),
    subjects: byFirst(words.subjects),
    negationEnds: set(words.negationEnds),
    clauseBreaks: set(words.clauseBreaks),
    joiners: set(words.joiners),
    comparisons: set(words.comparisons),
    prepositions: set(words.prepositions),
    possessives: set(words.possessives),
    determiners: set(words.determiners),
    pronouns: set(words.pronouns),
    standFor: set(words.standFor),
    fillers: new Set(words.fillers.flatMap((w) => full(w).map(stem))),
    contractions,
    known,
    people: set(words.people),
    spellings: new Map<string, string[]>(),
  }
  for (const word of words.ordinary) full(word)
  for (const line of words.notOurs) full(line)
  for (const word of [...known].sort()) {
    const first = word[0]!
    const there = lexicon.spellings.get(first)
    if (there) there.push(word)
    else lexicon.spellings.set(first, [word])
  }
  return lexicon
}
