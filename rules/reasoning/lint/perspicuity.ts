import { spanishSyllables } from './spanish-syllables.ts'

/**
 * How easily Spanish text is read: 206.835 − 62.3 × syllables/words − words/sentences.
 * Source: F. Szigriszt Pazos, Sistemas predictivos de legibilidad del mensaje escrito, Universidad Complutense de Madrid,
 * 1993; read by the INFLESZ scale of I. M. Barrio Cantalejo et al., An. Sist. Sanit. Navar. 31 (2008) 135–152.
 *
 * @param texts each counts as at least one sentence
 */
export function perspicuity(texts: readonly string[]): { score: number; words: number } {
  let sentences = 0
  let words = 0
  let syllables = 0
  for (const text of texts) {
    for (const sentence of text.split(/[.!?:;]+(?:\s|$)/)) {
      const list = sentence.match(/[\p{L}\p{N}][\p{L}\p{N}'’-]*/gu) ?? []
      if (list.length === 0) continue
      sentences++
      words += list.length
      for (const word of list) syllables += spanishSyllables(word)
    }
  }
  if (words === 0) return { score: 100, words }
  return { score: perspicuityOf({ syllables, words, sentences }), words }
}

export const perspicuityOf = (n: { syllables: number; words: number; sentences: number }): number =>
  206.835 - (62.3 * n.syllables) / n.words - n.words / n.sentences

/** The INFLESZ scale: from these scores on, text is … */
export const INFLESZ = [
  { from: 80, name: 'muy fácil' },
  { from: 65, name: 'bastante fácil' },
  { from: 55, name: 'normal' },
  { from: 40, name: 'algo difícil' },
  { from: Number.NEGATIVE_INFINITY, name: 'muy difícil' },
] as const

export const inflesz = (score: number): (typeof INFLESZ)[number]['name'] => INFLESZ.find((x) => score >= x.from)!.name
