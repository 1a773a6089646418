import { expect, it } from 'vitest'
import { readDraft } from './draft.ts'

it.each([
  ['{\n  "id": \n}', 3],
  ['{\n  "id": "a"\n  "part": "b"\n}', 3],
  ['{\n  "id": "a",\n}', 3],
  ['{ "id": [1, 2\n\n', 3],
  ['', 1],
  ['{}\n{}', 2],
  ['{\n  id: 1 }', 2],
  ['{\n "a": "x\ty" }'.replace('\\t', '\t'), 2],
  ['{\n\n "a": 1.5e3, "b": [true, null, {}], "c": tru }', 3],
])('%j can not be read, and the line is said', (text, line) => {
  expect(readDraft(text)).toEqual({ line })
})

it('a file that can be read is an object, and nothing else', () => {
  expect(readDraft('{ "a": [] }')).toEqual({ json: { a: [] } })
  expect(readDraft('[1]')).toEqual({ notObject: true })
})
