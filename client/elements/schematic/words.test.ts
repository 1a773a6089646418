import { describe, expect, it } from 'vitest'
import { others } from '../../dev/drawn-fixtures.ts'
import { overlap, type Placed, placeWords, type Rect } from './words.ts'

/** Every circuit with the probes on a few dozen pairs of its places, at several sizes. */
const drawings: [string, Placed][] = Object.entries(others).flatMap(([name, { pictures }]) => {
  const picture = pictures.circuit!
  const ids = picture.nodes.map((n) => n.id)
  return [1, 5, 11].flatMap((apart) =>
    [0.45, 0.72, 1].flatMap((scale) =>
      ids
        .filter((_, i) => i % 4 === 0)
        .map((red, i): [string, Placed] => {
          const black = ids[(i * 4 + apart) % ids.length]!
          const asked = { volts: () => '−36.9 V', red: 'red', black: 'black', suspect: 'suspect', fixed: false, scale }
          return [`${name} ${red} ${black} ${scale}`, placeWords({ ...picture, red, black }, asked)]
        }),
    ),
  )
})

/** Those that are struck, by what they say. */
const struck = (rects: { room: Rect; what: string }[], others: { room: Rect; what: string }[]) =>
  rects.flatMap((a) => others.filter((b) => a !== b && overlap(a.room, b.room)).map((b) => `${a.what} on ${b.what}`))

describe('the words of a drawing', () => {
  it('never have a probe’s tag on them, nor on the other probe', () => {
    expect(drawings.length).toBeGreaterThan(500)
    const bad = drawings.flatMap(([name, { words, tags }]) => {
      const t = tags.map((x) => ({ room: x.room, what: x.said }))
      const w = words.map((x) => ({ room: x.room, what: x.lines.join(' ') }))
      const p = tags.map(({ at: [x, y], which }) => ({
        room: { left: x - 6, right: x + 6, top: y - 6, bottom: y + 6 },
        what: `the ${which} probe`,
      }))
      return struck(t, [...w, ...p, ...t]).map((s) => `${name}: ${s}`)
    })
    expect(bad).toEqual([])
  })

  it('never have the words of a suspect on the name of a part', () => {
    const bad = drawings.flatMap(([name, { words }]) => {
      const all = words.map((x) => ({ room: x.room, what: x.lines.join(' '), flag: x.flag, kind: x.kind }))
      return struck(
        all.filter((x) => x.flag),
        all.filter((x) => x.kind.startsWith('part-name')),
      ).map((s) => `${name}: ${s}`)
    })
    expect(bad).toEqual([])
  })

  it('have no figure on another word', () => {
    const bad = drawings.flatMap(([name, { words }]) => {
      const all = words.map((x) => ({ room: x.room, what: x.lines.join(' '), kind: x.kind }))
      return struck(
        all.filter((x) => x.kind === 'volts'),
        all,
      ).map((s) => `${name}: ${s}`)
    })
    expect(bad).toEqual([])
  })
})
