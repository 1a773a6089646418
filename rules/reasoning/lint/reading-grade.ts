import { syllable } from 'syllable'

/**
 * Flesch–Kincaid grade of English text: 0.39 × words/sentences + 11.8 × syllables/words − 15.59.
 * Source: J. P. Kincaid et al., Derivation of new readability formulas … for Navy enlisted personnel, Research Branch
 * Report 8-75, 1975.
 *
 * @param texts each counts as at least one sentence
 */
export function readingGrade(texts: readonly string[]): { grade: number; words: number } {
  let sentences = 0
  let words = 0
  let syllables = 0
  for (const text of texts) {
    for (const sentence of text.split(/[.!?:;]+(?:\s|$)/)) {
      const list = sentence.match(/[\p{L}\p{N}][\p{L}\p{N}'’-]*/gu) ?? []
      if (list.length === 0) continue
      sentences++
      words += list.length
      for (const word of list) syllables += Math.max(1, syllable(word))
    }
  }
  if (words === 0) return { grade: 0, words }
  return { grade: 0.39 * (words / sentences) + 11.8 * (syllables / words) - 15.59, words }
}
