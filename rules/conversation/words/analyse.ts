import type { Lexicon, Signed } from './lexicon.ts'
import { ASKING, FUEL, OTHER, SMALL, split, VAGUE } from './lexicon.ts'
import { mendSpelling } from './spelling.ts'

/** What an utterance is made of. */
export interface Analysis {
  clauses: Clause[]
  /** words that were denied, as stems or concepts */
  negated: string[]
  /** things that are no such car, comparisons left out; how often */
  other: number
  /** those named only as a place or a means */
  otherAside: number
  /** what was said before the first of them */
  beforeOther?: Clause[]
  fuel: number
  asking: number
  /** "it" or "she" stands for what is spoken of */
  pronoun: boolean
  small: number
  vague: number
  /** begins with a noun that the lexicon does not know, and no word stands for the car */
  strange: boolean
  /** words that carry meaning, and how many of them the lexicon knows */
  words: number
  knownWords: number
}

export interface Clause {
  concepts: Set<Signed>
  /** stems and signed concepts, for the search index; `not_` before a denied one */
  terms: string[]
}

/** How many meaningful words a denial reaches. */
const REACH = 5
const HALF_REACH = 2
/** The concept whose expressions deny a sound that they may name. */
const SILENT = 'silent'
const PUNCTUATION = /^[^\p{L}\d]/u
/** After "like a", the thing named within so many words is a comparison. */
const COMPARISON_REACH = 4

interface Token {
  word: string
  stem: string
  punctuation: boolean
}

/** Reads text into clauses of signed concepts. Never throws; the same text gives the same reading. */
export function analyse(text: string, lexicon: Lexicon, fixed: ReadonlySet<string>): Analysis {
  const tokens = tokenise(text, lexicon)
  const result: Analysis = {
    clauses: [],
    negated: [],
    other: 0,
    otherAside: 0,
    fuel: 0,
    asking: 0,
    pronoun: tokens.some((t) => lexicon.standFor.has(t.stem)),
    small: 0,
    vague: 0,
    strange: strangeSubject(tokens, lexicon),
    words: 0,
    knownWords: 0,
  }
  let clause: Clause = { concepts: new Set(), terms: [] }
  const endClause = () => {
    if (clause.terms.length) result.clauses.push(clause)
    clause = { concepts: new Set(), terms: [] }
  }
  const start = tokens[0] && lexicon.determiners.has(tokens[0].stem) ? 1 : 0
  if (tokens[start] && firstOf(tokens, start, lexicon.subjects) > 0) {
    result.other++
    result.beforeOther = []
  }
  let reach = 0
  let comparison = 0
  const denied = new Set<string>()
  for (let i = 0; i < tokens.length; ) {
    const token = tokens[i]!
    if (token.punctuation) {
      reach = 0
      comparison = 0
      endClause()
      i++
      continue
    }
    if (lexicon.clauseBreaks.has(token.stem) || joins(tokens, i, lexicon)) endClause()
    const skipped = firstOf(tokens, i, lexicon.notNegators)
    const matches = longest(tokens, i, lexicon)
    if (skipped > (matches?.length ?? 0)) {
      for (let k = 0; k < skipped; k++) clause.terms.push(tokens[i + k]!.stem)
      i += skipped
      continue
    }
    if (lexicon.negationEnds.has(token.stem) && !(matches && matches.length > 1)) reach = 0
    if (lexicon.comparisons.has(token.stem)) comparison = COMPARISON_REACH
    else if (comparison > 0) comparison--
    const negatorLength = firstOf(tokens, i, lexicon.negators)
    const negatorFirst = negatorLength > 0
    const negator = negatorLength
    if (negator > 0 && negator >= (matches?.length ?? 0)) {
      reach = REACH
      clause.terms.push(...tokens.slice(i, i + negator).map((t) => t.stem))
      i += negator
      continue
    }
    const filler = lexicon.fillers.has(token.stem)
    if (!filler) result.words++
    if (!matches) {
      if (!filler) {
        if (lexicon.known.has(token.word)) result.knownWords++
        const term = reach > 0 ? `not_${token.stem}` : token.stem
        clause.terms.push(term)
        if (reach > 0) reach--
      }
      i++
      continue
    }
    result.knownWords++
    // Things first: what they are called must not count as said before them.
    for (const mark of [...matches.marks].sort((a, b) => Number(b === OTHER) - Number(a === OTHER))) {
      if (mark === OTHER) {
        if (comparison === 0) {
          if (carBefore(tokens, i, lexicon) || afterPreposition(tokens, i, lexicon)) result.otherAside++
          else {
            result.other++
            // "A smell in the bathroom" is about the bathroom, whatever came before.
            result.beforeOther = lexicon.prepositions.has(token.stem)
              ? []
              : (result.beforeOther ?? [...result.clauses, { concepts: new Set(clause.concepts), terms: [] }])
          }
        }
      } else if (mark === FUEL) {
        if (comparison === 0) result.fuel++
      } else if (mark === ASKING) result.asking++
      else if (mark === SMALL) result.small++
      else if (mark === VAGUE) result.vague++
      else {
        const name = mark.startsWith('-') ? mark.slice(1) : mark
        let negative = mark.startsWith('-')
        if (reach > 0 && !fixed.has(name)) {
          negative = !negative
          if (negative) denied.add(name)
        }
        const signed = negative ? `-${name}` : name
        clause.concepts.add(signed)
        clause.terms.push(`#${signed}`)
      }
    }
    for (let k = 0; k < matches.length; k++) {
      const { stem } = tokens[i + k]!
      if (lexicon.fillers.has(stem)) continue
      clause.terms.push(reach > 0 ? `not_${stem}` : stem)
    }
    if (matches.length > 1) result.knownWords += matches.length - 1
    if (matches.length > 1) result.words += matches.length - 1
    // A negator inside the expression ("not charging") is used up by it; one before it reaches on.
    if (reach > 0) reach--
    // "Nothing clicks", "not even a click": what was said to be missing is named next.
    const half = lexicon.halfNegators.has(token.stem) || (negatorFirst && matches.marks.includes(SILENT))
    if (half) reach = Math.max(reach, HALF_REACH)
    i += matches.length
  }
  endClause()
  result.negated = [...denied]
  return result
}

function tokenise(text: string, lexicon: Lexicon): Token[] {
  const tokens: Token[] = []
  for (const raw of split(text)) {
    if (PUNCTUATION.test(raw)) {
      tokens.push({ word: raw, stem: raw, punctuation: true })
      continue
    }
    const short = lexicon.contractions.get(raw)
    const mended = short ? raw : mendSpelling(raw.replaceAll("'", ''), lexicon)
    for (const word of short ?? lexicon.contractions.get(mended) ?? [mended]) {
      tokens.push({ word, stem: lexicon.stem(word), punctuation: false })
    }
  }
  return tokens
}

interface Match {
  length: number
  marks: string[]
}

/** The longest expressions that begin here; those with a gap give their marks but use up one word only. */
function longest(tokens: readonly Token[], at: number, lexicon: Lexicon): Match | undefined {
  let best: Match | undefined
  const gapped: string[] = []
  const exact = lexicon.expressions.get(`=${tokens[at]!.word}`) ?? []
  for (const expression of [...(lexicon.expressions.get(tokens[at]!.stem) ?? []), ...exact]) {
    if (best && expression.stems.length < best.length && !expression.stems.includes('*')) break
    const length = matchLength(tokens, at, expression.stems)
    if (length === 0) continue
    if (expression.stems.includes('*')) gapped.push(...expression.marks)
    else if (!best) best = { length, marks: [...expression.marks] }
    else if (best.length === length) best.marks.push(...expression.marks.filter((m) => !best!.marks.includes(m)))
  }
  if (!gapped.length) return best
  return { length: best?.length ?? 1, marks: [...new Set([...gapped, ...(best?.marks ?? [])])] }
}

function matchLength(tokens: readonly Token[], at: number, stems: readonly string[]): number {
  let i = at
  for (let s = 0; s < stems.length; s++) {
    if (stems[s] === '*') {
      const wanted = stems[s + 1]
      let skip = 0
      while (skip <= 3 && tokens[i + skip] && !tokens[i + skip]!.punctuation && tokens[i + skip]!.stem !== wanted)
        skip++
      i += skip
      continue
    }
    const token = tokens[i]
    if (!token || token.punctuation || (token.stem !== stems[s] && `=${token.word}` !== stems[s])) return 0
    i++
  }
  return i - at
}

/** How long the first of these expressions that stands here is, 0 for none. */
function firstOf(tokens: readonly Token[], at: number, list: ReadonlyMap<string, readonly string[][]>): number {
  for (const stems of list.get(tokens[at]!.stem) ?? []) {
    if (matchLength(tokens, at, stems) > 0) return stems.length
  }
  return 0
}

/** "in front of a tractor": a preposition one to three small words before. */
function afterPreposition(tokens: readonly Token[], at: number, lexicon: Lexicon): boolean {
  if (lexicon.possessives.has(tokens[at]!.stem)) return false
  for (let i = at - 1; i >= Math.max(0, at - 2); i--) {
    const token = tokens[i]!
    if (token.punctuation) return false
    if (lexicon.possessives.has(token.stem)) return false
    if (lexicon.prepositions.has(token.stem)) return true
  }
  return false
}

/** "The sprinkler will not stop": a noun that means nothing here comes first, and no "it" or "she" later. */
function strangeSubject(tokens: readonly Token[], lexicon: Lexicon): boolean {
  const [first, second] = tokens
  if (!first || !second || second.punctuation || !lexicon.determiners.has(first.stem)) return false
  if (lexicon.people.has(second.stem) || longest(tokens, 0, lexicon) || longest(tokens, 1, lexicon)) return false
  // "A nasty grinding": what kind of thing comes first, then the thing.
  if (tokens[2] && !tokens[2].punctuation && longest(tokens, 2, lexicon)) return false
  return !tokens.some((t) => lexicon.pronouns.has(t.stem))
}

/** "It goes so slowly that I take my knitting": after "it" or "she" things are named beside; not in "it is my phone". */
function carBefore(tokens: readonly Token[], at: number, lexicon: Lexicon): boolean {
  const names = (t: Token | undefined) =>
    t !== undefined && (lexicon.determiners.has(t.stem) || lexicon.possessives.has(t.stem))
  return tokens.some(
    (t, i) => i < at - 1 && lexicon.standFor.has(t.stem) && !names(tokens[i + 1]) && !names(tokens[i + 2]),
  )
}

/** "… and the back smells": an "and" before a new subject. */
function joins(tokens: readonly Token[], at: number, lexicon: Lexicon): boolean {
  const next = tokens[at + 1]
  return (
    lexicon.joiners.has(tokens[at]!.stem) &&
    next !== undefined &&
    (lexicon.determiners.has(next.stem) || lexicon.standFor.has(next.stem))
  )
}
