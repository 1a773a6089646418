import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { manifestOf } from '../build/manifest.ts'

interface Declaration {
  kind: string
  name: string
  tagName?: string
  members?: { name: string; kind: string; attribute?: string; privacy?: string; description?: string }[]
  attributes?: { name: string }[]
  events?: { name: string; description?: string }[]
  slots?: { name: string }[]
  cssParts?: { name: string }[]
  cssProperties?: { name: string }[]
}
const manifest = manifestOf(import.meta.dirname) as { modules: { path: string; declarations: Declaration[] }[] }
const lamp = manifest.modules.flatMap((m) => m.declarations).find((d) => d.tagName === 'bench-lamp')!
const source = readFileSync(join(import.meta.dirname, 'bench-lamp/bench-lamp.ts'), 'utf8')
const all = readdirSync(import.meta.dirname, { recursive: true, encoding: 'utf8' })
  .filter((f) => f.endsWith('.ts') && !f.endsWith('.test.ts'))
  .map((f) => readFileSync(join(import.meta.dirname, f), 'utf8'))
  .join('\n')

it('is published as the source says', () => {
  const published = JSON.parse(readFileSync(join(import.meta.dirname, '../public/custom-elements.json'), 'utf8'))
  expect(published, 'run: npx tsx client/build/write-manifest.ts').toEqual(JSON.parse(JSON.stringify(manifest)))
})

it('names every event that the element tells a page, and no other', () => {
  const told = [...source.matchAll(/#tell\(\s*'(bl-[\w-]+)'/g)].map((m) => m[1])
  const named = (lamp.events ?? []).map((e) => e.name).filter((n) => n.startsWith('bl-'))
  expect([...new Set(told)].sort()).toEqual(named.sort())
})

it('names every attribute', () => {
  const taken = [...source.matchAll(/@property\((?:\{([^}]*)\})?\)\s+(\w+)/g)]
    .filter((m) => !m[1]?.includes('attribute: false'))
    .map((m) => m[2])
  for (const name of taken) expect(lamp.attributes?.map((a) => a.name)).toContain(name)
})

it('names only slots, parts and custom properties that there are', () => {
  const tokens = readFileSync(join(import.meta.dirname, '../theme/tokens.ts'), 'utf8')
  for (const { name } of lamp.slots ?? []) expect(source).toContain(`<slot name="${name}"`)
  for (const { name } of lamp.cssParts ?? []) expect(all).toContain(`part="${name}"`)
  for (const { name } of lamp.cssProperties ?? []) expect(tokens).toContain(`${name}:`)
})
