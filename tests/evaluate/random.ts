/** A small seeded generator (mulberry32, public domain): the same seed gives the same simulated shop on every machine. */
export function seeded(seed: number): () => number {
  let a = seed >>> 0
  return () => {
    a = (a + 0x6d2b79f5) >>> 0
    let t = a
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** An index drawn by weight. */
export function draw(weights: ArrayLike<number>, random: () => number): number {
  let total = 0
  for (let i = 0; i < weights.length; i++) total += weights[i]!
  let at = random() * total
  for (let i = 0; i < weights.length; i++) {
    at -= weights[i]!
    if (at < 0) return i
  }
  return weights.length - 1
}
