import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import MessageFormat from '@messageformat/core'
import { describe, expect, it } from 'vitest'

const folder = join(import.meta.dirname, 'desk')
const read = (file: string): Record<string, string> => JSON.parse(readFileSync(join(folder, file), 'utf8'))
const english = read('en.json')
/** The values that a message takes; what is said in one case or another is no value. */
const places = (message: string) =>
  [...new Set([...message.matchAll(/(?<!(?:zero|one|two|few|many|other|=\d)\s*)\{(\w+)/g)].map((m) => m[1]))].sort()
/** Names of texts that are put together from what the server names. */
const made = /^(tab|role|status|weight|found|way|result|tool|item|paper|own|signal)-/

describe.each(readdirSync(folder))('the texts of the desk in %s', (file) => {
  const texts = read(file)
  it('are all there, and no others; each with the places of the English one', () => {
    expect(Object.keys(texts).sort()).toEqual(Object.keys(english).sort())
    const format = new MessageFormat(file.slice(0, 2))
    const values = Object.fromEntries(Object.values(english).flatMap((m) => places(m).map((p) => [p, 2])))
    for (const [key, message] of Object.entries(texts)) {
      expect(format.compile(message)(values), key).not.toMatch(/undefined|\{/)
      expect(places(message), key).toEqual(places(english[key]!))
    }
  })
})

it('every text of the desk is used', () => {
  const source = ['desk', 'sign-in', 'photos', 'work-order', 'ask-first']
    .flatMap((name) => readdirSync(join(import.meta.dirname, '../elements', name)).map((f) => join(name, f)))
    .concat('desk-part.ts', '../session/api.ts')
    .map((f) => readFileSync(join(import.meta.dirname, '../elements', f), 'utf8'))
    .join('\n')
  const unused = Object.keys(english).filter((key) => {
    const family = made.exec(key)?.[0]
    return !source.includes(`'${key}'`) && !(family && source.includes(`${family}\${`))
  })
  expect(unused).toEqual([])
})
