import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import MessageFormat from '@messageformat/core'
import { describe, expect, it } from 'vitest'

const read = (language: string): Record<string, string> =>
  JSON.parse(readFileSync(join(import.meta.dirname, `${language}.json`), 'utf8'))
const languages = readdirSync(import.meta.dirname)
  .filter((f) => f.endsWith('.json'))
  .map((f) => f.replace('.json', ''))
const english = read('en')
/** The values that a message takes; what is said in one case or another is no value. */
const places = (message: string) =>
  [...new Set([...message.matchAll(/(?<!(?:zero|one|two|few|many|other|=\d)\s*)\{(\w+)/g)].map((m) => m[1]))].sort()

const source = readdirSync(join(import.meta.dirname, '..'), { recursive: true, encoding: 'utf8' })
  .filter((f) => f.startsWith('elements') && f.endsWith('.ts') && !f.endsWith('.test.ts'))
  .map((f) => readFileSync(join(import.meta.dirname, '..', f), 'utf8'))
  .join('\n')

describe.each(languages)('the texts in %s', (language) => {
  const texts = read(language)

  it('are all there, and no others', () => {
    expect(Object.keys(texts).sort()).toEqual(Object.keys(english).sort())
  })

  it('can be formatted, each with the places of the English one', () => {
    const format = new MessageFormat(language)
    const values = {
      n: 2,
      more: 3,
      minutes: 4,
      unit: 'V',
      value: '1',
      cause: 'c',
      part: 'p',
      question: 'q',
      code: 'K1',
      before: 'K2',
      what: 'w',
      why: 'y',
      shop: 's',
      range: '1 – 2',
    }
    for (const [key, message] of Object.entries(texts)) {
      expect(format.compile(message)(values), key).not.toMatch(/undefined|\{/)
      expect(places(message), key).toEqual(places(english[key]!))
    }
  })
})

it('every text is used, and no other is asked for', () => {
  for (const key of Object.keys(english)) {
    const family = /^(signal|weight|role|state)-/.exec(key)
    const used = source.includes(`'${key}'`) || (family && source.includes(`${family[0]}\${`))
    expect(used, `"${key}" is used nowhere`).toBeTruthy()
  }
})
