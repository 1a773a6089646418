import { describe, expect, it } from 'vitest'
import { buildCircuit, type WiringFacts, type WiringState } from '../../rules/wiring/circuit.ts'
import { layoutOf } from '../../rules/wiring/layouts.ts'
import { nodesOf } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { operate } from '../../rules/wiring/operate.ts'
import { type Picture, POWER_AMPS, pictureOf, SIGNAL_AMPS } from '../../rules/wiring/picture.ts'

const WHOLE: WiringFacts = { packVolts: 36, fieldBypass: true, mainFuse: true, runTow: true }
const statesOf = (family: string): WiringState[] => {
  const { kind, states } = netlistOf(family)
  if (kind === 'charger')
    return [
      { supply: 'on', pack: 'connected', timer: 'wound' },
      { supply: 'off', pack: 'connected' },
    ]
  const driving = { wheels: 'raised', key: 'on', direction: 'forward' }
  return [
    { key: 'off' },
    ...(states['step'] ? [1, 3, 5].map((step) => ({ ...driving, step })) : [{ ...driving, pedal: 1 }]),
    { ...driving, direction: 'reverse', step: 4 },
  ]
}

/** Amperes that flow into each node by what is drawn; boxes and what is inside them are not drawn as paths. */
function flowsInto(family: string, p: Picture): Map<string, { direct: number; largest: number; whole: boolean }> {
  const netlist = netlistOf(family)
  const { pieces, boxes, inside } = layoutOf(family)
  const boxed = new Set(netlist.parts.filter((x) => boxes.has(x.id) || inside.has(x.id)).flatMap((x) => nodesOf(x)))
  const out = new Map<string, { direct: number; largest: number; whole: boolean }>()
  for (const part of p.parts) {
    const piece = pieces.find((x) => x.key === part.key && x.path === part.path)!
    for (const [node, sign] of [
      [piece.from, -1],
      [piece.to, 1],
    ] as const) {
      const at = out.get(node) ?? { direct: 0, largest: 0, whole: !boxed.has(node) }
      if (part.alternating) at.whole = false
      at.direct += sign * part.amps
      at.largest = Math.max(at.largest, Math.abs(part.amps))
      out.set(node, at)
    }
  }
  return out
}

describe.each(NETLIST_FAMILIES)('%s', (family) => {
  const netlist = netlistOf(family)

  it('what is drawn as carrying obeys Kirchhoff at every place that no box hides', () => {
    for (const carState of statesOf(family)) {
      const picture = pictureOf(netlist, { facts: WHOLE, carState })
      let checked = 0
      for (const [node, { direct, largest, whole }] of flowsInto(family, picture)) {
        if (!whole) continue
        checked++
        // Four digits are kept of each current.
        expect(Math.abs(direct), `${node} in ${JSON.stringify(carState)}`).toBeLessThanOrEqual(2e-3 * largest + 1e-6)
      }
      expect(checked).toBeGreaterThan(5)
    }
  })

  it('marks just the parts that carry current in a plain solution of the same circuit', () => {
    for (const carState of statesOf(family)) {
      const picture = pictureOf(netlist, { facts: WHOLE, carState })
      const circuit = buildCircuit(netlist, WHOLE, undefined, carState)
      const point = operate(circuit)
      // Direct current by Ohm's law on the plain solution's volts; where a transformer runs it is another story.
      if (circuit.transformers.length > 0 && point.alternating) continue
      for (const part of picture.parts) {
        const b = point.branches.find((x) => x.id === part.key)
        if (b?.kind !== 'resistor' || part.alternating) continue
        const amps = Math.abs(point.volts[b.a]! - point.volts[b.b]!) / b.ohms
        const flow = amps >= POWER_AMPS ? 'power' : amps >= SIGNAL_AMPS ? 'signal' : 'none'
        expect(
          part.flow === 'power' || part.flow === 'signal' ? part.flow : 'none',
          `${part.key} in ${JSON.stringify(carState)}`,
        ).toBe(flow)
      }
    }
  })

  it('a bar of several joints carries between two of them what it must', () => {
    for (const carState of statesOf(family)) {
      const picture = pictureOf(netlist, { facts: WHOLE, carState })
      const largest = Math.max(1, ...picture.parts.map((p) => Math.abs(p.amps)))
      for (const n of picture.nodes) {
        for (const s of n.stretches) expect(Math.abs(s.amps), n.id).toBeLessThanOrEqual(1.01 * largest)
      }
    }
  })

  it('marks what each cause changes, and draws none of it for a car that lacks the part', () => {
    for (const [cause, change] of netlist.change) {
      const facts: WiringFacts = { ...WHOLE, throttle: 'rising-resistance' }
      const picture = pictureOf(netlist, { facts, suspects: [cause] })
      const present = new Set([
        ...picture.parts.map((p) => p.part),
        ...picture.boxes.map((b) => b.part),
        ...layoutOf(family).inside.keys(),
      ])
      const touched = change.is.some((e) => !('part' in e) || present.has(e.part))
      if (!touched) continue
      const marked =
        picture.parts.some((p) => p.suspect) || picture.boxes.some((b) => b.suspect) || picture.joins.length > 0
      expect(marked, cause).toBe(true)
    }
  })
})

it('draws only what this car has', () => {
  const netlist = netlistOf('resistor-contactor')
  const bare = pictureOf(netlist, { facts: { packVolts: 36, fieldBypass: false, mainFuse: false } })
  expect(bare.parts.filter((p) => /field-bypass|^main-fuse$/.test(p.part))).toEqual([])
  expect(bare.nodes.some((n) => n.id.startsWith('field-bypass'))).toBe(false)
  const full = pictureOf(netlist, { facts: WHOLE })
  expect(full.parts.some((p) => p.key === 'field-bypass.coil')).toBe(true)
})

it('solves with the fault where that is asked: contactor 3 does not carry, so the bar stays at click 2', () => {
  const netlist = netlistOf('resistor-contactor')
  const carState = { wheels: 'raised', key: 'on', direction: 'forward', step: 3 }
  const at = (cause?: string) => {
    const p = pictureOf(netlist, { facts: { packVolts: 36, measuredPackVolts: 36.9 }, carState, cause })
    return {
      volts: p.nodes.find((n) => n.id === 'bus-bar')!.volts!,
      contacts: p.parts.find((x) => x.key === 'contactor-3.contacts')!,
    }
  }
  expect(at().contacts).toMatchObject({ closed: true, flow: 'power' })
  expect(at('contactor-3.contacts-open').contacts).toMatchObject({ closed: false, flow: 'ready' })
  // Common practice, no source: about 31 and 25 V.
  expect(at().volts).toBeCloseTo(31.5, 0)
  expect(at('contactor-3.contacts-open').volts).toBeCloseTo(25.3, 0)
})
