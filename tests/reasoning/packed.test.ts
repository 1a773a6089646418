import { describe, expect, it } from 'vitest'
import { type Compiled, toText } from '../../rules/reasoning/compiled.ts'
import { pack, unpack } from '../../rules/reasoning/packed.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

const arraysOf = (c: Compiled) => [
  c.weights,
  c.remedyOf,
  ...c.facts.map((f) => f.spread),
  ...c.applies.map((a) => a.yes),
  ...c.observables.flatMap((o) => [o.usual, o.table]),
  ...c.checks.map((x) => x.shows),
]
const bitsOf = (a: ArrayBufferView) => Buffer.from(a.buffer, a.byteOffset, a.byteLength).toString('base64')

describe('the tables as bytes', () => {
  it('come back the same to the bit, of the real knowledge', async () => {
    const prepared = await prepareKnowledge()
    if (!prepared.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
    const { compiled } = prepared
    // At an odd place in a larger buffer, as bytes may come.
    const bytes = pack(compiled)
    const elsewhere = new Uint8Array(bytes.length + 3)
    elsewhere.set(bytes, 3)
    const back = unpack(elsewhere.subarray(3))
    expect(toText(back)).toBe(toText(compiled))
    const [a, b] = [arraysOf(compiled), arraysOf(back)]
    expect(b.length).toBe(a.length)
    for (const [i, array] of a.entries()) {
      expect(b[i]!.constructor).toBe(array.constructor)
      expect(bitsOf(b[i]!) === bitsOf(array)).toBe(true)
    }
  })

  it('are refused where they are something else', () => {
    expect(() => unpack(new TextEncoder().encode('<!doctype html>'))).toThrow('no tables')
  })
})
