import { describe, expect, it } from 'vitest'
import { type Layout, onLine, type PiecePlace, type Place, parseLayout } from '../../rules/wiring/layout.ts'
import { layoutOf } from '../../rules/wiring/layouts.ts'
import { type FactCondition, nodesOf } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'

/** What may be in one car with what: `when` of two parts that want different values of a fact excludes. */
const together = (a: FactCondition | undefined, b: FactCondition | undefined) =>
  !a || !b || !Object.keys(a).some((fact) => b[fact]?.every((value) => !a[fact]!.includes(value)) ?? false)

const stretches = (path: readonly Place[]): [Place, Place][] => path.slice(1).map((b, i) => [path[i]!, b])
const points = (path: readonly Place[]): Place[] => [...path]

/** Places at which two paths touch: the ends and corners of one that lie on the other, and what they run along together. */
function touches(a: readonly Place[], b: readonly Place[]): Place[] {
  return [...points(a).filter((p) => onLine(b, p)), ...points(b).filter((p) => onLine(a, p))]
}

/** Two stretches that lie on each other for some length. */
function runsAlong(a: readonly Place[], b: readonly Place[]): boolean {
  return stretches(a).some(([p, q]) =>
    stretches(b).some(([r, s]) => {
      const over = (i: 0 | 1) =>
        Math.min(Math.max(p[i], q[i]), Math.max(r[i], s[i])) - Math.max(Math.min(p[i], q[i]), Math.min(r[i], s[i]))
      const level = (x: Place, y: Place, i: 0 | 1) => x[i] === y[i]
      return ([0, 1] as const).some(
        (i) => level(p, q, i) && level(r, s, i) && p[i] === r[i] && over(i === 0 ? 1 : 0) > 0,
      )
    }),
  )
}

/** What the drawing joins that the netlist does not: every touch of two paths must be at a node of both. */
function falseJoints(layout: Layout, when: (p: PiecePlace) => FactCondition | undefined): string[] {
  const found: string[] = []
  layout.pieces.forEach((a, i) => {
    for (const end of [a.from, a.to]) {
      if (runsAlong(a.path, layout.nodes.get(end)!)) found.push(`${a.key} runs along ${end}`)
    }
    for (const [id, at] of layout.nodes) {
      if (id === a.from || id === a.to) continue
      if (touches(a.path, at).length > 0) found.push(`${a.key} runs over ${id}`)
    }
    for (const b of layout.pieces.slice(i + 1)) {
      // A part that is built in two ways: a car has one of them, whole or in pieces.
      if (a.part === b.part && (a.key === a.part || b.key === b.part)) continue
      if (!together(when(a), when(b))) continue
      if (runsAlong(a.path, b.path)) found.push(`${a.key} lies on ${b.key}`)
      const shared = [a.from, a.to].filter((n) => n === b.from || n === b.to)
      for (const at of touches(a.path, b.path)) {
        if (!shared.some((n) => onLine(layout.nodes.get(n)!, at))) found.push(`${a.key} touches ${b.key} at [${at}]`)
      }
    }
  })
  const nodes = [...layout.nodes]
  nodes.forEach(([id, at], i) => {
    for (const [other, there] of nodes.slice(i + 1))
      if (touches(at, there).length > 0) found.push(`${id} lies on ${other}`)
  })
  return found
}

describe.each(NETLIST_FAMILIES)('%s', (family) => {
  const netlist = netlistOf(family)
  const layout = layoutOf(family)

  it('has a place for every part and every node', () => {
    const drawn = new Set([...layout.pieces.map((p) => p.part), ...layout.boxes.keys(), ...layout.inside.keys()])
    expect(netlist.parts.map((p) => p.id).filter((id) => !drawn.has(id))).toEqual([])
    expect(netlist.parts.flatMap(nodesOf).filter((node) => !layout.nodes.has(node))).toEqual([])
  })

  it('joins what the netlist joins, and nothing else', () => {
    const whenOf = new Map(netlist.parts.map((p) => [p.id, p.when]))
    expect(falseJoints(layout, (p) => whenOf.get(p.part))).toEqual([])
    for (const p of layout.pieces) {
      expect(onLine(layout.nodes.get(p.from)!, p.path[0]!), `${p.key} begins on ${p.from}`).toBe(true)
      expect(onLine(layout.nodes.get(p.to)!, p.path.at(-1)!), `${p.key} ends on ${p.to}`).toBe(true)
    }
  })
})

describe('a layout that cannot be', () => {
  const netlist = netlistOf('high-frequency')
  const file = async () =>
    structuredClone(
      (await import('../../rules/knowledge/netlists/layout/high-frequency.json', { with: { type: 'json' } })).default,
    ) as {
      nodes: Record<string, unknown>
      parts: Record<string, unknown>
    }

  it('names the part without a place', async () => {
    const json = await file()
    delete json.parts['receptacle-fuse']
    expect(() => parseLayout(json, netlist)).toThrow(/receptacle-fuse: it has no place.*How to lay out a part/)
  })
  it('names the node without a place, and a place for nothing', async () => {
    const json = await file()
    delete json.nodes['charger.enable']
    expect(() => parseLayout(json, netlist)).toThrow(/charger\.enable: it has no place/)
    const more = await file()
    more.parts['second-fuse'] = true
    expect(() => parseLayout(more, netlist)).toThrow(/second-fuse: the netlist has no such part/)
  })
  it('names a wire that runs aslant, and a symbol without room', async () => {
    const json = await file()
    json.parts['dc-cord-positive'] = [[28, 9]]
    expect(() => parseLayout(json, netlist)).toThrow(/dc-cord-positive: .* is aslant/)
    const tight = await file()
    tight.nodes['receptacle-fuse.pack-side'] = [36, 5]
    expect(() => parseLayout(tight, netlist)).toThrow(/receptacle-fuse: a symbol needs a stretch/)
  })
})
