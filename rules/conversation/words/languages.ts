import en from '../../knowledge/texts/en/words.json' with { type: 'json' }
import type { WordsFile } from './lexicon.ts'

/** The words that come with the program; English stands in for a language that has none. */
const WORDS: Readonly<Record<string, WordsFile>> = { en }

/** `language`: a tag such as "en" or "en-GB". */
export function wordsOf(language: string): WordsFile {
  return WORDS[language.slice(0, 2).toLowerCase()] ?? en
}
