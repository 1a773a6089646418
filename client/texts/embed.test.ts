import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'

const folder = join(import.meta.dirname, 'embed')
const read = (file: string): Record<string, string> => JSON.parse(readFileSync(join(folder, file), 'utf8'))
const english = read('en.json')
const source = ['embed.ts', 'manifest-table.ts']
  .map((file) => readFileSync(join(import.meta.dirname, '../elements/embed', file), 'utf8'))
  .join('\n')
const places = (text: string) => [...text.matchAll(/\{(\w+)\}|<\/?\w+>/g)].map((m) => m[0]).sort()

describe.each(readdirSync(folder))("the dealer's page in %s", (file) => {
  it('has every text, with the same places', () => {
    const texts = read(file)
    expect(Object.keys(texts).sort()).toEqual(Object.keys(english).sort())
    for (const [key, text] of Object.entries(texts)) expect(places(text), key).toEqual(places(english[key]!))
  })
})

it('shows each of them', () => {
  for (const key of Object.keys(english)) {
    if (key === 'locale') continue
    // `choice('corners', ['round', …])` asks for `corners-round`.
    const [, family, value] = /^(layout|theme|corners)-(.+)$/.exec(key) ?? []
    const asked = family
      ? source.includes(`choice('${family}'`) && source.includes(`'${value}'`)
      : source.includes(`'${key}'`)
    expect(asked, `"${key}" is used nowhere`).toBe(true)
  }
})
