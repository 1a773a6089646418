import { LuDecomposition, Matrix } from 'ml-matrix'
import type { Branch, Circuit, Transformer } from './circuit.ts'
import { GMIN } from './diode.ts'
import { WiringError } from './errors.ts'
import { islands } from './linear.ts'

/** Node volts of the alternating side, rms, as real and imaginary parts. */
export interface Phasors {
  real: Float64Array
  imaginary: Float64Array
  island: Int32Array
  hertz: number
  branches: Branch[]
  /** rms volts between two nodes; undefined if they hang on nothing common */
  rms(a: number, b: number): number | undefined
  /** rms open-circuit volts of each secondary, by transformer and order */
  secondaries: ReadonlyMap<string, number[]>
}

interface Closed {
  closed: ReadonlySet<string>
  volts: Float64Array
  controllers: ReadonlyMap<string, { demand: number }>
}

/**
 * The alternating side at one frequency: nodal analysis with complex numbers. Direct sources are their resistance,
 * diodes their leakage. Secondaries are first left open, so that the primary's volts are known, then put in as sources.
 *
 * @throws WiringError `no-solution` if the side has no solution
 */
export function solvePhasors(circuit: Circuit, dc: Closed): Phasors {
  const { hertz, phases } = drivenBy(circuit, dc)
  const contacts = circuit.contactors.filter((c) => c.contacts && dc.closed.has(c.id)).map((c) => c.contacts!)
  const secondaries = new Set(circuit.transformers.flatMap((t) => t.secondaries.map((s) => s.branch)))
  const plain = [...circuit.branches, ...contacts, ...phases].filter((b) => !secondaries.has(b))
  const first = solveAt(circuit, plain, hertz)
  const rmsOf = new Map<string, number[]>()
  const made: Branch[] = []
  for (const t of circuit.transformers) {
    const list = secondaryVolts(circuit, t, first)
    rmsOf.set(
      t.id,
      list.map((s) => s.rms),
    )
    t.secondaries.forEach((s, i) => {
      if (s.branch)
        made.push({ ...s.branch, kind: 'phasor', volts: list[i]!.rms, degrees: list[i]!.degrees, henries: 0 })
    })
  }
  const all = [...plain, ...made]
  const solved = made.length > 0 ? solveAt(circuit, all, hertz) : first
  return { ...solved, hertz, branches: all, secondaries: rmsOf }
}

function drivenBy(circuit: Circuit, dc: Closed): { hertz: number; phases: Branch[] } {
  const phases: Branch[] = []
  let hertz = circuit.hertz
  for (const c of circuit.controllers) {
    const demand = dc.controllers.get(c.id)?.demand ?? 0
    for (const o of c.outputs) {
      if (o.kind !== 'phases' || demand <= 0) continue
      hertz = o.hertz
      const supply = dc.volts[c.positive]! - dc.volts[c.negative]!
      o.nodes.forEach((node, k) => {
        phases.push({
          id: `${c.id}.phase-${k + 1}`,
          part: c.id,
          what: `phase-${k + 1}`,
          kind: 'phasor',
          a: node,
          b: c.negative,
          ohms: o.ohms,
          volts: (o.fraction * demand * supply) / Math.sqrt(3),
          amps: 0,
          farads: 0,
          henries: 0,
          degrees: -120 * k,
          spread: 0.02,
          voltsSd: (0.05 * o.fraction * demand * supply) / Math.sqrt(3),
        })
      })
    }
  }
  return { hertz, phases }
}

/** Volts that a transformer's secondaries give open, from what its magnetising inductance gets. */
function secondaryVolts(
  circuit: Circuit,
  t: Transformer,
  at: ReturnType<typeof solveAt>,
): { rms: number; degrees: number }[] {
  const dead = t.secondaries.map(() => ({ rms: 0, degrees: 0 }))
  if (!t.primary || at.rms(t.primary.a, t.primary.b) === undefined) return dead
  const { a, b, ohms, henries } = t.primary
  const re = at.real[a]! - at.real[b]!
  const im = at.imaginary[a]! - at.imaginary[b]!
  const x = 2 * Math.PI * circuit.hertz * henries
  // jx / (r + jx), the part of the primary's volts that magnetises.
  const scale = 1 / (ohms * ohms + x * x)
  const [kr, ki] = [x * x * scale, x * ohms * scale]
  const [mr, mi] = [re * kr - im * ki, re * ki + im * kr]
  const drive = Math.hypot(mr, mi) / circuit.supplyVolts
  if (drive < 1e-6) return dead
  const degrees = (Math.atan2(mi, mr) * 180) / Math.PI
  const strength = t.resonant ? resonance(t.resonant, drive) : drive
  return t.secondaries.map((s) => ({ rms: s.branch ? s.rms * strength : 0, degrees }))
}

/**
 * A ferroresonant transformer by its behaviour (common practice, no source): from 85 % of the supply volts up its
 * secondaries keep their volts to a tenth of the change; with the capacitor lost they fall to `without`, between that in
 * proportion to the capacitance, and a capacitor larger than nominal raises them no further.
 */
function resonance(r: NonNullable<Transformer['resonant']>, drive: number): number {
  const kept = drive >= 0.85 ? 1 + 0.1 * (drive - 1) : (drive / 0.85) * 0.985
  return kept * (r.without + (1 - r.without) * Math.min(1, r.present / r.farads))
}

function solveAt(
  circuit: Circuit,
  all: readonly Branch[],
  hertz: number,
): Pick<Phasors, 'real' | 'imaginary' | 'island' | 'rms'> {
  const n = circuit.nodes.length
  const w = 2 * Math.PI * hertz
  // A capacitor conducts here; islands() would leave it out.
  const conducting = all.filter((b) => b.kind !== 'current' && b.kind !== 'coupled')
  const asResistors = conducting.map((b): Branch => (b.kind === 'capacitor' ? { ...b, kind: 'resistor' } : b))
  const island = islands(n, asResistors)
  const alias = stillParts(n, asResistors)
  const live = new Set(conducting.filter((b) => b.kind === 'phasor').map((b) => island[b.a]!))
  const row = new Int32Array(n).fill(-1)
  const grounded = new Set<number>()
  if (live.has(island[circuit.reference]!)) grounded.add(island[circuit.reference]!)
  let size = 0
  for (let k = 0; k < n; k++) {
    if (!live.has(island[k]!) || alias[k] !== k || k === alias[circuit.reference]) continue
    if (!grounded.has(island[k]!)) grounded.add(island[k]!)
    else row[k] = size++
  }
  const real = new Float64Array(n)
  const imaginary = new Float64Array(n)
  if (size > 0) {
    const m = Matrix.zeros(2 * size, 2 * size)
    const rhs = Matrix.zeros(2 * size, 1)
    const add = (i: number, j: number, g: number, b: number): void => {
      if (i < 0 || j < 0) return
      m.set(i, j, m.get(i, j) + g)
      m.set(i + size, j + size, m.get(i + size, j + size) + g)
      m.set(i, j + size, m.get(i, j + size) - b)
      m.set(i + size, j, m.get(i + size, j) + b)
    }
    for (const b of conducting) {
      const [g, s] = admittance(b, w)
      if (alias[b.a] === alias[b.b]) continue
      const [i, j] = [row[alias[b.a]!]!, row[alias[b.b]!]!]
      add(i, i, g, s)
      add(j, j, g, s)
      add(i, j, -g, -s)
      add(j, i, -g, -s)
      if (b.kind !== 'phasor') continue
      const angle = (b.degrees * Math.PI) / 180
      const [ir, ii] = [g * b.volts * Math.cos(angle), g * b.volts * Math.sin(angle)]
      for (const [k, sign] of [
        [i, 1],
        [j, -1],
      ] as const) {
        if (k < 0) continue
        rhs.set(k, 0, rhs.get(k, 0) + sign * ir)
        rhs.set(k + size, 0, rhs.get(k + size, 0) + sign * ii)
      }
    }
    const lu = new LuDecomposition(m)
    if (lu.isSingular()) {
      throw new WiringError(
        'no-solution',
        'alternating side',
        'it has no single solution',
        'Look for a loop without resistance',
      )
    }
    const x = lu.solve(rhs)
    for (let k = 0; k < n; k++) {
      const r = row[alias[k]!]!
      if (r < 0) continue
      real[k] = x.get(r, 0)
      imaginary[k] = x.get(r + size, 0)
    }
  }
  const rms = (a: number, b: number): number | undefined =>
    island[a] === island[b] ? Math.hypot(real[a]! - real[b]!, imaginary[a]! - imaginary[b]!) : undefined
  return { real, imaginary, island, rms }
}

/**
 * A piece of the circuit that touches sources at one node only carries no alternating current: all of it has that node's
 * volts. For each node the node that stands for it.
 */
function stillParts(n: number, branches: readonly Branch[]): Int32Array {
  const piece = islands(
    n,
    branches.filter((b) => b.kind !== 'phasor'),
  )
  const touches = new Map<number, number | 'several'>()
  for (const b of branches) {
    if (b.kind !== 'phasor') continue
    for (const node of [b.a, b.b]) {
      const before = touches.get(piece[node]!)
      touches.set(piece[node]!, before === undefined || before === node ? node : 'several')
    }
  }
  return piece.map((p, node) => {
    const at = touches.get(p)
    return typeof at === 'number' ? at : node
  })
}

/** Siemens, real and imaginary. */
export function admittance(b: Branch, w: number): [number, number] {
  if (b.kind === 'diode') return [GMIN, 0]
  if (b.kind === 'capacitor') return [0, w * b.farads]
  const x = w * b.henries
  const square = b.ohms * b.ohms + x * x
  return [b.ohms / square, -x / square]
}
