import fetchers from 'virtual:desk-texts'
import english from 'virtual:desk-texts/en'
import type keys from './desk/en.json'

export type DeskKey = keyof typeof keys
/** One text of the desk, the work order, the sign-in form or the pictures; `values` fill its places. */
export type DeskText = (key: DeskKey, values?: Record<string, unknown>) => string

type Messages = Record<string, (values?: Record<string, unknown>) => string>

const from =
  (messages: Messages): DeskText =>
  (key, values) =>
    (messages[key] ?? english[key])?.(values) ?? key

export const deskInEnglish: DeskText = from(english)

/** Apart from the conversation's texts: a customer's first question does without them. */
export async function deskTexts(language: string): Promise<DeskText> {
  const base = language.toLowerCase().split('-')[0]!
  if (base === 'en' || !fetchers[base]) return deskInEnglish
  return from((await fetchers[base]()).default)
}

/** Our own pages speak the reader's language where there are texts in it; `?lang=` says another. */
export function pageLanguage(): string {
  const wanted = new URLSearchParams(location.search).get('lang')
  const said = [...(wanted ? [wanted] : []), ...navigator.languages].map((l) => l.toLowerCase().split('-')[0]!)
  return said.find((l) => l === 'en' || fetchers[l]) ?? 'en'
}

/** The address of another page of ours: one that was asked for in a language leads on in it, whatever the browser speaks. */
export function ourPage(path: string): string {
  const wanted = new URLSearchParams(location.search).get('lang')
  if (!wanted) return path
  const { pathname, searchParams, hash } = new URL(path, location.origin)
  searchParams.set('lang', wanted)
  return `${pathname}?${searchParams}${hash}`
}
