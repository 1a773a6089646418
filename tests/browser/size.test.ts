import { readdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { expect, inject, it } from 'vitest'

/** A script and all that it imports at once, not what it fetches later. */
function withImports(file: string, seen = new Set<string>()): Set<string> {
  if (seen.has(file)) return seen
  seen.add(file)
  const source = readFileSync(file, 'utf8')
  for (const [, from] of source.matchAll(
    /(?:^|[;}\n])\s*(?:import|export)\s*(?:[\w${}*,\s]+from\s*)?["'](\.[^"']+)["']/g,
  )) {
    withImports(join(dirname(file), from!), seen)
  }
  return seen
}

it('the first question is at most 30 KB, gzipped, with all that it needs', () => {
  const files = [...withImports(join(inject('built'), 'benchlamp.js'))]
  const bytes = files.map((f) => gzipSync(readFileSync(f), { level: 9 }).length)
  expect(bytes.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(30_000)
})

it('the heavier parts come later, from a script that does bring them', () => {
  const source = readFileSync(join(inject('built'), 'benchlamp.js'), 'utf8')
  for (const part of ['asking', 'workshop', 'hand-over', 'trail', 'host', 'hand-up']) {
    expect(source).toMatch(new RegExp(`import\\(.\\./assets/${part}-`))
  }
})

it('what reasons in the browser comes on need only, is small for what it is, and holds one language', () => {
  const assets = readdirSync(join(inject('built'), 'assets'))
  const first = [...withImports(join(inject('built'), 'benchlamp.js'))].map((f) => basename(f))
  const of = (name: RegExp) => {
    const found = assets.filter((f) => name.test(f))
    expect(found, String(name)).toHaveLength(1)
    expect(first).not.toContain(found[0])
    return join(inject('built'), 'assets', found[0]!)
  }
  const size = (file: string) => {
    const bytes = readFileSync(file)
    // The data are compressed in the file.
    return file.endsWith('.bin') ? bytes.length : gzipSync(bytes, { level: 9 }).length
  }
  const script = of(/^worker-.*\.js$/)
  expect(size(script)).toBeLessThanOrEqual(260_000)
  expect(size(of(/^tables-.*\.bin$/))).toBeLessThanOrEqual(60_000)
  expect(size(of(/^knowledge-.*\.bin$/))).toBeLessThanOrEqual(320_000)
  const source = readFileSync(script, 'utf8')
  expect(source).not.toMatch(/json-rules-engine|jsonpath|almanac/i)
  const spanish = JSON.parse(
    readFileSync(join(import.meta.dirname, '../../rules/conversation/texts/es.json'), 'utf8'),
  ) as Record<string, string>
  const long = Object.values(spanish).filter((text) => text.length > 30 && !/[{'"]/.test(text))
  expect(long.length).toBeGreaterThan(10)
  for (const text of long) expect(source).not.toContain(text)
})
