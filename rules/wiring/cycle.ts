import type { Branch, Circuit } from './circuit.ts'
import { type Solved, solveLinear } from './linear.ts'
import { type OperatingPoint, operate } from './operate.ts'

/** Moments of one cycle at which a rectifier is solved; the midpoint rule's error for |sin| is then 0.04 %. */
export const MOMENTS = 32

/** One moment: the circuit as solved, and the branches it was solved with. */
export interface Moment {
  solved: Solved
  branches: readonly Branch[]
}

/**
 * What instruments see: one moment for a circuit at rest, or a whole cycle where a transformer feeds a rectifier.
 * `volts` is the mean over the cycle.
 */
export interface Observed {
  circuit: Circuit
  point: OperatingPoint
  moments: readonly Moment[]
  volts: Float64Array
}

/**
 * The direct side of a circuit. Where a transformer runs, its windings become sources of their open-circuit volts behind
 * their ballast, and the circuit is solved moment by moment, as if nothing in it stored energy (quasi-static).
 */
export function observe(circuit: Circuit, extra: readonly Branch[] = []): Observed {
  const point = operate(circuit, extra)
  const sources = runningSecondaries(circuit, point)
  if (sources.size === 0) {
    return { circuit, point, moments: [{ solved: point, branches: point.branches }], volts: point.volts }
  }
  const moments: Moment[] = []
  const volts = new Float64Array(circuit.nodes.length)
  let warm: ReadonlyMap<Branch, number> | undefined
  for (let k = 0; k < MOMENTS; k++) {
    const angle = (2 * Math.PI * (k + 0.5)) / MOMENTS
    const branches = point.branches.map((b): Branch => {
      const s = sources.get(b)
      if (!s) return b
      return { ...b, kind: 'source', ohms: s.ohms, volts: s.peak * Math.sin(angle), voltsSd: s.sd * Math.sin(angle) }
    })
    const solved = solveLinear(circuit.nodes.length, circuit.reference, branches, warm)
    warm = solved.junctions
    moments.push({ solved, branches })
    for (let n = 0; n < volts.length; n++) volts[n]! += solved.volts[n]! / MOMENTS
  }
  return { circuit, point, moments, volts }
}

function runningSecondaries(
  circuit: Circuit,
  point: OperatingPoint,
): Map<Branch, { peak: number; sd: number; ohms: number }> {
  const found = new Map<Branch, { peak: number; sd: number; ohms: number }>()
  for (const t of circuit.transformers) {
    const rms = point.alternating?.secondaries.get(t.id) ?? []
    t.secondaries.forEach((s, i) => {
      if (!s.branch || !(rms[i]! > 0)) return
      const own = s.branch.kind === 'resistor' ? 0 : rms[i]!
      const ohms = s.ballastOhms + s.branch.ohms
      if (own > 0) found.set(s.branch, { peak: Math.SQRT2 * own, sd: 0.01 * Math.SQRT2 * own, ohms })
    })
  }
  return found
}
