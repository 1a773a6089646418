import fetchers from 'virtual:work-texts'
import english from 'virtual:work-texts/en'
import type keys from './work/en.json'

export type WorkKey = keyof typeof keys
/** One text of the way from the finding to the closed card; `values` fill its places. */
export type WorkText = (key: WorkKey, values?: Record<string, unknown>) => string

type Messages = Record<string, (values?: Record<string, unknown>) => string>

const from =
  (messages: Messages): WorkText =>
  (key, values) =>
    (messages[key] ?? english[key])?.(values) ?? key

const loaded = new Map<string, WorkText>([['en', from(english)]])
const baseOf = (language: string) => {
  const base = language.toLowerCase().split('-')[0]!
  return fetchers[base] ? base : 'en'
}

/** Apart from the conversation's texts: the first question does without them. Undefined until they are fetched. */
export const workTexts = (language: string): WorkText | undefined => loaded.get(baseOf(language))

export async function fetchWorkTexts(language: string): Promise<WorkText> {
  const base = baseOf(language)
  if (!loaded.has(base)) loaded.set(base, from((await fetchers[base]!()).default))
  return loaded.get(base)!
}
