/**
 * Chains and stubs taken out of a circuit of conductances before the rest goes to dense algebra: a node with one or two
 * neighbours is eliminated exactly (series and parallel connection, as on paper), and its volts are found afterwards.
 * Car wiring is mostly chains, so that some fifty nodes shrink to a handful. Only sums of positive numbers occur here,
 * so that a milliohm beside a megohm costs no digits.
 */
export class Chains {
  private readonly steps: { node: number; p: number; gp: number; q: number; gq: number }[] = []
  /** conductances left between the nodes that remain: row by row, siemens, 0 where none */
  readonly left: Float64Array
  /** how many neighbours a node has left */
  readonly neighbours: Int32Array

  /**
   * @param nodeCount number of nodes
   * @param edges     conductances, siemens, between two nodes
   * @param keep      nodes that must remain
   */
  constructor(
    nodeCount: number,
    edges: readonly (readonly [a: number, b: number, siemens: number])[],
    keep: Uint8Array,
  ) {
    // Fifty nodes squared is little beside a map for each: a car is solved thousands of times.
    const left = new Float64Array(nodeCount * nodeCount)
    const neighbours = new Int32Array(nodeCount)
    const join = (a: number, b: number, g: number): void => {
      const ab = a * nodeCount + b
      const ba = b * nodeCount + a
      if (left[ab] === 0) {
        neighbours[a]!++
        neighbours[b]!++
      }
      left[ab]! += g
      left[ba]! += g
    }
    const cut = (a: number, b: number): void => {
      left[a * nodeCount + b] = 0
      left[b * nodeCount + a] = 0
      neighbours[a]!--
      neighbours[b]!--
    }
    for (const [a, b, g] of edges) if (a !== b) join(a, b, g)
    const queue: number[] = []
    const offer = (n: number): void => {
      if (!keep[n] && neighbours[n]! > 0 && neighbours[n]! <= 2) queue.push(n)
    }
    for (let n = 0; n < nodeCount; n++) offer(n)
    for (let n = queue.pop(); n !== undefined; n = queue.pop()) {
      if (neighbours[n]! === 0 || neighbours[n]! > 2) continue
      const row = n * nodeCount
      let p = -1
      let q = -1
      for (let m = 0; m < nodeCount; m++) {
        if (left[row + m] === 0) continue
        if (p < 0) p = m
        else q = m
      }
      const gp = left[row + p]!
      const gq = q < 0 ? 0 : left[row + q]!
      if (q < 0) q = p
      cut(n, p)
      if (gq > 0) {
        cut(n, q)
        join(p, q, (gp * gq) / (gp + gq))
      }
      this.steps.push({ node: n, p, gp, q, gq })
      offer(p)
      if (q !== p) offer(q)
    }
    this.left = left
    this.neighbours = neighbours
  }

  /** Moves the currents pushed into eliminated nodes to the nodes that remain; changes `amps`. */
  forward(amps: Float64Array): void {
    for (const { node, p, gp, q, gq } of this.steps) {
      const j = amps[node]!
      if (j === 0) continue
      amps[p]! += (j * gp) / (gp + gq)
      if (gq > 0) amps[q]! += (j * gq) / (gp + gq)
    }
  }

  /** Fills in the volts of the eliminated nodes; `amps` as `forward` left them. */
  backward(volts: Float64Array, amps: Float64Array): void {
    for (let k = this.steps.length - 1; k >= 0; k--) {
      const { node, p, gp, q, gq } = this.steps[k]!
      volts[node] = (amps[node]! + gp * volts[p]! + gq * volts[q]!) / (gp + gq)
    }
  }
}
