/** Choice of check, with naming the cause as the aim, on problems whose best answers are published. */

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Learned } from '../../rules/reasoning/evidence.ts'
import { branch, chooseNext, type Option } from '../../rules/reasoning/next-check.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { ALL_THE_WAY, identifyAim, repairAim, repairOrder } from '../../rules/reasoning/remaining-cost.ts'
import { causeProbabilities, type Standing } from '../../rules/reasoning/standing.ts'
import { type Small, smallReasoner } from '../reasoning/build.ts'

const sure = { p: 0.999, source: 'test' }

function optionsOf(r: Reasoner, done: ReadonlySet<number>): Option[] {
  return r.compiled.checks.map((_, check) => ({ check, minutes: 1 })).filter((o) => !done.has(o.check))
}

/** What a check shows in a car with a cause: the outcome it makes likeliest. */
function honest(r: Reasoner, s: Standing, check: number, cause: number): number {
  const h = s.causeOf.indexOf(cause)
  const c = r.compiled.checks[check]!
  const o = r.compiled.observables[c.observable]!
  const row = cause * o.states.length
  let state = 0
  for (let i = 0; i < o.states.length; i++) if (o.table[row + i]! > o.table[row + state]!) state = i
  const n = c.outcomes.length
  let outcome = 0
  for (let i = 0; i < n; i++) if (c.shows[state * n + i]! > c.shows[state * n + outcome]!) outcome = i
  expect(h).toBeGreaterThanOrEqual(0)
  return outcome
}

/** Asks until one cause has nearly all; the number of checks. */
function play(r: Reasoner, arity: number, cause: number, most: number): { asked: number[]; found: number } {
  const aim = identifyAim(r.compiled, arity)
  let s = r.stand({}, [] as Learned[])
  const asked: number[] = []
  while (asked.length < most) {
    const p = causeProbabilities(s)
    if (Math.max(...p) > 0.95) break
    const choice = chooseNext(s, optionsOf(r, new Set(asked)), aim)
    const best = choice.worth[0] ?? undefined
    if (!best) break
    asked.push(best.option.check)
    s = branch(s, best.option.check, honest(r, s, best.option.check, cause)).standing
  }
  const p = causeProbabilities(s)
  return { asked, found: p.indexOf(Math.max(...p)) }
}

/** Every weighing of as many coins against as many, up to which coins are named: 12 coins, one odd, heavier or lighter. */
function twelveCoins(weighings: { left: number[]; right: number[] }[]): Small {
  const causes: Small['causes'] = []
  for (let coin = 0; coin < 12; coin++) {
    for (const odd of ['heavy', 'light'] as const) {
      causes.push({
        id: `coin-${coin}.${odd}`,
        effects: weighings.flatMap(({ left, right }, i) => {
          const onLeft = left.includes(coin)
          if (!onLeft && !right.includes(coin)) return []
          const down = onLeft === (odd === 'heavy') ? 'left' : 'right'
          return [{ observable: `scale-${i}`, states: { [down]: sure } }]
        }),
      })
    }
  }
  return {
    causes,
    observables: weighings.map((_, i) => ({
      id: `scale-${i}`,
      states: ['level', 'left', 'right'],
      usual: { level: sure },
    })),
    checks: weighings.map((_, i) => ({
      id: `weigh-${i}`,
      observable: `scale-${i}`,
      reliability: 0.999,
      outcomes: ['level', 'left', 'right'].map((id) => ({ id, shows: [id] })),
    })),
  }
}

describe('twelve coins, one of them odd (classic puzzle; three weighings suffice, the first four against four)', () => {
  // A fixed sample of all weighings keeps the table small; it holds some of every size.
  const weighings = fc
    .sample(
      fc.tuple(
        fc.integer({ min: 1, max: 6 }),
        fc.shuffledSubarray([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11], { minLength: 12 }),
      ),
      { seed: 12, numRuns: 900 },
    )
    .map(([size, coins]) => ({ left: coins.slice(0, size), right: coins.slice(size, 2 * size) }))
  const numberOf = (check: string) => Number(check.split('-')[1])

  it('weighs four against four first and names every one of the 24 cases in three', async () => {
    const r = await smallReasoner(twelveCoins(weighings))
    const s = r.stand({}, [])
    const { worth } = chooseNext(s, optionsOf(r, new Set()), identifyAim(r.compiled, 3))
    const { left } = weighings[numberOf(r.compiled.checks[worth[0]!.option.check]!.id)]!
    expect(left.length).toBe(4)
    for (let cause = 0; cause < 24; cause++) {
      const { asked, found } = play(r, 3, cause, 4)
      expect(found, r.compiled.causes[cause]).toBe(cause)
      expect(asked.length, r.compiled.causes[cause]).toBeLessThanOrEqual(3)
    }
  })
})

describe("yes/no questions against Huffman's bound (Cover & Thomas, Elements of Information Theory, ch. 5)", () => {
  it('needs 2.3 questions on average for p = .25 .25 .2 .15 .15', async () => {
    const p = [0.25, 0.25, 0.2, 0.15, 0.15]
    // Every question but the empty one and its opposite, each once or with its opposite: all 30 non-trivial subsets.
    const subsets = Array.from({ length: 30 }, (_, i) => i + 1)
    const r = await smallReasoner({
      causes: p.map((weight, i) => ({
        id: `x-${i}.is`,
        weight: weight * 100,
        effects: subsets.filter((m) => m & (1 << i)).map((m) => ({ observable: `in-${m}`, states: { yes: sure } })),
      })),
      observables: subsets.map((m) => ({ id: `in-${m}`, states: ['no', 'yes'], usual: { no: sure } })),
      checks: subsets.map((m) => ({
        id: `ask-${m}`,
        observable: `in-${m}`,
        reliability: 0.999,
        outcomes: ['no', 'yes'].map((id) => ({ id, shows: [id] })),
      })),
    })
    let expected = 0
    for (let i = 0; i < p.length; i++) {
      const { asked, found } = play(r, 2, i, 6)
      expect(found).toBe(i)
      expected += p[i]! * asked.length
    }
    expect(expected).toBeCloseTo(2.3, 9)
  })
})

describe('repairs in the order of p/c (Kadane & Simon 1977)', () => {
  const expectedCost = (order: readonly number[], p: readonly number[], c: readonly number[]) => {
    let left = 1
    let cost = 0
    for (const i of order) {
      cost += left * c[i]!
      left -= p[i]!
    }
    return cost
  }
  const permutations = (n: number): number[][] =>
    n === 0
      ? [[]]
      : permutations(n - 1).flatMap((x) =>
          Array.from({ length: n }, (_, i) => [...x.slice(0, i), n - 1, ...x.slice(i)]),
        )

  it('is never dearer than any other order, by brute force over all', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 100 }), fc.integer({ min: 1, max: 300 })), {
          minLength: 2,
          maxLength: 6,
        }),
        (rows) => {
          const total = rows.reduce((a, [w]) => a + w, 0)
          const p = rows.map(([w]) => w / total)
          const c = rows.map(([, cost]) => cost)
          const ours = expectedCost(repairOrder(p, c), p, c)
          for (const order of permutations(rows.length))
            expect(ours).toBeLessThanOrEqual(expectedCost(order, p, c) + 1e-9)
        },
      ),
      { numRuns: 60 },
    )
  })

  it('is what the repair aim charges, while nothing is worth handing over', async () => {
    const r = await smallReasoner({
      causes: [
        { id: 'a.bad', weight: 5, effects: [{ observable: 'oo', states: { x: sure } }] },
        { id: 'b.bad', weight: 3, effects: [{ observable: 'oo', states: { y: sure } }] },
        { id: 'c.bad', weight: 2, effects: [{ observable: 'oo', states: { y: sure } }] },
      ],
      observables: [{ id: 'oo', states: ['x', 'y'] }],
      checks: [
        {
          id: 'look',
          observable: 'oo',
          outcomes: [
            { id: 'x', shows: ['x'] },
            { id: 'y', shows: ['y'] },
          ],
        },
      ],
      remedies: {
        'mend-a-bad': { minutes: 10, price: 0 },
        'mend-b-bad': { minutes: 4, price: 0 },
        'mend-c-bad': { minutes: 20, price: 0 },
      },
    })
    const aim = repairAim(r.compiled, r.knowledge)
    const p = new Float64Array(aim.groups)
    const at = (id: string) => r.lookup.remedy.get(id)!
    p[at('mend-a-bad')] = 0.5
    p[at('mend-b-bad')] = 0.3
    p[at('mend-c-bad')] = 0.2
    // Costs in the aim: minutes × 4 for a part fitted for nothing, + 4 to prove it; the right one costs its own minutes.
    const cost = (minutes: number) => minutes * 4 + 4
    const notWrong = 3 * (0.5 * 10 + 0.3 * 4 + 0.2 * 20)
    const order = permutations(3)
    const ps = [0.5, 0.3, 0.2]
    const cs = [cost(10), cost(4), cost(20)]
    const best = Math.min(...order.map((o) => expectedCost(o, ps, cs)))
    expect(aim.cost(p)).toBeCloseTo(best - (1 - ALL_THE_WAY) * notWrong, 9)
  })
})
