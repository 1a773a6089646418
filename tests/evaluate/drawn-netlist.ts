import type { Netlist } from '../../rules/wiring/netlist.ts'
import { SPREAD } from '../../rules/wiring/spread.ts'

/** Values of a part that differ from car to car, all positive. */
const VALUES = ['ohms', 'armatureOhms', 'fieldOhms', 'watts', 'farads', 'primaryOhms'] as const

/**
 * The same circuit as another car of the family has it: every part's values drawn about the nominal ones, with the spread
 * of its kind. The reasoning never sees these.
 */
export function drawNetlist(netlist: Netlist, random: () => number): Netlist {
  const parts = netlist.parts.map((part) => {
    const spread = part.spread ?? (SPREAD as Record<string, number>)[part.kind] ?? 0.1
    const drawn: Record<string, unknown> = { ...part }
    for (const name of VALUES) {
      const value = drawn[name]
      if (typeof value !== 'number') continue
      const s = name === 'watts' ? SPREAD.coil : spread
      drawn[name] = value * Math.min(3, Math.max(0.3, 1 + s * normal(random)))
    }
    if (part.kind === 'motor') {
      const load = Math.max(0.5, 1 + SPREAD.load * normal(random))
      drawn['amps'] = { raised: part.amps.raised * load, rolling: part.amps.rolling * load }
    }
    return drawn as typeof part
  })
  return { ...netlist, parts }
}

/** Standard normal, by Box and Muller. */
function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}
