import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { ServerMessage } from '../../rules/protocol/index.ts'

/**
 * What the server itself says to people, in other languages: texts/<language>.json, English sentence -> sentence, `{}` for
 * what is put in. What is not there is said in English: it is meant for whoever writes a page.
 */
const FOLDER = join(import.meta.dirname, '../texts')

type Said = (english: string) => string

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
    .map(([english, own]) => {
      const [before, after] = english.split('{}') as [string, string]
      return { before, after, own }
    })
  return (english) => {
    const whole = table[english]
    if (whole !== undefined) return whole
    const found = filled.find(({ before, after }) => english.startsWith(before) && english.endsWith(after))
    if (!found) return english
    return found.own.replace('{}', () => english.slice(found.before.length, english.length - found.after.length))
  }
}

/** The same message; what the server itself says in it, in the language of the screen. */
export function inLanguage(message: ServerMessage, language: string | undefined): ServerMessage {
  const said = language === undefined ? undefined : languages.get(language.slice(0, 2))
  if (!said || (message.type !== 'error' && message.type !== 'refused')) return message
  return { ...message, text: said(message.text), mend: said(message.mend) }
}
