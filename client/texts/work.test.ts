import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import MessageFormat from '@messageformat/core'
import { describe, expect, it } from 'vitest'

const folder = join(import.meta.dirname, 'work')
const read = (file: string): Record<string, string> => JSON.parse(readFileSync(join(folder, file), 'utf8'))
const english = read('en.json')
const places = (message: string) => [...message.matchAll(/\{(\w+)[},]/g)].map((m) => m[1]).sort()

describe.each(readdirSync(folder))('the texts of the job in %s', (file) => {
  const texts = read(file)
  it('are all there, and no others; each with the places of the English one', () => {
    expect(Object.keys(texts).sort()).toEqual(Object.keys(english).sort())
    const format = new MessageFormat(file.slice(0, 2))
    const values = { n: 2, of: 3, names: 'a', name: 'a', amount: '1', currency: '', likely: '1', range: '1 – 2' }
    for (const [key, message] of Object.entries(texts)) {
      expect(format.compile(message)(values), key).not.toMatch(/undefined|\{/)
      expect(places(message), key).toEqual(places(english[key]!))
    }
  })
})

it('every text of the job is used', () => {
  const source = ['work', 'finding']
    .flatMap((name) =>
      readdirSync(join(import.meta.dirname, '../elements', name)).map((f) => join('../elements', name, f)),
    )
    .map((f) => readFileSync(join(import.meta.dirname, f), 'utf8'))
    .join('\n')
  // Families that are put together from what the protocol or the steps name.
  const made =
    /^(way|root|result|figure|work-wrong|contact-wrong|next)-|^work-(approve|why|repair|proof|hand-back|sign-off|close)(-now)?$/
  for (const key of Object.keys(english))
    expect(source.includes(`'${key}'`) || made.test(key), `"${key}" is used nowhere`).toBe(true)
})
