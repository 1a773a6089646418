/** The alternating side against ngspice's AC analysis: every charger and the AC drive, with every cause. */
import { describe, expect, it } from 'vitest'
import { buildCircuit, type Circuit, hasPartsFor, type WiringFacts } from '../../rules/wiring/circuit.ts'
import { GMIN } from '../../rules/wiring/diode.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { type OperatingPoint, operate } from '../../rules/wiring/operate.ts'
import type { Phasors } from '../../rules/wiring/phasor.ts'
import { Ngspice } from '../wiring/ngspice.ts'
import { carStates } from '../wiring/states.ts'

const RELATIVE = 1e-6
const FLOOR_VOLTS = 1e-5

/**
 * The same circuit for ngspice, its transformers written as real ones: winding resistance, magnetising inductance and
 * secondaries driven from it, not the two passes of the model.
 */
function write(circuit: Circuit, at: Phasors): { text: string; nodes: number[] } {
  const name = (n: number): string => (n === circuit.reference ? '0' : `n${n}`)
  const live = new Set(at.branches.filter((b) => b.kind === 'phasor').map((b) => at.island[b.a]!))
  const lines: string[] = []
  const nodes: number[] = []
  const grounds = new Set<number>([at.island[circuit.reference]!])
  for (let n = 0; n < circuit.nodes.length; n++) {
    if (!live.has(at.island[n]!)) continue
    if (!grounds.has(at.island[n]!)) {
      grounds.add(at.island[n]!)
      lines.push(`Rground${n} ${name(n)} 0 1`)
    }
    nodes.push(n)
  }
  const cores = new Map(circuit.transformers.flatMap((t) => (t.primary ? [[t.primary, t] as const] : [])))
  const secondaries = new Map(
    circuit.transformers.flatMap((t) =>
      t.secondaries.flatMap((s) => (s.branch ? [[s.branch.id, { t, s }] as const] : [])),
    ),
  )
  at.branches.forEach((b, k) => {
    if (!live.has(at.island[b.a]!)) return
    const [a, c] = [name(b.a), name(b.b)]
    const fed = secondaries.get(b.id)
    const core = [...cores].find(([p]) => p.id === b.id)
    if (b.kind === 'diode') lines.push(`R${k} ${a} ${c} ${1 / GMIN}`)
    else if (b.kind === 'capacitor') lines.push(`C${k} ${a} ${c} ${b.farads}`)
    else if (core) lines.push(`R${k} ${a} core${k} ${b.ohms}`, `L${k} core${k} ${c} ${b.henries}`)
    else if (fed && b.volts === 0) lines.push(`R${k} ${a} ${c} ${b.ohms}`)
    else if (fed?.t.primary && b.kind === 'phasor') {
      const p = at.branches.indexOf(fed.t.primary)
      if (fed.t.resonant === undefined) throw new Error('write a plain transformer too')
      // Ferroresonance is a law of behaviour, so its gain is the model's; phase and loading are ngspice's.
      const primary = at.rms(fed.t.primary.a, fed.t.primary.b)!
      const x = 2 * Math.PI * at.hertz * fed.t.primary.henries
      const gain = primary === 0 ? 0 : b.volts / (primary * (x / Math.hypot(fed.t.primary.ohms, x)))
      lines.push(`E${k} e${k} ${c} core${p} ${name(fed.t.primary.b)} ${gain}`, `R${k} ${a} e${k} ${b.ohms}`)
    } else if (b.kind === 'phasor') {
      lines.push(`V${k} e${k} ${c} dc 0 ac ${b.volts} ${b.degrees}`, `R${k} ${a} e${k} ${b.ohms}`)
    } else if (b.henries > 0) lines.push(`R${k} ${a} x${k} ${b.ohms}`, `L${k} x${k} ${c} ${b.henries}`)
    else if (b.kind === 'resistor' || b.kind === 'source' || b.kind === 'winding')
      lines.push(`R${k} ${a} ${c} ${b.ohms}`)
  })
  lines.push('.options reltol=1e-9', `.ac lin 1 ${at.hertz} ${at.hertz}`, '.end', '')
  return { text: lines.join('\n'), nodes }
}

/** A node tied down by leakage alone has digits in neither solver. */
function firm(circuit: Circuit, point: OperatingPoint, at: Phasors): (n: number) => boolean {
  const next = new Map<number, number[]>()
  for (const b of at.branches) {
    if (b.kind === 'diode') continue
    next.set(b.a, [...(next.get(b.a) ?? []), b.b])
    next.set(b.b, [...(next.get(b.b) ?? []), b.a])
  }
  const reach = (start: number): Set<number> => {
    const seen = new Set([start])
    const stack = [start]
    for (let n = stack.pop(); n !== undefined; n = stack.pop()) {
      for (const m of next.get(n) ?? []) if (!seen.has(m)) stack.push(seen.add(m) && m)
    }
    return seen
  }
  const byIsland = new Map<number, Set<number>>()
  return (n) => {
    const i = at.island[n]!
    if (!byIsland.has(i)) {
      const ground =
        i === at.island[circuit.reference] ? circuit.reference : point.island.findIndex((_, m) => at.island[m] === i)
      byIsland.set(i, reach(ground))
    }
    return byIsland.get(i)!.has(n)
  }
}

describe('alternating volts against ngspice', () => {
  const ngspice = new Ngspice()
  const cars: [string, WiringFacts][] = [
    ['transformer-timer', { packVolts: 36, supplyVolts: 120 }],
    ['transformer-automatic', { packVolts: 48, supplyVolts: 230 }],
    ['high-frequency', { packVolts: 48, supplyVolts: 230 }],
    ['ac-controller', { packVolts: 48 }],
  ]
  it.each(cars)('%s', { timeout: 300_000 }, async (family, facts) => {
    const netlist = netlistOf(family)
    let compared = 0
    const wrong: string[] = []
    for (const cause of [undefined, ...[...netlist.change.keys()].filter((c) => hasPartsFor(netlist, facts, c))]) {
      for (const state of carStates(netlist)) {
        const circuit = buildCircuit(netlist, facts, cause, state)
        const point = operate(circuit)
        const at = point.alternating
        if (!at?.branches.some((b) => b.kind === 'phasor' && b.volts > 0)) continue
        const { text, nodes } = write(circuit, at)
        const theirs = await ngspice.alternating(text)
        const isFirm = firm(circuit, point, at)
        for (const n of nodes) {
          const v = n === circuit.reference ? { real: 0, img: 0 } : theirs.get(`v(n${n})`)
          if (!v || !isFirm(n)) continue
          compared++
          const off = Math.hypot(at.real[n]! - v.real, at.imaginary[n]! - v.img)
          if (!(off <= RELATIVE * Math.hypot(v.real, v.img) + FLOOR_VOLTS)) {
            wrong.push(
              `${cause} ${JSON.stringify(state)} ${circuit.nodes[n]}: ${at.real[n]} ${at.imaginary[n]}j, ngspice ${v.real} ${v.img}j`,
            )
          }
        }
      }
    }
    expect(wrong.slice(0, 8)).toEqual([])
    expect(compared).toBeGreaterThan(100)
  })
})
