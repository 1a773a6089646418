import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'

const folder = join(import.meta.dirname, 'pages')
const read = (file: string): Record<string, string> => JSON.parse(readFileSync(join(folder, file), 'utf8'))

it.each(readdirSync(folder))('the pages have their names in %s', (file) => {
  expect(Object.keys(read(file))).toEqual(Object.keys(read('en.json')))
})
