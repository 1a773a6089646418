/** Laws that every solution must keep, whatever the circuit. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Branch, buildCircuit, hasPartsFor } from '../../rules/wiring/circuit.ts'
import { observe } from '../../rules/wiring/cycle.ts'
import { solveLinear } from '../../rules/wiring/linear.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { ampsThrough, operate } from '../../rules/wiring/operate.ts'
import { spreadOf } from '../../rules/wiring/sensitivity.ts'
import { current, resistor, source } from './raw.ts'
import { carStates } from './states.ts'

/** A car of any family, in any state, with any cause or none. */
const anyCar = fc.constantFrom(...NETLIST_FAMILIES).chain((family) => {
  const netlist = netlistOf(family)
  const facts = { packVolts: 48, fieldBypass: true, mainFuse: true, runTow: true } as const
  const causes = [undefined, ...[...netlist.change.keys()].filter((c) => hasPartsFor(netlist, facts, c))]
  return fc.record({
    netlist: fc.constant(netlist),
    facts: fc.constant(facts),
    cause: fc.constantFrom(...causes),
    state: fc.constantFrom(...carStates(netlist)),
  })
})

/** Currents that leave each node. */
function leaving(nodeCount: number, branches: readonly Branch[], volts: Float64Array): Float64Array {
  const sum = new Float64Array(nodeCount)
  for (const b of branches) {
    const amps = ampsThrough(b, volts)
    if (b.kind === 'coupled') for (const [n, w] of b.weights!) sum[n]! += w * amps
    else {
      sum[b.a]! += amps
      sum[b.b]! -= amps
    }
  }
  return sum
}

describe("Kirchhoff's laws", () => {
  it('what flows into a node flows out, in every car', () => {
    fc.assert(
      fc.property(anyCar, ({ netlist, facts, cause, state }) => {
        const { circuit, moments } = observe(buildCircuit(netlist, facts, cause, state))
        for (const { solved, branches } of moments) {
          const most = Math.max(1, ...branches.map((b) => Math.abs(ampsThrough(b, solved.volts))))
          for (const amps of leaving(circuit.nodes.length, branches, solved.volts)) {
            // 50 V across a milliohm: rounding of the volts alone is some 1e-9 A.
            expect(Math.abs(amps)).toBeLessThan(1e-8 * most)
          }
        }
      }),
      { numRuns: 300 },
    )
  })
  it('power: what the sources give, the resistances take', () => {
    fc.assert(
      fc.property(anyCar, ({ netlist, facts, cause, state }) => {
        const { moments } = observe(buildCircuit(netlist, facts, cause, state))
        for (const { solved, branches } of moments) {
          let watts = 0
          let most = 1
          for (const b of branches) {
            const amps = ampsThrough(b, solved.volts)
            const across =
              b.kind === 'coupled'
                ? b.weights!.reduce((s, [n, w]) => s + w * solved.volts[n]!, 0)
                : solved.volts[b.a]! - solved.volts[b.b]!
            watts += across * amps
            most = Math.max(most, Math.abs(across * amps))
          }
          expect(Math.abs(watts)).toBeLessThan(1e-8 * most)
        }
      }),
      { numRuns: 200 },
    )
  })
})

describe('linear circuits', () => {
  const nodes = 6
  const edge = fc.record({
    a: fc.nat(nodes - 1),
    b: fc.nat(nodes - 1),
    ohms: fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
  })
  // A chain through all nodes keeps the circuit in one piece.
  const network = fc
    .array(edge, { maxLength: 14 })
    .map((edges) => [
      ...Array.from({ length: nodes - 1 }, (_, k) => resistor(k, k + 1, 10 * (k + 1))),
      ...edges.filter((e) => e.a !== e.b).map((e) => resistor(e.a, e.b, e.ohms)),
    ])
  const amount = fc.double({ min: -50, max: 50, noNaN: true })

  it('superposition: two sources together do what each does alone, added', () => {
    fc.assert(
      fc.property(network, amount, amount, (resistors, volts, amps) => {
        const solve = (v: number, i: number) =>
          solveLinear(nodes, 0, [...resistors, source(1, 0, v, 0.5), current(0, 4, i)]).volts
        const [both, one, other] = [solve(volts, amps), solve(volts, 0), solve(0, amps)]
        for (let n = 0; n < nodes; n++) expect(both[n]).toBeCloseTo(one[n]! + other[n]!, 7)
      }),
    )
  })
  it('reciprocity: 1 A pushed in here shows there what 1 A pushed in there shows here', () => {
    fc.assert(
      fc.property(network, fc.nat(nodes - 1), fc.nat(nodes - 1), (resistors, a, b) => {
        const s = solveLinear(nodes, 0, [...resistors, source(1, 0, 1, 0.5)])
        expect(s.transfer(a, 0)[b]).toBeCloseTo(s.transfer(b, 0)[a]!, 8)
      }),
    )
  })
  it('an ideal source holds its volts; two that contradict each other are refused', () => {
    expect(solveLinear(3, 0, [source(1, 0, 12), resistor(1, 2, 5), resistor(2, 0, 7)]).volts[2]).toBeCloseTo(7, 12)
    expect(() => solveLinear(2, 0, [source(1, 0, 12), source(1, 0, 13)])).toThrow(/contradict/)
  })
  it('a piece that nothing joins to the source is an island of its own', () => {
    const s = solveLinear(4, 0, [source(1, 0, 12, 1), resistor(2, 3, 5)])
    expect(s.island[2]).toBe(s.island[3])
    expect(s.island[2]).not.toBe(s.island[0])
  })
})

describe('what moves agrees with the volts it sees', () => {
  it('contactors, motors and controllers, in every car that comes to rest', () => {
    let resting = 0
    fc.assert(
      fc.property(anyCar, ({ netlist, facts, cause, state }) => {
        const circuit = buildCircuit(netlist, facts, cause, state)
        const point = operate(circuit)
        if (point.chatters.length > 0) return
        resting++
        for (const c of circuit.contactors) {
          if (c.stuck || !c.coilPresent) continue
          const [p, n] = c.coil
          const volts = point.island[p] === point.island[n] ? Math.abs(point.volts[p]! - point.volts[n]!) : 0
          if (point.closed.has(c.id)) expect(volts).toBeGreaterThanOrEqual(c.dropOut)
          else expect(volts).toBeLessThan(c.pullIn)
        }
        for (const m of circuit.motors) {
          const now = point.motors.get(m.id)!
          if (!m.armature) continue
          const volts = point.volts[m.armature.a]! - point.volts[m.armature.b]!
          const amps = now.runs ? now.amps : volts / m.armature.ohms
          const field = m.field ? (m.turns * (point.volts[m.field.a]! - point.volts[m.field.b]!)) / m.field.ohms : 0
          if (m.amps === undefined) continue
          const load = m.amps * (m.excitation === 'series' ? m.amps : m.fieldAmps)
          if (now.runs) {
            expect(Math.abs(amps * field) / load).toBeCloseTo(1, 7)
            expect((volts - amps * m.armature.ohms) * Math.sign(amps)).toBeGreaterThanOrEqual(-1e-9)
          } else {
            expect(Math.abs(amps * field)).toBeLessThanOrEqual(load * (1 + 1e-9))
          }
        }
      }),
      { numRuns: 400 },
    )
    expect(resting).toBeGreaterThan(200)
  })
})

describe('sensitivities', () => {
  it('the adjoint gives what changing one part a little gives', () => {
    const netlist = netlistOf('resistor-contactor')
    const state = { wheels: 'raised', key: 'on', direction: 'forward', step: 3 }
    const circuit = buildCircuit(netlist, { packVolts: 36, measuredPackVolts: 36.9 }, undefined, state)
    const at = circuit.index.get('bus-bar')!
    const point = operate(circuit)
    for (const b of point.branches) {
      if (b.kind !== 'resistor') continue
      const alone = point.branches.map((o) => ({ ...o, voltsSd: 0, spread: o === b ? 1 : 0, kind: o.kind }))
      const { sd } = spreadOf([{ solved: point, branches: alone }], { volts: [at, circuit.reference] })
      const solve = (factor: number) =>
        solveLinear(
          circuit.nodes.length,
          circuit.reference,
          point.branches.map((o) => (o === b ? { ...b, ohms: b.ohms * factor } : o)),
        ).volts[at]!
      const step = 1e-3
      const difference = Math.abs(solve(1 + step) - solve(1 - step)) / (2 * step)
      // The blocks' differences do not depend on the parts' spread, so that they stand in every sum.
      const blocks = spreadOf([{ solved: point, branches: alone.map((o) => ({ ...o, spread: 0 })) }], {
        volts: [at, circuit.reference],
      }).sd
      expect(Math.abs(Math.sqrt(Math.max(0, sd ** 2 - blocks ** 2)) - difference)).toBeLessThan(
        2e-5 + 1e-4 * difference,
      )
    }
  })
  it('names the part that matters most: the motor at a resistor step, the pack at the last', () => {
    const netlist = netlistOf('resistor-contactor')
    const due = (step: number) => {
      const observed = observe(
        buildCircuit(netlist, { packVolts: 36 }, undefined, {
          wheels: 'raised',
          key: 'on',
          direction: 'forward',
          step,
        }),
      )
      return spreadOf(observed.moments, { volts: [observed.circuit.index.get('bus-bar')!, observed.circuit.reference] })
        .dueTo[0]!.id
    }
    expect(due(2)).toBe('motor.amps')
    expect(due(5)).toBe('pack.volts')
  })
})
