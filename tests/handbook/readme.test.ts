import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'

const folder = new URL('../../rules/handbook/', import.meta.url)
const files = readdirSync(folder).filter((name) => name.endsWith('.ts') && name !== 'index.ts')
const readme = readFileSync(new URL('README.md', folder), 'utf8')
const index = readFileSync(new URL('index.ts', folder), 'utf8')

describe('the handbook page', () => {
  it.each(files)('lists %s, and the index exports it', (name) => {
    expect(readme).toContain(`\`${name}\``)
    expect(index).toContain(`'./${name}'`)
  })
  it('lists no file that is gone', () => {
    const listed = [...readme.matchAll(/^\| `([a-z-]+\.ts)`/gm)].map((m) => m[1])
    expect(listed.length).toBeGreaterThan(20)
    expect(listed.filter((name) => !files.includes(name!))).toEqual([])
  })
})
