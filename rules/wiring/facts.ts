import type { WiringFacts } from './circuit.ts'
import type { FactCondition, Netlist } from './netlist.ts'

/** Read of every car, whether or not its netlist says so. */
const ALWAYS = ['packVolts', 'measuredPackVolts', 'blocks', 'cells', 'supplyVolts']

const read = new WeakMap<Netlist, readonly string[]>()

function factsRead(netlist: Netlist): readonly string[] {
  const known = read.get(netlist)
  if (known) return known
  const conditions: (FactCondition | undefined)[] = [
    ...netlist.parts.map((p) => p.when),
    ...netlist.changes.flatMap((c) => [c.when, ...c.is.map((e) => ('part' in e ? e.when : undefined))]),
  ]
  const names = [
    ...new Set([...ALWAYS, ...Object.keys(netlist.facts), ...conditions.flatMap((c) => Object.keys(c ?? {}))]),
  ]
  read.set(netlist, names)
  return names
}

/**
 * The facts of a car that its circuit reads, in one order, and what is taken where one is unknown: cars that differ in
 * nothing else are the same circuit, and are solved once.
 */
export function factsThatMatter(netlist: Netlist, facts: WiringFacts): WiringFacts {
  const given = facts as Readonly<Record<string, unknown>>
  const all: Record<string, unknown> = {}
  for (const name of factsRead(netlist)) {
    const value = given[name] ?? netlist.facts[name]
    if (value !== undefined) all[name] = value
  }
  return all as WiringFacts
}
