/**
 * The wiring model against ngspice (https://ngspice.sourceforge.io, as the npm package eecircuit-engine): every netlist, in
 * every car state, with every cause and with none, solved by both. Contactors, motors and controllers stand as the model
 * resolved them; all volts are then ngspice's own.
 */
import { afterAll, describe, expect, it } from 'vitest'
import { buildCircuit, hasPartsFor, type WiringFacts } from '../../rules/wiring/circuit.ts'
import { observe } from '../../rules/wiring/cycle.ts'
import type { Netlist } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { hangs, Ngspice, spiceNode, writeOperatingPoint } from '../wiring/ngspice.ts'
import { carStates } from '../wiring/states.ts'

const RELATIVE = 1e-6
/** ngspice's own rounding, where milliohms and megohms meet in one node, comes to a microvolt. */
const FLOOR_VOLTS = 1e-5
/** Moments of a rectifier's cycle that ngspice solves too. */
const MOMENTS = [1, 7, 12, 23]

/** Cars that bring every part of a netlist into play. */
const CARS: Record<string, WiringFacts[]> = {
  'resistor-contactor': [
    { packVolts: 36, measuredPackVolts: 36.9 },
    { packVolts: 48, blocks: '4x12', mainFuse: true, runTow: true, fieldBypass: true },
  ],
  'resistor-sliding': [{ packVolts: 36, measuredPackVolts: 35.1, fieldBypass: true, mainFuse: true, runTow: true }],
  'series-controller': [
    { packVolts: 36, throttle: 'rising-resistance', fieldBypass: true },
    { packVolts: 48, throttle: 'falling-resistance', runTow: true, mainFuse: true },
    { packVolts: 36, throttle: 'three-wire-voltage' },
  ],
  'separate-field-controller': [{ packVolts: 48, throttle: 'three-wire-voltage', mainFuse: true }],
  'ac-controller': [{ packVolts: 48, blocks: '16s', cells: 'lithium-iron-phosphate', mainFuse: true }],
  'transformer-timer': [{ packVolts: 36, supplyVolts: 120 }],
  'transformer-automatic': [{ packVolts: 48, supplyVolts: 230 }],
  'high-frequency': [{ packVolts: 36, supplyVolts: 230 }],
}

describe('node volts against ngspice', () => {
  const ngspice = new Ngspice()
  const tally: string[] = []
  afterAll(() => console.log(`ngspice: ${ngspice.runs} different circuits\n${tally.join('\n')}`))

  for (const family of NETLIST_FAMILIES) {
    it(`${family}: every car state, every cause`, { timeout: 600_000 }, async () => {
      const netlist = netlistOf(family)
      let circuits = 0
      let worst = 0
      const wrong: string[] = []
      const done = new Set<string>()
      for (const facts of CARS[family]!) {
        for (const { cause, state } of cases(netlist, facts, done)) {
          const observed = observe(buildCircuit(netlist, facts, cause, state))
          const { circuit, moments } = observed
          const looked = moments.length === 1 ? [0] : MOMENTS
          for (const k of looked) {
            const { solved, branches } = moments[k]!
            const { text, nodes } = writeOperatingPoint(circuit, solved, branches)
            if (nodes.length === 0) continue
            circuits++
            const volts = await ngspice.operatingPoint(text)
            for (const n of nodes) {
              const theirs = n === circuit.reference ? 0 : volts.get(`v(${spiceNode(n, circuit.reference)})`)
              const ours = solved.volts[n]!
              const ground = nodes.find((m) => solved.island[m] === solved.island[n])!
              const base = solved.island[n] === solved.island[circuit.reference] ? circuit.reference : ground
              if (theirs === undefined || hangs(solved, n, base)) continue
              const off = Math.abs(ours - theirs) / (FLOOR_VOLTS / RELATIVE + Math.abs(theirs))
              worst = Math.max(worst, off)
              if (!(off <= RELATIVE)) {
                wrong.push(
                  `${cause ?? 'healthy'} ${JSON.stringify(state)} ${circuit.nodes[n]}: ${ours} V, ngspice ${theirs} V`,
                )
              }
            }
          }
        }
      }
      tally.push(`${family}: ${circuits} solved by both, worst ${worst.toExponential(1)} of the tolerance's scale`)
      expect([...netlist.change.keys()].filter((cause) => !done.has(cause))).toEqual([])
      expect(wrong.slice(0, 10)).toEqual([])
      expect(circuits).toBeGreaterThan(50)
    })
  }
})

/** Every cause in the first car that has its parts, and every car with nothing wrong. */
function* cases(netlist: Netlist, facts: WiringFacts, done: Set<string>) {
  const causes = [...netlist.change.keys()].filter((cause) => !done.has(cause) && hasPartsFor(netlist, facts, cause))
  for (const cause of [undefined, ...causes]) {
    if (cause !== undefined) done.add(cause)
    for (const state of carStates(netlist)) yield { cause, state }
  }
}
