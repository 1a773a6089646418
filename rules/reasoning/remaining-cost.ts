import type { Knowledge } from '../schema/knowledge.ts'
import type { Compiled } from './compiled.ts'

/**
 * What the rest of the job is expected to cost, in minutes, if nothing more were asked: the aim that checks are chosen by.
 * An aim sees the belief as probabilities of the hypotheses and their causes.
 */
export interface Aim {
  /** how many groups the hypotheses fall into */
  groups: number
  /** group of each cause index */
  groupOf: Int16Array
  /**
   * expected remaining minutes of a belief over groups, adding up to 1
   * @param ids the group of each entry of `p`, where only some are given
   */
  cost(p: Float64Array, ids?: Int16Array): number
  /** whether a check that saves so many minutes is worth its own */
  worth(saves: number, minutes: number): boolean
}

/** Minutes to show that a repair worked, if nothing else says so. Estimate. */
const PROOF_MINUTES = 4
/** A part fitted for nothing costs more than its price: trust, a second visit. Estimate, tuned by `npm run evaluate`. */
const WRONG_REPAIR = 4

/**
 * Nobody fits one part after another for ever: giving up and beginning afresh costs this much. Estimate, minutes, tuned by
 * `npm run evaluate`.
 */
const HAND_OVER = 600
/**
 * Giving up alone would make every belief that is far from any repair worth the same, and no first check worth asking; so
 * this share of the aim is what trying every repair to the end would cost. Tuned by `npm run evaluate`.
 */
export const ALL_THE_WAY = 0.15
/**
 * To the end: as if it were one of ours, and until it is fixed in nine cars of ten. Else each remedy that is all but out would
 * still be thought to be tried on every car that has none of ours, and what rules it out for good would seem worth asking. Estimate.
 */
const HARDLY = 0.1

/** Minutes that trying a remedy costs: labour, and the part's middle price over the shop's rate. */
export function remedyMinutes(k: Knowledge): Float64Array {
  return Float64Array.from(
    k.remedies.map((r) => r.minutes + (((r.part.low + r.part.high) / 2) * 60) / k.settings.ratePerHour),
  )
}

/**
 * Repairs tried one after the other until the car is fixed, in the order of p/c, which is the cheapest order where one
 * cause is at fault: J. B. Kadane & H. A. Simon, "Optimal strategies for a class of constrained sequential problems",
 * Annals of Statistics 5 (1977) 237–255; given up where going on would cost more than beginning afresh. What is none of
 * ours costs `otherMinutes` after all of them.
 */
export function repairAim(c: Compiled, k: Knowledge): Aim {
  const minutes = remedyMinutes(k)
  const costs = Float64Array.from(minutes, (m) => m * WRONG_REPAIR + PROOF_MINUTES)
  // The right repair has to be paid anyway: it costs no trust. What is given back for it leaves the order as it is.
  const given = Float64Array.from(minutes, (m) => m * (WRONG_REPAIR - 1))
  const groups = c.remedies.length + 1
  const groupOf = Int16Array.from(c.remedyOf, (r) => (r < 0 ? groups - 1 : r))
  const order = new Int32Array(groups)
  const ratio = new Float64Array(groups)
  return {
    groups,
    groupOf,
    worth: (saves, minutes) => saves > minutes,
    cost(p, ids) {
      let n = 0
      let other = 0
      for (let at = 0; at < p.length; at++) {
        const r = ids ? ids[at]! : at
        if (r === groups - 1) {
          other = p[at]!
          continue
        }
        // A remedy nobody would try before giving up is left out of the order; it joins the rest.
        if (p[at]! < 1e-3) continue
        const value = p[at]! / costs[r]!
        let i = n++
        while (i > 0 && ratio[i - 1]! < value) {
          ratio[i] = ratio[i - 1]!
          order[i] = order[i - 1]!
          i--
        }
        ratio[i] = value
        order[i] = at
      }
      let left = 1
      let tried = 0
      let toTheEnd = 0
      let best = HAND_OVER
      for (let i = 0; i < n; i++) {
        const at = order[i]!
        const r = ids ? ids[at]! : at
        const cost = costs[r]!
        tried += left * cost - p[at]! * given[r]!
        if (left - other > HARDLY * (1 - other)) toTheEnd += (left - other) * cost
        left = Math.max(0, left - p[at]!)
        const stopHere = tried + left * HAND_OVER
        if (stopHere < best) best = stopHere
      }
      return (1 - ALL_THE_WAY) * best + ALL_THE_WAY * (toTheEnd + left * k.settings.otherMinutes)
    },
  }
}

/** In which order to try repairs, each with p and cost: cheapest by p/c. */
export function repairOrder(p: readonly number[], cost: readonly number[]): number[] {
  return p.map((_, i) => i).sort((a, b) => p[b]! / cost[b]! - p[a]! / cost[a]! || a - b)
}

/** No check excludes a cause for ever; below this one is not asked about any more where only its name is wanted. */
const RULED_OUT = 0.02

/**
 * To name the cause and nothing else: the least expected number of checks with `arity` outcomes each, which is Huffman's
 * (T. M. Cover & J. A. Thomas, Elements of Information Theory, ch. 5), times the minutes of one.
 */
export function identifyAim(c: Compiled, arity: number, minutes = 1): Aim {
  const groups = c.causes.length
  return {
    groups,
    groupOf: Int16Array.from(c.causes, (_, i) => i),
    // The bound is what the best questions would need, so a good one saves its own minutes and no more.
    worth: (saves) => saves > 1e-3,
    cost(p) {
      const alive = [...p].filter((x) => x > RULED_OUT)
      if (alive.length <= 1) return 0
      const total = alive.reduce((a, b) => a + b, 0)
      const heap = alive.map((x) => x / total).sort((a, b) => a - b)
      // So that the last step joins `arity` at once, the first joins fewer.
      while ((heap.length - 1) % (arity - 1) !== 0) heap.unshift(0)
      let sum = 0
      while (heap.length > 1) {
        let joined = 0
        for (let i = 0; i < arity; i++) joined += heap.shift()!
        sum += joined
        let at = heap.findIndex((x) => x >= joined)
        if (at < 0) at = heap.length
        heap.splice(at, 0, joined)
      }
      return sum * minutes
    },
  }
}
