import { type ResultType, Simulation } from 'eecircuit-engine'
import type { Branch, Circuit } from '../../rules/wiring/circuit.ts'
import { GMIN } from '../../rules/wiring/diode.ts'
import type { Solved } from '../../rules/wiring/linear.ts'

/** ngspice 45 as a library; one for all tests of a file. */
export class Ngspice {
  private readonly simulation = new Simulation()
  private started: Promise<void> | undefined
  private count = 0
  private readonly seen = new Map<string, Map<string, number>>()

  private async run(netlist: string): Promise<ResultType> {
    this.started ??= this.simulation.start()
    await this.started
    // A run that does not converge hands back the one before it, so each is known by its title.
    const title = `run ${++this.count}`
    this.simulation.setNetList(`${title}\n${netlist}`)
    const result = await quietly(() => this.simulation.runSim())
    if (!result.header.startsWith(`Title: ${title}\n`))
      throw new Error(`ngspice: ${this.simulation.getError().join(' | ')}\n${netlist}`)
    return result
  }

  /**
   * Operating point: volts by node name. The same text is run once. Where next to nothing flows anywhere, rounding keeps
   * ngspice from its tight tolerance; it is then asked for a looser one.
   */
  async operatingPoint(netlist: string): Promise<Map<string, number>> {
    let found = this.seen.get(netlist)
    if (!found) {
      const result = await this.run(netlist).catch(() => this.run(netlist.replace(OPTIONS, LOOSER)))
      if (result.dataType !== 'real') throw new Error('ngspice gave complex numbers for an operating point')
      found = new Map(result.data.map((d) => [d.name, d.values[0]!]))
      this.seen.set(netlist, found)
    }
    return found
  }

  /** One frequency: complex volts by node name. */
  async alternating(netlist: string): Promise<Map<string, { real: number; img: number }>> {
    const result = await this.run(netlist)
    if (result.dataType !== 'complex') throw new Error('ngspice gave real numbers for an AC analysis')
    return new Map(result.data.map((d) => [d.name, d.values[0]!]))
  }

  get runs(): number {
    return this.seen.size
  }
}

/** ngspice tells the console each time that it looks for a better start; what goes wrong is thrown above. */
async function quietly<T>(run: () => Promise<T>): Promise<T> {
  const { error, warn } = console
  Object.assign(console, { error: () => undefined, warn: () => undefined })
  try {
    return await run()
  } finally {
    Object.assign(console, { error, warn })
  }
}

/** Tight tolerances, as far as ngspice's own rounding lets it converge; gmin as in the diode law of the model. */
export const OPTIONS = `.options gmin=${GMIN} reltol=1e-8 abstol=1e-11 vntol=1e-9 itl1=1000`

const LOOSER = `.options gmin=${GMIN} reltol=1e-6 abstol=1e-9 vntol=1e-7 itl1=1000`

/** A node's name in the netlists written here; the grounds of all islands are tied to 0 by a resistor without current. */
export const spiceNode = (n: number, reference: number): string => (n === reference ? '0' : `n${n}`)

/**
 * What the model solved, written for ngspice: the same resistances and sources, contactors and motors as they ended.
 *
 * @returns the netlist and the nodes that can be compared
 */
export function writeOperatingPoint(
  circuit: Circuit,
  solved: Solved,
  branches: readonly Branch[],
): { text: string; nodes: number[] } {
  const live = new Set(branches.filter((b) => b.volts !== 0 || b.amps !== 0).map((b) => solved.island[b.a]!))
  const name = (n: number): string => spiceNode(n, circuit.reference)
  const lines = ['.model junction d']
  const grounds = new Set<number>([solved.island[circuit.reference]!])
  const nodes: number[] = []
  for (let n = 0; n < circuit.nodes.length; n++) {
    const island = solved.island[n]!
    if (!live.has(island)) continue
    if (!grounds.has(island)) {
      grounds.add(island)
      lines.push(`Rground${n} ${name(n)} 0 1`)
    }
    nodes.push(n)
  }
  branches.forEach((b, k) => {
    if (!live.has(solved.island[b.a]!)) return
    const [a, c] = [name(b.a), name(b.b)]
    switch (b.kind) {
      case 'resistor':
      case 'winding':
        lines.push(`R${k} ${a} ${c} ${b.ohms}`)
        return
      case 'source':
        if (b.ohms === 0) lines.push(`V${k} ${a} ${c} ${b.volts}`)
        else lines.push(`R${k} ${a} e${k} ${b.ohms}`, `V${k} e${k} ${c} ${b.volts}`)
        return
      case 'current':
        lines.push(`I${k} ${a} ${c} ${b.amps}`)
        return
      case 'diode':
        lines.push(`D${k} ${a} ${c} junction`)
        return
      case 'coupled': {
        // The first node's current, sensed, is taken from the others in proportion.
        const [first, ...others] = b.weights!
        const sum = others.map(([n, w]) => (name(n) === '0' ? '0' : `(${-w})*v(${name(n)})`)).join(' + ')
        lines.push(
          `V${k} ${name(first![0])} x${k} 0`,
          `R${k} x${k} y${k} ${b.ohms}`,
          `B${k} y${k} 0 V = ${sum}`,
          ...others.map(([n, w], i) => `F${k}_${i} ${name(n)} 0 V${k} ${w}`),
        )
        return
      }
      default:
        return
    }
  })
  lines.push(OPTIONS, '.op', '.end', '')
  return { text: lines.join('\n'), nodes }
}

/** Whether a node hangs on diodes' leakage only: no instrument tells its volts, and neither solver has digits for it. */
export function hangs(solved: Solved, node: number, ground: number): boolean {
  return solved.junctions.size > 0 && Math.abs(solved.transfer(node, ground)[node]!) > 1e6
}
