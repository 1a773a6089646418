import fetchers from 'virtual:embed-texts'
import english from 'virtual:embed-texts/en'
import elementTexts from 'virtual:texts'
import type keys from './embed/en.json'

export type EmbedKey = keyof typeof keys
/** One text of the dealer's page; `values` fill its places. */
export type EmbedText = (key: EmbedKey, values?: Record<string, unknown>) => string

type Messages = Record<string, (values?: Record<string, unknown>) => string>

const from =
  (messages: Messages): EmbedText =>
  (key, values) =>
    (messages[key] ?? english[key])?.(values) ?? key

export const embedInEnglish: EmbedText = from(english)

export async function embedTexts(language: string): Promise<EmbedText> {
  return fetchers[language] ? from((await fetchers[language]()).default) : embedInEnglish
}

/** Languages that the element speaks. */
export const languages: readonly string[] = ['en', ...Object.keys(elementTexts)]
