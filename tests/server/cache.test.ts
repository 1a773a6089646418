import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { compile } from '../../rules/reasoning/compile.ts'
import { toText } from '../../rules/reasoning/compiled.ts'
import { hashOf } from '../../rules/reasoning/hash.ts'
import type { Knowledge } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { compiledOf } from '../../server/knowledge/cache.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'
import { removeFolders, temporaryFolder } from './harness.ts'

let knowledge: Knowledge
let hash: string
let direct: string
beforeAll(async () => {
  const files = readKnowledgeFiles()
  knowledge = parseKnowledge(files).knowledge!
  hash = hashOf(files)
  direct = toText(await compile(knowledge, hash))
})
afterAll(removeFolders)

it('tables from the cache are the same to the bit as tables just made', async () => {
  const folder = temporaryFolder()
  expect(toText(await compiledOf(knowledge, hash, folder))).toBe(direct)
  expect(readdirSync(folder)).toHaveLength(1)
  expect(toText(await compiledOf(knowledge, hash, folder))).toBe(direct)
})

it('are really read from there, and a spoilt cache is not', async () => {
  const folder = temporaryFolder()
  await compiledOf(knowledge, hash, folder)
  const file = join(folder, readdirSync(folder)[0]!)
  const good = readFileSync(file, 'utf8')
  const other = { ...knowledge, causes: knowledge.causes.slice(1) }
  // Another knowledge under the same hash: what comes back shows where it came from.
  expect(toText(await compiledOf(other, hash, folder))).toBe(direct)
  for (const spoilt of [good.slice(0, -100), good.replace('"weights"', '"weight_"'), '', '\n', '{}\n{}']) {
    writeFileSync(file, spoilt)
    expect(toText(await compiledOf(knowledge, hash, folder))).toBe(direct)
  }
})

it('does not need a folder that can be written to, and does not grow for ever', async () => {
  const file = join(temporaryFolder(), 'file')
  writeFileSync(file, '')
  expect(toText(await compiledOf(knowledge, hash, file))).toBe(direct)
  const folder = temporaryFolder()
  for (let i = 0; i < 12; i++) writeFileSync(join(folder, `tables-old${i}-x.json`), '')
  await compiledOf(knowledge, hash, folder)
  expect(readdirSync(folder)).toHaveLength(6)
})
