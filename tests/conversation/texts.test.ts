import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { IntlMessageFormat } from 'intl-messageformat'
import { describe, expect, test } from 'vitest'
import { textsOf } from '../../rules/conversation/texts/index.ts'

const FOLDER = join(import.meta.dirname, '../../rules/conversation/texts')
const read = (name: string): Record<string, string> => JSON.parse(readFileSync(join(FOLDER, name), 'utf8'))
const english = read('en.json')
const others = readdirSync(FOLDER)
  .filter((name) => name.endsWith('.json') && name !== 'en.json')
  .map((name) => name.replace('.json', ''))

type Element = ReturnType<IntlMessageFormat['getAst']>[number]

/** The values that a sentence needs, with how each is read: `{count, plural, …}` is not `{count}`. */
function values(message: string, language: string): string[] {
  const found = new Set<string>()
  const visit = (elements: readonly Element[]) => {
    for (const e of elements) {
      if (e.type === 0 || e.type === 7 || e.type === 8) continue
      found.add(`${e.value} ${e.type}`)
      if (e.type === 5 || e.type === 6) for (const option of Object.values(e.options)) visit(option.value)
    }
  }
  visit(new IntlMessageFormat(message, language, undefined, { ignoreTag: true }).getAst())
  return [...found].sort()
}

test('there is a language beside English', () => {
  expect(others).toContain('es')
})

describe.each(others)('the sentences in %s', (language) => {
  const own = read(`${language}.json`)

  test('are those of English, each with the same values in it', () => {
    expect(Object.keys(own).sort()).toEqual(Object.keys(english).sort())
    for (const [key, message] of Object.entries(own))
      expect([key, values(message, language)]).toEqual([key, values(english[key]!, 'en')])
  })

  test('are not English left standing', () => {
    const same = Object.keys(own).filter(
      (key) => own[key] === english[key] && /[a-z]{3}/.test(own[key]!.replace(/\{\w+\}/g, '')),
    )
    expect(same).toEqual([])
  })

  test('are the ones that are said', () => {
    expect(textsOf(language)('answer.dont-know')).toBe(own['answer.dont-know'])
    expect(textsOf(`${language}-MX`)('answer.dont-know')).toBe(own['answer.dont-know'])
  })
})

test('Spanish counts as Spanish does', () => {
  const t = textsOf('es')
  expect([0, 1, 2].map((minutes) => t('ask.minutes', { minutes }))).toEqual([
    'menos de un minuto',
    '1 minuto',
    '2 minutos',
  ])
  expect(t('noted.answered', { count: 1 })).toBe('Una causa queda descartada.')
  expect(t('noted.answered', { count: 3 })).toBe('3 causas quedan descartadas.')
})
