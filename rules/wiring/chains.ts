/**
 * Chains and stubs taken out of a circuit of conductances before the rest goes to dense algebra: a node with one or two
 * neighbours is eliminated exactly (series and parallel connection, as on paper), and its volts are found afterwards.
 * Car wiring is mostly chains, so that some fifty nodes shrink to a handful. Only sums of positive numbers occur here,
 * so that a milliohm beside a megohm costs no digits.
 */
export class Chains {
  private readonly steps: { node: number; p: number; gp: number; q: number; gq: number }[] = []
  /** conductances left between the nodes that remain, by node */
  readonly left: Map<number, number>[]

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
    const next: Map<number, number>[] = Array.from({ length: nodeCount }, () => new Map())
    const join = (a: number, b: number, g: number): void => {
      next[a]!.set(b, (next[a]!.get(b) ?? 0) + g)
      next[b]!.set(a, (next[b]!.get(a) ?? 0) + g)
    }
    for (const [a, b, g] of edges) if (a !== b) join(a, b, g)
    const queue: number[] = []
    const offer = (n: number): void => {
      if (!keep[n] && next[n]!.size > 0 && next[n]!.size <= 2) queue.push(n)
    }
    for (let n = 0; n < nodeCount; n++) offer(n)
    for (let n = queue.pop(); n !== undefined; n = queue.pop()) {
      const around = [...next[n]!]
      if (around.length === 0 || around.length > 2) continue
      const [p, gp] = around[0]!
      const [q, gq] = around[1] ?? [p, 0]
      next[n]!.clear()
      next[p]!.delete(n)
      next[q]!.delete(n)
      if (gq > 0) join(p, q, (gp * gq) / (gp + gq))
      this.steps.push({ node: n, p, gp, q, gq })
      offer(p)
      if (q !== p) offer(q)
    }
    this.left = next
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
