import { z } from 'zod'
import { withDecimalMark } from './decimal-mark.ts'
import { fingerprintOf, readable } from './fingerprint.ts'
import type { SourceFile } from './parse.ts'
import { writeOut } from './siblings.ts'

/**
 * The knowledge in another language: `texts/<language>/<folder>/<file>.json` beside each English file, `car-facts.json`,
 * what parts are called (`parts.json`), and whether the language is whole (`language.json`). Read into one object a
 * language, plain JSON, so that a browser loads the language that it needs and no other.
 */
type Json = string | Json[] | { [key: string]: Json }
const json: z.ZodType<Json> = z.lazy(() => z.union([z.string(), z.array(json), z.record(z.string(), json)]))

export const translationFile = z.strictObject({
  $schema: z.string().optional(),
  of: z
    .union([z.literal(''), z.string().regex(/^[0-9a-f]{16}$/)])
    .describe('stands for the English text that was translated; filled in by "npm run texts"'),
  for: z
    .array(z.record(z.string(), z.string()))
    .optional()
    .describe('what to fill in where an entry of the English "for" has English words in it; same order'),
  text: z.record(z.string(), json),
})
export type TranslationFile = z.infer<typeof translationFile>

export const partsFile = z.strictObject({
  $schema: z.string().optional(),
  parts: z.record(z.string(), z.string().min(1)).describe('name in English -> name; {n} for a number in both'),
})

export const languageFile = z.strictObject({
  $schema: z.string().optional(),
  name: z.string().min(2).describe('what its speakers call it'),
  complete: z.boolean().describe('true: whatever is missing or stale is an error, not a remark'),
})

/** Text of one thing: any of its strings may be missing. */
export type Text = { [key: string]: Json }

export const TEXT_FOLDERS = [
  'causes',
  'observables',
  'checks',
  'complaints',
  'circumstances',
  'cautions',
  'remedies',
  'root-causes',
] as const
export type TextFolder = (typeof TEXT_FOLDERS)[number]

/** Everything that people read of the knowledge in one language, siblings written out. */
export interface KnowledgeTexts {
  language: string
  /** folder -> id -> text */
  texts: Record<TextFolder, Record<string, Text>>
  /** car fact -> its text */
  facts: Record<string, Text>
  /** English name of a part -> its name */
  parts: Record<string, string>
  /** what parts and places of the wiring are called: see rules/wiring/names.ts */
  wiring?: unknown
  /** the words that people say, not looked at here: see rules/conversation/words */
  words?: unknown
}

const PATH = /^texts\/([a-z]{2}(?:-[A-Z]{2})?)\/(.+)$/

/** Languages that have a folder below texts/, English aside: its texts are the knowledge itself. */
export function languagesOf(files: readonly SourceFile[]): string[] {
  const found = files.flatMap((f) => PATH.exec(f.path)?.[1] ?? [])
  return [...new Set(found)].filter((language) => language !== 'en').sort()
}

/**
 * The texts of a language, ready for a conversation. A text is left out, and so read in English, where the English that
 * it was made from no longer stands: a shop's own file in the place of ours, or a change that nobody has translated yet.
 */
export function textsOfLanguage(files: readonly SourceFile[], language: string): KnowledgeTexts {
  const root = `texts/${language}/`
  const english = new Map(files.map((f) => [f.path, f.text]))
  const result: KnowledgeTexts = {
    language,
    texts: Object.fromEntries(TEXT_FOLDERS.map((folder) => [folder, {}])) as KnowledgeTexts['texts'],
    facts: {},
    parts: {},
  }
  for (const file of files) {
    if (!file.path.startsWith(root)) continue
    const path = file.path.slice(root.length)
    const content = parsed(file.text)
    if (path === 'words.json') result.words = content
    else if (path === 'parts.json')
      result.parts = read(partsFile.safeParse(content).data?.parts ?? {}, language) as Record<string, string>
    else {
      const source = parsed(english.get(path))
      const translation = translationFile.safeParse(content).data
      if (!source || !translation || translation.of !== fingerprintOf(source)) continue
      if (path === 'car-facts.json') result.facts = read(translation.text, language) as Record<string, Text>
      if (path === 'netlists/names.json') result.wiring = translation.text
      const folder = path.split('/')[0] as TextFolder
      if (!TEXT_FOLDERS.includes(folder)) continue
      for (const one of writtenOut(source as English, translation))
        result.texts[folder][one.id] = read(one.text, language) as Text
    }
  }
  return result
}

/** Every string of it as a reader of the language reads it. */
function read(text: Json, language: string): Json {
  if (typeof text === 'string') return withDecimalMark(text, language)
  if (Array.isArray(text)) return text.map((t) => read(t, language))
  return Object.fromEntries(Object.entries(text).map(([key, t]) => [key, read(t, language)]))
}

/** What of an English file the translation of it needs. */
export interface English {
  id: string
  for?: Record<string, string | number>[]
  text: Text
}

/** Siblings are those of the English file; where their values are words, the translation's own are put in. */
export function writtenOut(source: English, translation: TranslationFile): { id: string; text: Text }[] {
  const ids = writeOut({ id: source.id, ...(source.for ? { for: source.for } : {}) })
  const entries = source.for?.map((entry, i) => ({ ...entry, ...translation.for?.[i] }))
  const texts = writeOut({ text: translation.text, ...(entries ? { for: entries } : {}) })
  return ids.map(({ id }, i) => ({ id, text: texts[i]!.text }))
}

function parsed(text: string | undefined): unknown {
  if (text === undefined) return undefined
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

export { readable }
