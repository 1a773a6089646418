import { expect, it } from 'vitest'
import { repairAim } from '../../rules/reasoning/remaining-cost.ts'
import { BESIDE_THE_POINT, causeProbabilities } from '../../rules/reasoning/standing.ts'
import { type Small, smallReasoner } from './build.ts'

const N = 60
/** One seldom cause that the complaint speaks for, beside many common ones that it does not. */
const small: Small = {
  causes: [
    {
      id: 'cord.open',
      weight: 0.2,
      effects: [{ observable: 'sign-0', states: { seen: 'certain' } }],
      complaints: { 'no-go-silent': 'expected' },
    },
    ...Array.from({ length: N }, (_, i) => ({
      id: `part-${i + 1}.worn`,
      weight: 5,
      effects: [{ observable: `sign-${i + 1}`, states: { seen: 'certain' } }],
    })),
  ],
  observables: Array.from({ length: N + 1 }, (_, i) => ({ id: `sign-${i}`, states: ['none', 'seen'] })),
  checks: Array.from({ length: N + 1 }, (_, i) => ({
    id: `look-${i}`,
    observable: `sign-${i}`,
    outcomes: [
      { id: 'yes', shows: ['seen'] },
      { id: 'no', shows: ['none'] },
    ],
  })),
  otherWeight: 5,
}

it('a rare complaint is believed, however many causes it does not speak for', async () => {
  const r = await smallReasoner(small)
  const said = causeProbabilities(r.stand({}, [{ kind: 'said', observable: 'complaint.no-go-silent' }]))
  const before = causeProbabilities(r.stand({}, []))
  const beside = [...said.slice(1, -1)].reduce((a, b) => a + b, 0)
  expect(beside / (beside + said[0]!)).toBeCloseTo(BESIDE_THE_POINT, 9)
  // Whether it is one of ours, the complaint does not say.
  expect(said[N + 1]).toBeCloseTo(before[N + 1]!, 9)
  // All alike before, all alike after.
  for (const p of said.slice(2, -1)) expect(p).toBeCloseTo(said[1]!, 12)
  // What is seen can still speak against what was said.
  const seen = causeProbabilities(
    r.stand({}, [
      { kind: 'said', observable: 'complaint.no-go-silent' },
      { kind: 'answer', check: 'look-0', outcome: 'no' },
      { kind: 'answer', check: 'look-7', outcome: 'yes' },
    ]),
  )
  expect(seen[7]! / seen[0]!).toBeGreaterThan((5 * said[7]!) / said[0]!)
})

it('ruling out what nobody would try saves next to nothing', async () => {
  const r = await smallReasoner(small)
  const aim = repairAim(r.compiled, r.knowledge)
  const cost = (tail: number) => {
    const p = new Float64Array(aim.groups)
    p[0] = 0.75
    p.fill(tail / N, 1, N + 1)
    p[aim.groups - 1] = 0.25 - tail
    return aim.cost(p)
  }
  // Just over the share under which a remedy is left out, and just under it: 60 remedies of half an hour.
  expect(Math.abs(cost(N * 0.00101) - cost(N * 0.00099))).toBeLessThan(1)
})
