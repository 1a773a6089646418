import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { ServerMessage } from '../../rules/protocol/index.ts'

/**
 * What the server itself says to people, in other languages: texts/<language>.json, English sentence -> sentence, `{}` for
 * what is put in, `{said}` where that is itself something the server says. What is not there is said in English: it is
 * meant for whoever writes a page.
 */
const FOLDER = join(import.meta.dirname, '../texts')

export type Said = (english: string) => string
const plain: Said = (english) => english

const languages = new Map<string, Said>(
  readdirSync(FOLDER)
    .filter((name) => name.endsWith('.json'))
    .map((name) => [
      name.slice(0, -'.json'.length),
      saidFrom(JSON.parse(readFileSync(join(FOLDER, name), 'utf8')) as Record<string, string>),
    ]),
)

function saidFrom(table: Readonly<Record<string, string>>): Said {
  const filled = Object.entries(table)
    .filter(([english]) => english.includes('{}'))
    .map(([english, own]) => ({ parts: english.split('{}'), own }))
    // `"{}" is {}.` fits much that says more: what has most words of its own is tried first.
    .sort((a, b) => b.parts.join('').length - a.parts.join('').length)
  const said: Said = (english) => {
    // A name that somebody typed may be that of something which every object has.
    if (Object.hasOwn(table, english)) return table[english]!
    for (const { parts, own } of filled) {
      const values = valuesIn(english, parts)
      if (values) return own.replace(/\{(said)?\}/g, (_place, itself) => (itself ? said : plain)(values.shift() ?? ''))
    }
    return english
  }
  return said
}

/**
 * What stands between the parts of a sentence; undefined where it is another one. From left to right and never back, so that
 * no text that somebody makes up takes long.
 */
function valuesIn(text: string, parts: readonly string[]): string[] | undefined {
  const first = parts[0]!
  const last = parts.at(-1)!
  const end = text.length - last.length
  if (!text.startsWith(first) || !text.endsWith(last) || end < first.length) return undefined
  const values: string[] = []
  let from = first.length
  for (const part of parts.slice(1, -1)) {
    const at = text.indexOf(part, from)
    if (at < 0 || at + part.length > end) return undefined
    values.push(text.slice(from, at))
    from = at + part.length
  }
  return [...values, text.slice(from, end)]
}

/** The languages that the server has sentences in, English first. */
export const LANGUAGES: readonly string[] = ['en', ...languages.keys()]

/** What turns the server's sentences into a language; for one that there is none in, they stay English. */
export function saidIn(language: string | undefined): Said {
  return languages.get((language ?? 'en').slice(0, 2)) ?? plain
}

/** The same message; what the server itself says in it, in the language of the screen. */
export function inLanguage(message: ServerMessage, language: string | undefined): ServerMessage {
  if (message.type !== 'error' && message.type !== 'refused') return message
  const said = saidIn(language)
  return { ...message, text: said(message.text), mend: said(message.mend) }
}
