import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { beforeAll, expect, it } from 'vitest'
import { buildClient } from './built.ts'

let folder: string
beforeAll(async () => {
  folder = await buildClient('size')
})

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
  const files = [...withImports(join(folder, 'benchlamp.js'))]
  const bytes = files.map((f) => gzipSync(readFileSync(f), { level: 9 }).length)
  expect(bytes.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(30_000)
})

it('the heavier parts come later, from a script that does bring them', () => {
  const source = readFileSync(join(folder, 'benchlamp.js'), 'utf8')
  for (const part of ['asking', 'workshop', 'hand-over', 'trail']) {
    expect(source).toMatch(new RegExp(`import\\(.\\./assets/${part}-`))
  }
})
