import type { Observed } from '../cycle.ts'
import type { Prediction } from '../prediction.ts'

/** Above this a 10 MΩ voltmeter reads less than a tenth of what is there: the node hangs on leakage only. */
const HANGS_OHMS = 1e8

/** Two probes on one observed circuit. */
export interface Probes {
  observed: Observed
  /** node numbers */
  red: number
  black: number
}

/** Open-circuit volts between the probes and the resistance behind them; or why there are none. */
export function between(p: Probes): { volts: number; ohms: number } | Extract<Prediction, { kind: 'floating' }> {
  const { observed, red, black } = p
  const { island } = observed.point
  const volts = observed.volts[red]! - observed.volts[black]!
  if (red === black) return { volts: 0, ohms: 0 }
  if (island[red] === island[black]) {
    const transfer = observed.moments[0]!.solved.transfer(red, black)
    const ohms = Math.abs(transfer[red]! - transfer[black]!)
    if (ohms < HANGS_OHMS) return { volts, ohms }
  }
  return floating(p)
}

export function floating(p: Probes): Extract<Prediction, { kind: 'floating' }> {
  const { circuit, point } = p.observed
  const home = point.island[circuit.reference]
  const loose = [p.red, p.black].filter((n) => point.island[n] !== home)
  const nodes = (loose.length > 0 ? loose : [p.red, p.black]).map((n) => circuit.nodes[n]!)
  const why =
    loose.length === 0
      ? `${nodes.join(' and ')} have no path to each other in this car state`
      : loose.length === 2
        ? `${nodes.join(' and ')} hang on nothing common in this car state`
        : `${nodes.join(' and ')} has no path to ${circuit.nodes[loose[0] === p.red ? p.black : p.red]} in this car state`
  return { kind: 'floating', why, nodes }
}
