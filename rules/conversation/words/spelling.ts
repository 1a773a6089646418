import { distance } from 'fastest-levenshtein'
import type { Lexicon } from './lexicon.ts'

/**
 * The known word that was probably meant, or the word itself. One slip is mended in words of four letters or more, two
 * in words of eight or more; the first letter is taken to be right, two letters in the wrong order are one slip.
 */
export function mendSpelling(word: string, lexicon: Lexicon): string {
  if (word.length < 4 || word.length > 24 || lexicon.known.has(word)) return word
  // Another form of a known word is not a slip.
  const stem = lexicon.stem(word)
  if (lexicon.expressions.has(stem)) return word
  const most = word.length >= 8 ? 2 : 1
  let best = word
  let least = most + 1
  for (const candidate of lexicon.spellings.get(word[0]!) ?? []) {
    if (candidate.length < 4 || Math.abs(candidate.length - word.length) > most) continue
    const slips = swapped(word, candidate) ? 1 : distance(word, candidate)
    if (slips < least) {
      least = slips
      best = candidate
    }
  }
  return best
}

/** Equal but for two neighbouring letters in the wrong order. */
function swapped(a: string, b: string): boolean {
  if (a.length !== b.length) return false
  let i = 0
  while (i < a.length && a[i] === b[i]) i++
  return i < a.length - 1 && a[i] === b[i + 1] && a[i + 1] === b[i] && a.slice(i + 2) === b.slice(i + 2)
}
