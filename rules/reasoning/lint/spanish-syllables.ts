/**
 * How many syllables a Spanish word has: one for each vowel nucleus. After the Ortografía de la lengua española (RAE,
 * 2010): open vowels (a, e, o) side by side are two, so is an open vowel beside í or ú, and two equal vowels; every other
 * row with an i or u in it is one; h between vowels changes nothing; y is a vowel at the end of a word. The libraries for
 * it hyphenate, which leaves out syllables of one letter, or bring a test runner with them.
 */
export function spanishSyllables(word: string): number {
  const letters = word
    .toLowerCase()
    .normalize('NFC')
    // "qu" and "gu" before e and i are one sound, "gü" is not.
    .replace(/qu(?=[eiéí])/g, 'q')
    .replace(/gu(?=[eiéí])/g, 'g')
    .replace(/y$/, 'i')
    .replace(/(?<=[aeiouáéíóúü])h(?=[aeiouáéíóúü])/g, '')
  let count = 0
  for (const [row] of letters.matchAll(/[aeiouáéíóúü]+/g)) {
    count++
    for (let i = 1; i < row.length; i++) if (apart(row[i - 1]!, row[i]!)) count++
  }
  return Math.max(1, count)
}

const OPEN = new Set('aeoáéó')
const STRESSED_CLOSE = new Set('íú')
const bare = (vowel: string) => vowel.normalize('NFD')[0]!

function apart(a: string, b: string): boolean {
  if (bare(a) === bare(b)) return true
  if (OPEN.has(a) && OPEN.has(b)) return true
  return (OPEN.has(a) && STRESSED_CLOSE.has(b)) || (STRESSED_CLOSE.has(a) && OPEN.has(b))
}
