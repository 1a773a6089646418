import type { Compiled } from './compiled.ts'

/**
 * The tables as bytes, for a browser to fetch: every number once, then which of them stands where. A table is mostly rows
 * that say "as usual", so rows are numbered too. What comes back is the same to the bit (tests/reasoning/packed.test.ts).
 *
 * Layout, little-endian: `BLT1`, byte length of the head, the head (JSON, padded with spaces to 8), the distinct numbers
 * as doubles, the distinct rows, then for each array the numbers of its rows.
 */
const MAGIC = 'BLT1'

interface Place {
  /** how many numbers a row has */
  width: number
  rows: number
}
interface Head {
  compiled: unknown
  numbers: number
  /** by width: how many distinct rows there are */
  distinct: [width: number, rows: number][]
  arrays: Place[]
}

/** Arrays of a Compiled, in the order in which they are packed, with the width of their rows. */
function arraysOf(c: Compiled): { array: ArrayLike<number>; width: number }[] {
  return [
    { array: c.weights, width: 1 },
    { array: c.remedyOf, width: 1 },
    ...c.facts.map((f) => ({ array: f.spread, width: 1 })),
    ...c.applies.map((a) => ({ array: a.yes, width: 1 })),
    ...c.observables.flatMap((o) => [
      { array: o.usual, width: o.states.length },
      { array: o.table, width: o.states.length },
    ]),
    ...c.checks.map((x) => ({ array: x.shows, width: 1 })),
  ]
}

export function pack(c: Compiled): Uint8Array {
  const numbers = new Map<number, number>()
  const rowsOfWidth = new Map<number, Map<string, number>>()
  const arrays: Place[] = []
  const places: number[] = []
  for (const { array, width } of arraysOf(c)) {
    const rows = rowsOfWidth.get(width) ?? new Map<string, number>()
    rowsOfWidth.set(width, rows)
    arrays.push({ width, rows: array.length / width })
    for (let at = 0; at < array.length; at += width) {
      const row: number[] = []
      for (let i = 0; i < width; i++) row.push(numbered(numbers, array[at + i]!))
      places.push(numbered(rows, row.join()))
    }
  }
  const distinct = [...rowsOfWidth].map(([width, rows]): [number, number] => [width, rows.size])
  const bare: Compiled = {
    ...c,
    weights: new Float64Array(),
    remedyOf: new Int16Array(),
    facts: c.facts.map((f) => ({ ...f, spread: new Float64Array() })),
    applies: c.applies.map((a) => ({ ...a, yes: new Uint8Array() })),
    observables: c.observables.map((o) => ({ ...o, usual: new Float64Array(), table: new Float64Array() })),
    checks: c.checks.map((x) => ({ ...x, shows: new Float64Array() })),
  }
  const head: Head = { compiled: bare, numbers: numbers.size, distinct, arrays }
  const text = new TextEncoder().encode(MAGIC + JSON.stringify(head))
  const headEnd = 8 + Math.ceil((text.length - 4) / 8) * 8
  const rowNumbers = [...rowsOfWidth.values()].flatMap((rows) =>
    [...rows.keys()].flatMap((r) => r.split(',').map(Number)),
  )
  const doublesEnd = headEnd + numbers.size * 8
  const bytes = new Uint8Array(doublesEnd + (rowNumbers.length + places.length) * 2).fill(32, 0, headEnd)
  bytes.set(text.subarray(0, 4))
  const view = new DataView(bytes.buffer)
  view.setUint32(4, headEnd - 8, true)
  bytes.set(text.subarray(4), 8)
  let at = headEnd
  for (const n of numbers.keys()) {
    view.setFloat64(at, n, true)
    at += 8
  }
  for (const n of [...rowNumbers, ...places]) {
    if (n > 0xffff) throw new Error('The tables have more distinct rows than can be numbered with two bytes')
    view.setUint16(at, n, true)
    at += 2
  }
  return bytes
}

/** @throws Error where the bytes are no tables */
export function unpack(bytes: Uint8Array): Compiled {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const text = new TextDecoder()
  if (text.decode(bytes.subarray(0, 4)) !== MAGIC) throw new Error('These bytes are no tables')
  const headEnd = 8 + view.getUint32(4, true)
  const head = JSON.parse(text.decode(bytes.subarray(8, headEnd))) as Head
  let at = headEnd
  const numbers = new Float64Array(head.numbers)
  for (let i = 0; i < numbers.length; i++, at += 8) numbers[i] = view.getFloat64(at, true)
  const rowsOfWidth = new Map<number, Float64Array>()
  for (const [width, count] of head.distinct) {
    const rows = new Float64Array(width * count)
    for (let i = 0; i < rows.length; i++, at += 2) rows[i] = numbers[view.getUint16(at, true)]!
    rowsOfWidth.set(width, rows)
  }
  const made = head.arrays.map(({ width, rows: count }) => {
    const rows = rowsOfWidth.get(width)!
    const array = new Float64Array(width * count)
    for (let r = 0; r < count; r++, at += 2) {
      const from = view.getUint16(at, true) * width
      for (let i = 0; i < width; i++) array[r * width + i] = rows[from + i]!
    }
    return array
  })
  const c = head.compiled as Compiled
  const next = made.values()
  const take = () => next.next().value!
  c.weights = take()
  c.remedyOf = Int16Array.from(take())
  for (const f of c.facts) f.spread = take()
  for (const a of c.applies) a.yes = Uint8Array.from(take())
  for (const o of c.observables) {
    o.usual = take()
    o.table = take()
  }
  for (const x of c.checks) x.shows = take()
  return c
}

function numbered<K>(known: Map<K, number>, key: K): number {
  const found = known.get(key)
  if (found !== undefined) return found
  known.set(key, known.size)
  return known.size - 1
}
