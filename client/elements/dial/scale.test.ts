import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ticks, window } from './scale.ts'

describe('the scale of the dial', () => {
  it('has round ticks', () => {
    expect(ticks(20, 38)).toEqual([20, 25, 30, 35])
    expect(ticks(0, 1)).toEqual([0, 0.2, 0.4, 0.6, 0.8, 1])
  })

  it('keeps ticks inside, in order, and few', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 0.01, max: 1e4, noNaN: true }),
        (from, span) => {
          const t = ticks(from, from + span)
          expect(t.length).toBeLessThanOrEqual(7)
          for (const [i, x] of t.entries()) {
            expect(x).toBeGreaterThanOrEqual(from - span * 1e-6)
            expect(x).toBeLessThanOrEqual(from + span * (1 + 1e-6))
            if (i > 0) expect(x).toBeGreaterThan(t[i - 1]!)
          }
        },
      ),
    )
  })

  it('shows what is expected and what faults give, never more than the meter has', () => {
    const w = window({ min: 0, max: 60, expected: { low: 30.5, high: 32.9 }, ifFault: [{ value: 25.5 }, { value: 0 }] })
    expect(w.from).toBeLessThan(25.5)
    expect(w.from).toBeGreaterThan(0)
    expect(w.to).toBeGreaterThan(32.9)
    expect(w.to).toBeLessThanOrEqual(60)
  })
})
