import stemmers from 'snowball-stemmers'
import { contractionsOf, split, type WordsFile } from './lexicon.ts'

/** What a few typed words say, before any check is looked at. */
export interface AnswerReading {
  /** "yes", "no", "maybe" or "I don't know" among the words */
  stance?: 'yes' | 'no' | 'maybe' | 'unknown'
  /** said in one word, "yes", not "it does" */
  oneWord: boolean
  /** 1 = the first outcome; -1 = the last */
  ordinal?: number
  /** stems, words that mean the same as one token; `not_` before a denied one */
  tokens: string[]
}

interface AnswerWords {
  read(text: string): AnswerReading
  /** tokens of a label or a question, by the same rules */
  tokens(text: string): string[]
  /** true where a clause of the question opens with "how", "which" and the like */
  isOpen(question: string): boolean
  /** token -> the token of its opposite */
  opposites: ReadonlyMap<string, string>
  /** a typed reading with its numbers, units and small words in English */
  readingOf(text: string): string
}

const byFile = new WeakMap<WordsFile, AnswerWords>()

export function answerWords(words: WordsFile): AnswerWords {
  const known = byFile.get(words)
  if (known) return known
  const made = compile(words)
  byFile.set(words, made)
  return made
}

const REACH = 4

function compile(words: WordsFile): AnswerWords {
  const stemmer = stemmers.newStemmer(words.stemmer)
  const contractions = contractionsOf(words)
  const plain = (text: string) =>
    split(text)
      .filter((t) => /^[\p{L}\d?]/u.test(t))
      .flatMap((t) => contractions.get(t) ?? t.replaceAll("'", '').split(' '))
  const stems = (text: string) => plain(text).map((w) => stemmer.stem(w))
  const table = (lists: readonly (readonly string[])[]) =>
    lists
      .flatMap((list, index) => list.map((text) => ({ seq: stems(text), index })))
      .filter((e) => e.seq.length)
      .sort((a, b) => b.seq.length - a.seq.length)
  // "No sé" and "no se oye" differ by an accent that is often left out: without it the words have to end the clause.
  const accented = words.answers.unknown.filter((text) => bare(text) !== text)
  const verbatim = accented.length > 0 ? anyOf(accented.map((text) => text.normalize('NFC'))) : undefined
  const closing = table([accented])
  const unknown = table([words.answers.unknown.filter((text) => bare(text) === text)])
  const stances = table([words.answers.unknown, words.answers.yes, words.answers.no, words.answers.maybe])
  const ordinals = table(words.answers.ordinals)
  const last = table([words.answers.last])
  const alike = table(words.answers.alike)
  const questionWords = new Set(words.answers.questionWords.flatMap(split))
  const padding = table([words.answers.padding])
  const fillers = new Set(words.fillers.map((w) => stemmer.stem(w)))
  // Of "refuses to" neither word denies anything by itself.
  const negators = new Set(words.negators.filter((text) => !text.includes(' ')).flatMap(stems))
  const ends = new Set(words.negationEnds.flatMap(stems))

  const at = (seq: readonly string[], i: number, entry: { seq: readonly string[] }) =>
    entry.seq.every((s, k) => seq[i + k] === s)

  const tokens = (seq: readonly string[]): string[] => {
    const out: string[] = []
    let reach = 0
    for (let i = 0; i < seq.length; ) {
      const stem = seq[i]!
      const nothing = padding.find((e) => at(seq, i, e))
      if (nothing) {
        i += nothing.seq.length
        continue
      }
      const same = alike.find((e) => at(seq, i, e))
      if (!same && negators.has(stem)) {
        // "En los baches no": at the end it denies what was said before it.
        if (i === seq.length - 1 && i > 0) return out.map((t) => (t.startsWith('not_') ? t : `not_${t}`))
        reach = REACH
        i++
        continue
      }
      if (ends.has(stem)) reach = 0
      const token = same ? `=${same.index}` : stem
      if (same || !fillers.has(stem)) {
        out.push(reach > 0 ? `not_${token}` : token)
        if (reach > 0) reach--
      }
      i += same ? same.seq.length : 1
    }
    return out
  }

  const opposites = new Map(
    words.answers.opposites.flatMap((pair) => {
      const [a, b] = pair.map((text) => tokens(stems(text))[0] ?? text) as [string, string]
      return [
        [a, b],
        [b, a],
      ] as [string, string][]
    }),
  )

  /** What stands first: "yes, it's dim", "no it doesn't"; and what is left of it. */
  const stanceOf = (
    seq: readonly string[],
    broken: ReadonlySet<number>,
  ): { stance?: Stance; length: number; single?: boolean } => {
    for (const entry of stances) {
      if (entry.index === 0 || !at(seq, 0, entry)) continue
      const stance = STANCES[entry.index]!
      const { length } = entry.seq
      const next = seq[length]
      // "no light", "does not move": the denial belongs to what follows it.
      if (stance === 'no' && next !== undefined && !broken.has(length)) {
        const end = entry.seq[length - 1]!
        if (length > 1 && negators.has(end)) return { stance, length: length - 1, single: false }
        if (length === 1 && negators.has(end) && !fillers.has(next) && !ends.has(next)) {
          if (!stances.some((e) => at(seq, length, e))) return { length: 0 }
        }
      }
      return { stance, length, single: length === 1 }
    }
    return { length: 0 }
  }

  return {
    tokens: (text) => tokens(stems(text)),
    readingOf: readingIn(words.reading ?? {}),
    opposites,
    isOpen: (question) => question.split(/[,:;]/).some((part) => questionWords.has(plain(part)[0] ?? '')),
    read(text) {
      let seq = stems(text)
      const whole = seq
      const find = (list: typeof ordinals) => list.find((e) => whole.some((_, i) => at(whole, i, e)))
      let stance: Stance | undefined
      let oneWord = false
      const broken = new Set(breaks(text, stems))
      const ends = (i: number) => i === whole.length || broken.has(i)
      if (
        unknown.some((e) => whole.some((_, i) => at(whole, i, e))) ||
        verbatim?.test(text.normalize('NFC')) ||
        closing.some((e) => whole.some((_, i) => at(whole, i, e) && ends(i + e.seq.length)))
      )
        stance = 'unknown'
      else {
        let gone = 0
        for (;;) {
          while (seq.length && fillers.has(seq[0]!) && !stances.some((e) => at(seq, 0, e))) {
            // A small word before the stance ("well yes"), or before anything else: then there is none.
            const next = seq.findIndex((s) => !fillers.has(s))
            if (next < 0 || !stances.some((e) => at(seq, next, e))) break
            gone += next
            seq = seq.slice(next)
          }
          const found = stanceOf(seq, new Set([...broken].map((b) => b - gone)))
          if (found.length === 0) break
          // "Yes and no"; but not "no, it is …".
          if (stance !== undefined && found.single && found.stance !== stance) stance = 'maybe'
          if (stance === undefined) oneWord = found.single === true
          stance ??= found.stance
          gone += found.length
          seq = seq.slice(found.length)
        }
      }
      const nth = find(ordinals)
      return { stance, oneWord, ordinal: nth ? nth.index + 1 : find(last) ? -1 : undefined, tokens: tokens(seq) }
    },
  }
}

type Stance = NonNullable<AnswerReading['stance']>
const STANCES: readonly Stance[] = ['unknown', 'yes', 'no', 'maybe']

/** Where in the words a comma or the like stands: the index of the word after it. */
function breaks(text: string, stems: (text: string) => string[]): number[] {
  const parts = text.split(/[,;:.!\n–—]/)
  let count = 0
  return parts.slice(0, -1).map((part) => {
    count += stems(part).length
    return count
  })
}

const bare = (text: string) => text.normalize('NFD').replace(/\p{M}+/gu, '')

/** Whole words, any of these; the longest should come first. */
const anyOf = (texts: readonly string[], flags = '') =>
  new RegExp(
    `(?<!\\p{L})(?:${texts.map((t) => t.replace(/[^\p{L}\p{N} ]/gu, '\\$&')).join('|')})(?!\\p{L})`,
    `${flags}iu`,
  )

/** Exchanges whole words, the longest first; figures and everything not known stay. */
function readingIn(table: Readonly<Record<string, string>>): (text: string) => string {
  const english = new Map(Object.entries(table).map(([own, word]) => [bare(own).toLowerCase(), word]))
  if (english.size === 0) return (text) => text
  const longest = [...english.keys()].sort((a, b) => b.length - a.length)
  const pattern = anyOf(longest, 'g')
  return (text) => bare(text).replace(pattern, (own) => english.get(own.toLowerCase()) ?? own)
}
