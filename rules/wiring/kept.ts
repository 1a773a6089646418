import type { Netlist } from './netlist.ts'

/** Results kept by netlist and a key, the oldest dropped first. */
export class Kept<T> {
  private readonly byNetlist = new WeakMap<Netlist, Map<string, T>>()
  private readonly most: number

  constructor(most: number) {
    this.most = most
  }

  get(netlist: Netlist, key: string, make: () => T): T {
    const kept = this.byNetlist.get(netlist) ?? new Map<string, T>()
    this.byNetlist.set(netlist, kept)
    const known = kept.get(key)
    if (known !== undefined) return known
    const made = make()
    if (kept.size >= this.most) kept.delete(kept.keys().next().value!)
    kept.set(key, made)
    return made
  }
}
