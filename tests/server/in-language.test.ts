import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { errorMessage } from '../../rules/protocol/say.ts'
import { inLanguage } from '../../server/cases/in-language.ts'

const server = join(import.meta.dirname, '../../server')
const sources = readdirSync(join(server, 'cases'))
  .filter((name) => name.endsWith('.ts'))
  .map((name) => readFileSync(join(server, 'cases', name), 'utf8'))
  .join('\n')
  .replace(/\$\{[^}]*\}/g, '{}')

describe.each(readdirSync(join(server, 'texts')))('what the server says, in %s', (file) => {
  const table = JSON.parse(readFileSync(join(server, 'texts', file), 'utf8')) as Record<string, string>
  it('is each something that it does say', () => {
    expect(Object.keys(table).filter((english) => !sources.includes(english))).toEqual([])
  })
  it('keeps what is put in', () => {
    for (const [english, own] of Object.entries(table))
      expect(own.split('{}').length, english).toBe(english.split('{}').length)
  })
})

it('is said in the language of the screen, in English where that has no word for it', () => {
  const message = errorMessage('no-such-case', 'No case has the code K7-204.', 'Read the code again.', { re: 'a' })
  expect(inLanguage(message, 'es')).toEqual({
    ...message,
    text: 'Ninguna ficha tiene el código K7-204.',
    mend: 'Lea el código otra vez.',
  })
  expect(inLanguage(message, 'en')).toEqual(message)
  expect(inLanguage(message, undefined)).toEqual(message)
  expect(inLanguage(errorMessage('invalid', 'Something else.', 'Mend it.'), 'es')).toMatchObject({
    text: 'Something else.',
  })
})
