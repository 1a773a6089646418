import fetchers from 'virtual:meter-texts'
import english from 'virtual:meter-texts/en'
import type keys from './meter/en.json'

export type MeterKey = keyof typeof keys
/** One text of the drawings and the meter; `values` fill its places. */
export type MeterText = (key: MeterKey, values?: Record<string, unknown>) => string

type Messages = Record<string, (values?: Record<string, unknown>) => string>

const from =
  (messages: Messages): MeterText =>
  (key, values) =>
    (messages[key] ?? english[key])?.(values) ?? key

const loaded = new Map<string, MeterText>([['en', from(english)]])
const baseOf = (language: string) => {
  const base = language.toLowerCase().split('-')[0]!
  return fetchers[base] ? base : 'en'
}

export const meterInEnglish: MeterText = loaded.get('en')!

/** They come with the drawings and not before. Undefined until they are fetched. */
export const meterTexts = (language: string): MeterText | undefined => loaded.get(baseOf(language))

export async function fetchMeterTexts(language: string): Promise<MeterText> {
  const base = baseOf(language)
  if (!loaded.has(base)) loaded.set(base, from((await fetchers[base]!()).default))
  return loaded.get(base)!
}
