import fetchers from 'virtual:texts'
import english from 'virtual:texts/en'
import type keys from './en.json'

export type Key = keyof typeof keys
/** One text of the interface; `values` fill its places. */
export type Translate = (key: Key, values?: Record<string, unknown>) => string

type Messages = Record<string, (values?: Record<string, unknown>) => string>

const from =
  (messages: Messages): Translate =>
  (key, values) =>
    (messages[key] ?? english[key])?.(values) ?? key

export const inEnglish: Translate = from(english)

/** The texts in a language, English for those that it lacks and for languages that there is no file of. */
export async function translateTo(language: string): Promise<Translate> {
  const base = language.toLowerCase().split('-')[0]!
  if (base === 'en' || !fetchers[base]) return inEnglish
  return from((await fetchers[base]()).default)
}

const RIGHT_TO_LEFT = new Set(['ar', 'fa', 'he', 'ur', 'yi', 'ps', 'sd', 'ug', 'dv'])

/** The direction that a language is written in. */
export function directionOf(language: string): 'ltr' | 'rtl' {
  return RIGHT_TO_LEFT.has(language.toLowerCase().split('-')[0]!) ? 'rtl' : 'ltr'
}
