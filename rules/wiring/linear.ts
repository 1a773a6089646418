import { CholeskyDecomposition, LuDecomposition, Matrix } from 'ml-matrix'
import { Chains } from './chains.ts'
import type { Branch } from './circuit.ts'
import { diodeAt, limitJunction } from './diode.ts'
import { WiringError } from './errors.ts'

/**
 * A solved linear(ised) circuit: node volts, and what hangs together.
 *
 * `island[n]` numbers the pieces of the circuit that conduct among themselves; volts between two islands do not exist.
 * In each island volts count from its first node (the reference node in its own).
 */
export interface Solved {
  volts: Float64Array
  island: Int32Array
  /** unknowns: nodes and currents of ideal sources */
  size: number
  /** junction volts by diode branch */
  junctions: Map<Branch, number>
  /** volts at every node for 1 A pushed in at `plus` and drawn out at `minus`, all sources off */
  transfer(plus: number, minus: number): Float64Array
}

interface Factor {
  solve(rhs: Matrix): Matrix
}

/**
 * Modified nodal analysis: a row a node, and a row for the current of each ideal source (ohms 0). Diodes by Newton's
 * method with junction limiting.
 *
 * @param nodeCount nodes of the circuit
 * @param reference the node at 0 V
 * @param branches  what conducts now
 * @param warm      junction volts to start from
 * @throws WiringError `no-solution` where sources contradict each other, or Newton's method does not settle
 */
export function solveLinear(
  nodeCount: number,
  reference: number,
  branches: readonly Branch[],
  warm?: ReadonlyMap<Branch, number>,
): Solved {
  const island = islands(nodeCount, branches)
  const live = new Set<number>()
  for (const b of branches) {
    if (b.volts !== 0 || b.amps !== 0) live.add(island[b.a]!)
  }
  // Each island with a source in it has a ground of its own: the reference node, or else its first node.
  const keep = new Uint8Array(nodeCount)
  const grounded = new Set<number>()
  const ground = (n: number): void => {
    if (!live.has(island[n]!) || grounded.has(island[n]!)) return
    grounded.add(island[n]!)
    keep[n] = 2
  }
  ground(reference)
  for (let n = 0; n < nodeCount; n++) ground(n)

  const edges: [number, number, number][] = []
  const sources = new Float64Array(nodeCount)
  const ideal: Branch[] = []
  const coupled: Branch[] = []
  const diodes: Branch[] = []
  const mustStay = (n: number): void => {
    if (keep[n] === 0) keep[n] = 1
  }
  for (const b of branches) {
    if (!live.has(island[b.a]!)) continue
    if (b.kind === 'resistor' || b.kind === 'winding' || (b.kind === 'source' && b.ohms > 0)) {
      edges.push([b.a, b.b, 1 / b.ohms])
      sources[b.a]! += b.volts / b.ohms
      sources[b.b]! -= b.volts / b.ohms
    } else if (b.kind === 'current') {
      sources[b.a]! -= b.amps
      sources[b.b]! += b.amps
    } else if (b.kind === 'coupled') {
      for (const [n] of b.weights!) mustStay(n)
      coupled.push(b)
    } else if (b.kind === 'diode') {
      edges.push([b.a, b.b, STAND_IN])
      diodes.push(b)
    } else if (b.kind === 'source') {
      mustStay(b.a)
      mustStay(b.b)
      ideal.push(b)
    }
  }
  const chains = new Chains(nodeCount, edges, keep)
  const row = new Int32Array(nodeCount).fill(-1)
  let rows = 0
  let unknowns = ideal.length
  for (let n = 0; n < nodeCount; n++) {
    if (keep[n] === 2 || !live.has(island[n]!)) continue
    unknowns++
    if (keep[n] === 1 || chains.neighbours[n]! > 0) row[n] = rows++
  }
  const size = rows + ideal.length
  const matrix = Matrix.zeros(size, size)
  const add = (i: number, j: number, x: number): void => {
    if (i >= 0 && j >= 0) matrix.set(i, j, matrix.get(i, j) + x)
  }
  for (let n = 0; n < nodeCount; n++) {
    if (row[n]! < 0) continue
    for (let m = 0; m < nodeCount; m++) {
      const g = chains.left[n * nodeCount + m]!
      if (g === 0) continue
      add(row[n]!, row[n]!, g)
      add(row[n]!, row[m]!, -g)
    }
  }
  for (const b of coupled) {
    for (const [m, x] of b.weights!) for (const [n, y] of b.weights!) add(row[m]!, row[n]!, (x * y) / b.ohms)
  }
  ideal.forEach((b, k) => {
    for (const [n, x] of [
      [row[b.a]!, 1],
      [row[b.b]!, -1],
    ] as const) {
      add(n, rows + k, x)
      add(rows + k, n, x)
    }
  })
  const factor = size > 0 ? factorise(matrix, ideal.length > 0) : undefined
  const solve = (amps: Float64Array, emf: boolean): Float64Array => {
    chains.forward(amps)
    const out = new Float64Array(nodeCount)
    if (factor) {
      const right = Matrix.zeros(size, 1)
      for (let n = 0; n < nodeCount; n++) if (row[n]! >= 0) right.set(row[n]!, 0, amps[n]!)
      if (emf) ideal.forEach((b, k) => right.set(rows + k, 0, b.volts))
      const x = factor.solve(right)
      for (let n = 0; n < nodeCount; n++) if (row[n]! >= 0) out[n] = x.get(row[n]!, 0)
    }
    chains.backward(out, amps)
    return out
  }
  const pushed = (plus: number, minus: number): Float64Array => {
    const amps = new Float64Array(nodeCount)
    if (!live.has(island[plus]!)) return amps
    amps[plus]! += 1
    amps[minus]! -= 1
    return solve(amps, false)
  }

  const volts = solve(sources, true)
  if (!volts.every(Number.isFinite)) throw contradiction(ideal[0]?.id ?? 'circuit')
  const junctions = new Map<Branch, number>()
  if (diodes.length === 0) return { volts, island, size: unknowns, junctions, transfer: pushed }
  const ports = new Ports(
    diodes,
    diodes.map((d) => pushed(d.a, d.b)),
  )
  ports.settle(volts, warm, junctions)
  return {
    volts,
    island,
    size: unknowns,
    junctions,
    transfer: (plus, minus) => ports.correct(pushed(plus, minus)),
  }
}

/** Siemens that stand in for every diode while the rest of the circuit is factorised. */
const STAND_IN = 1e-3
const MOST_STEPS = 200

/**
 * The diodes as ports of a circuit that is otherwise linear: what 1 A into each does to all the others is known, so that
 * Newton's method runs on as many equations as there are diodes, and the circuit is factorised once.
 */
class Ports {
  private readonly diodes: readonly Branch[]
  /** node volts for 1 A pushed through each diode's ends */
  private readonly columns: readonly Float64Array[]
  private siemens: number[] = []

  constructor(diodes: readonly Branch[], columns: readonly Float64Array[]) {
    this.diodes = diodes
    this.columns = columns
  }

  private across(volts: Float64Array): number[] {
    return this.diodes.map((d) => volts[d.a]! - volts[d.b]!)
  }

  /** Finds the junction volts, and takes the stand-ins' error out of `volts`. */
  settle(volts: Float64Array, warm: ReadonlyMap<Branch, number> | undefined, junctions: Map<Branch, number>): void {
    const k = this.diodes.length
    const open = this.across(volts)
    const ohms = this.columns.map((column) => this.across(column))
    let at = this.diodes.map((d) => warm?.get(d) ?? 0)
    for (let step = 0; ; step++) {
      const laws = at.map(diodeAt)
      this.siemens = laws.map((law) => law.siemens)
      // v = open − Σ ohms (I(v) − stand-in v), linearised at `at`.
      const a = Matrix.eye(k, k)
      const b = Matrix.zeros(k, 1)
      for (let i = 0; i < k; i++) {
        b.set(i, 0, open[i]!)
        for (let j = 0; j < k; j++) {
          const { amps, siemens } = laws[j]!
          a.set(i, j, a.get(i, j) + ohms[j]![i]! * (siemens - STAND_IN))
          b.set(i, 0, b.get(i, 0) - ohms[j]![i]! * (amps - siemens * at[j]!))
        }
      }
      const reached = new LuDecomposition(a).solve(b)
      let moved = 0
      const next = at.map((before, i) => {
        const v = reached.get(i, 0)
        moved = Math.max(moved, Math.abs(v - before) / (1 + Math.abs(v)))
        return limitJunction(v, before)
      })
      at = next
      if (moved < 1e-12) break
      if (step === MOST_STEPS || !(moved >= 0)) {
        throw new WiringError(
          'no-solution',
          this.diodes[0]!.id,
          'the diodes do not settle',
          'Look for a loop without resistance',
        )
      }
    }
    this.diodes.forEach((d, j) => {
      const excess = diodeAt(at[j]!).amps - STAND_IN * at[j]!
      const column = this.columns[j]!
      for (let n = 0; n < volts.length; n++) volts[n]! -= excess * column[n]!
      junctions.set(d, at[j]!)
    })
  }

  /** Node volts for a unit current, with the diodes' slopes at the solution in place of the stand-ins. */
  correct(volts: Float64Array): Float64Array {
    const k = this.diodes.length
    const ports = this.across(volts)
    const extra = this.siemens.map((g) => g - STAND_IN)
    const a = Matrix.eye(k, k)
    for (let i = 0; i < k; i++) {
      const seen = this.across(this.columns[i]!)
      for (let j = 0; j < k; j++) a.set(j, i, a.get(j, i) + extra[j]! * seen[j]!)
    }
    const amps = new LuDecomposition(a).solve(Matrix.columnVector(ports.map((v, i) => extra[i]! * v)))
    this.columns.forEach((column, i) => {
      for (let n = 0; n < volts.length; n++) volts[n]! -= amps.get(i, 0) * column[n]!
    })
    return volts
  }
}

/** Conductance matrices are symmetric and positive definite; with ideal sources they are not, and need pivots. */
function factorise(matrix: Matrix, pivots: boolean): Factor {
  if (!pivots) {
    const cholesky = new CholeskyDecomposition(matrix)
    if (cholesky.isPositiveDefinite()) return cholesky
  }
  const lu = new LuDecomposition(matrix)
  if (lu.isSingular()) throw contradiction('circuit')
  return lu
}

function contradiction(where: string): WiringError {
  return new WiringError(
    'no-solution',
    where,
    'the sources contradict each other, or a loop has no resistance',
    'Give the sources an internal resistance',
  )
}

/** Pieces of the circuit that conduct among themselves: for each node the number of its piece. */
export function islands(nodeCount: number, branches: readonly Branch[]): Int32Array {
  const parent = Int32Array.from({ length: nodeCount }, (_, n) => n)
  const root = (n: number): number => {
    let r = n
    while (parent[r] !== r) r = parent[r]!
    while (parent[n] !== r) [parent[n], n] = [r, parent[n]!]
    return r
  }
  for (const b of branches) {
    if (b.kind === 'capacitor') continue
    parent[root(b.a)] = root(b.b)
    for (const [n] of b.weights ?? []) parent[root(n)] = root(b.b)
  }
  return parent.map((_, n) => root(n))
}
