import { describe, expect, it } from 'vitest'
import { meaningsFile, wordsFile } from '../../rules/conversation/words/lexicon.ts'
import meanings from '../../rules/knowledge/texts/meanings.json' with { type: 'json' }
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'
import { shippedKnowledge } from './knowledge.ts'

const words = readKnowledgeFiles().filter((file) => /^texts\/[a-z]{2}\/words\.json$/.test(file.path))

describe('texts/meanings.json', () => {
  const table = meaningsFile.parse(meanings)
  const knowledge = shippedKnowledge()
  it('names complaints and circumstances that exist', () => {
    const complaints = new Set(knowledge.complaints.map((c) => c.id))
    const circumstances = new Set(knowledge.circumstances.map((c) => c.id))
    const named = [...Object.keys(table.complaints), ...Object.keys(table.needs), ...Object.keys(table.against)]
    expect([...named, ...table.gravity.flat()].filter((id) => !complaints.has(id))).toEqual([])
    expect(Object.keys(table.circumstances).filter((id) => !circumstances.has(id))).toEqual([])
  })
  it('gives every complaint a place by gravity, once', () => {
    expect(table.gravity.flat().sort()).toEqual(knowledge.complaints.map((c) => c.id).sort())
  })
})

describe.each(words)('$path', ({ text }) => {
  const file = wordsFile.parse(JSON.parse(text))
  const concepts = new Set(Object.keys(file.concepts).map((name) => name.replace(/^-/, '')))
  it('has the concepts that meanings.json speaks of', () => {
    const table = meaningsFile.parse(meanings)
    const patterns = [table.complaints, table.circumstances].flatMap((t) => Object.values(t).flatMap(Object.keys))
    const spoken = [
      ...patterns.flatMap((pattern) => pattern.split(/[ |]/)),
      ...[table.needs, table.against].flatMap((t) => Object.values(t).flat()),
      ...table.fixed,
      ...table.car,
    ].map((name) => name.replace(/^[!-]+/, ''))
    expect(spoken.filter((name) => name !== '' && !concepts.has(name))).toEqual([])
  })
})
