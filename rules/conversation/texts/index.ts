import { IntlMessageFormat } from 'intl-messageformat'
import en from './en.json' with { type: 'json' }
import es from './es.json' with { type: 'json' }

export type TextKey = keyof typeof en
export type Translate = (key: TextKey, values?: Record<string, string | number>) => string

/** A language is one file beside this one; what it lacks is said in English. */
const FILES: Record<string, Partial<Record<TextKey, string>>> = { en, es }

const made = new Map<string, Translate>()

/** The sentences of the conversation in a language, as ICU messages. */
export function textsOf(language: string): Translate {
  const known = made.get(language)
  if (known) return known
  const file = FILES[language] ?? FILES[language.split('-')[0]!] ?? en
  const formats = new Map<TextKey, IntlMessageFormat>()
  const translate: Translate = (key, values) => {
    let format = formats.get(key)
    if (!format) {
      format = new IntlMessageFormat(file[key] ?? en[key], file[key] ? language : 'en', undefined, { ignoreTag: true })
      formats.set(key, format)
    }
    return String(format.format(values))
  }
  made.set(language, translate)
  return translate
}
