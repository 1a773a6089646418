import type { StepPlot } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { netlistFor } from '../../reasoning/wired.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import { hasPartsFor, partsOfCar, type WiringFacts, type WiringState } from '../../wiring/circuit.ts'
import { nodesOf } from '../../wiring/netlist.ts'
import type { Turn } from '../turn.ts'
import { factsFor, type Look } from './look.ts'
import type { Names } from './names.ts'
import { stepPlot } from './step-plot.ts'

/** Click by click between these points, and every row of clicks that something was read of. */
export function plotsOf(
  r: Reasoner,
  turn: Turn,
  names: Names,
  look: Look,
  cause: { id: string; name: string } | undefined,
): StepPlot[] {
  const { netlist, facts, carState, red, black } = look
  const plots: StepPlot[] = []
  const rows = steppedRows(r, turn)
  const own = rows.find((row) => row[0]!.probes!.red === red && row[0]!.probes!.black === black)
  const has = (row: readonly CheckFile[]) =>
    row.some((c) => turn.state.given.some((g) => g.check === c.id && g.reading && !g.stale))
  if (netlist.states['step'] && (own || !look.check)) {
    const { step: _, ...state } = carState
    const steps = own ? own.map((c) => Number(c.step)) : (netlist.states['step'] as number[]).filter((s) => s > 0)
    plots.push(
      stepPlot(
        netlist,
        { facts, carState: state, red, black, steps, cause, ...(own ? { checks: own } : {}) },
        turn.state.given,
        names,
      ),
    )
  }
  for (const row of rows) if (row !== own && has(row)) plots.push(rowPlot(row, turn, names, cause, facts))
  return plots
}

function rowPlot(
  row: readonly CheckFile[],
  turn: Turn,
  names: Names,
  cause: { id: string; name: string } | undefined,
  facts: WiringFacts,
) {
  const [first] = row
  const netlist = netlistFor(first!, turn.state.facts)!
  const { red, black } = first!.probes!
  const known = cause && netlist.change.has(cause.id) && hasPartsFor(netlist, facts, cause.id) ? cause : undefined
  const q = {
    facts,
    carState: (first!.carState ?? {}) as WiringState,
    red,
    black,
    steps: row.map((c) => Number(c.step)),
    cause: known,
    checks: row,
  }
  return stepPlot(netlist, q, turn.state.given, names)
}

/** Rows of checks that read volts between the same two points at different clicks, as far as this car has the points. */
function steppedRows(r: Reasoner, turn: Turn): CheckFile[][] {
  const rows = new Map<string, CheckFile[]>()
  const facts = factsFor(turn, r)
  const places = new Map<string, ReadonlySet<string>>()
  for (const c of r.knowledge.checks) {
    if (typeof c.step !== 'number' || !c.probes || c.reading?.unit !== 'V' || !c.row) continue
    const netlist = netlistFor(c, turn.state.facts)
    if (!netlist?.states['step']) continue
    const nodes = places.get(netlist.family) ?? new Set(partsOfCar(netlist, facts).flatMap(nodesOf))
    places.set(netlist.family, nodes)
    if (!nodes.has(c.probes.red) || !nodes.has(c.probes.black)) continue
    const key = `${c.row} ${c.probes.red} ${c.probes.black}`
    rows.set(key, [...(rows.get(key) ?? []), c])
  }
  return [...rows.values()]
    .filter((row) => row.length > 1)
    .map((row) => row.sort((a, b) => Number(a.step) - Number(b.step)))
}
