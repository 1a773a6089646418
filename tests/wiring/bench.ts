/**
 * How long a solution takes, and how much faster than ngspice for the same circuit. `npx tsx tests/wiring/bench.ts` prints a
 * table; `npm run bench` may call wiringBench().
 */
import { fileURLToPath } from 'node:url'
import { buildCircuit, type WiringState } from '../../rules/wiring/circuit.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { operate } from '../../rules/wiring/operate.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { Ngspice, writeOperatingPoint } from './ngspice.ts'

export interface WiringBenchRow {
  family: string
  parts: number
  unknowns: number
  /** medians, milliseconds */
  build: number
  solve: number
  predict: number
  ngspice: number
  timesFaster: number
}

const median = (times: number[]): number => times.sort((a, b) => a - b)[times.length >> 1]!

/** Each family driving, or charging; every car a little different, so that nothing is kept. */
export async function wiringBench(rounds = 200): Promise<WiringBenchRow[]> {
  const ngspice = new Ngspice()
  const rows: WiringBenchRow[] = []
  for (const family of NETLIST_FAMILIES) {
    const netlist = netlistOf(family)
    const state: WiringState =
      netlist.kind === 'charger'
        ? { supply: 'on', pack: 'connected', ...(netlist.states.timer ? { timer: 'wound' } : {}) }
        : { wheels: 'raised', key: 'on', direction: 'forward', ...(netlist.states.step ? { step: 5 } : { pedal: 1 }) }
    const times = { build: [] as number[], solve: [] as number[], predict: [] as number[], ngspice: [] as number[] }
    let unknowns = 0
    for (let k = 0; k < rounds; k++) {
      const facts = { packVolts: 48, measuredPackVolts: 48 + k / 100 } as const
      const start = performance.now()
      const circuit = buildCircuit(netlist, facts, undefined, state)
      const built = performance.now()
      const point = operate(circuit)
      const solved = performance.now()
      predict(netlist, {
        facts: { ...facts, measuredPackVolts: facts.measuredPackVolts + 0.001 },
        carState: state,
        instrument: 'voltmeter',
        red: 'pack-positive',
        black: 'pack-negative',
      })
      times.predict.push(performance.now() - solved)
      times.build.push(built - start)
      times.solve.push(solved - built)
      unknowns = point.size
      const { text } = writeOperatingPoint(circuit, point, point.branches)
      const before = performance.now()
      await ngspice.operatingPoint(text)
      times.ngspice.push(performance.now() - before)
    }
    const [build, solve, whole, theirs] = [times.build, times.solve, times.predict, times.ngspice].map(median) as [
      number,
      number,
      number,
      number,
    ]
    rows.push({
      family,
      parts: netlist.parts.length,
      unknowns,
      build,
      solve,
      predict: whole,
      ngspice: theirs,
      timesFaster: theirs / solve,
    })
  }
  return rows
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const rows = await wiringBench()
  console.table(
    rows.map((r) => ({
      ...r,
      build: r.build.toFixed(3),
      solve: r.solve.toFixed(3),
      predict: r.predict.toFixed(3),
      ngspice: r.ngspice.toFixed(3),
      timesFaster: r.timesFaster.toFixed(1),
    })),
  )
}
