import { describe, expect, it } from 'vitest'
import { outcomeOfReading } from '../../rules/conversation/turn.ts'
import { readingWeights } from '../../rules/reasoning/reading.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { fitsByCause, predictionOf } from '../../rules/reasoning/wired.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

/**
 * A reading is judged by what this very car should show: what the knowledge's files say of the steps is one car's, of 36 V.
 * The volts come from the circuit of the family, whose own proof is in tests/outside.
 */
const prepared = await prepareKnowledge(undefined, '.cache')
if (!prepared.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
const r = new Reasoner(prepared.compiled, prepared.knowledge)

const STEPS = {
  'resistor-contactor': [2, 3, 4, 5].map((n) => `measure-bus-bar-volts.step-${n}`),
  'resistor-sliding': [1, 2, 3, 4, 5].map((n) => `measure-board-volts.step-${n}`),
} as const
const PACKS = [
  { packVolts: 36, atRest: 36.9 },
  { packVolts: 36, atRest: 35.6 },
  { packVolts: 48, atRest: 49.4 },
  { packVolts: 48, atRest: 51.6 },
] as const

function numberAt(id: string, facts: CarFacts, atRest: number, cause?: string) {
  const prediction = predictionOf(r.check(id)!, facts, atRest, cause)
  if (prediction?.kind !== 'number') throw new Error(`${id}: the circuit says no number`)
  return prediction
}

/** What a typed number is called, on a car whose pack was measured. */
function named(id: string, value: number, facts: CarFacts, atRest: number): string | undefined {
  const learned = [{ kind: 'answer' as const, check: 'measure-pack-volts-at-rest', value: atRest }]
  const weights = r.weightsOf({ kind: 'answer', check: id, value }, facts, learned)!
  return outcomeOfReading(r, r.check(id)!, weights)
}

describe.each(PACKS)('a $packVolts V car whose pack reads $atRest V', ({ packVolts, atRest }) => {
  it.each(Object.entries(STEPS))('%s: the band that is shown is as it should be, step by step', (drive, checks) => {
    const facts = { drive, packVolts, fieldBypass: false, mainFuse: true, runTow: true } as CarFacts
    for (const id of checks) {
      const { low, mean, high } = numberAt(id, facts, atRest)
      const inside = 0.02 * (high - low)
      for (const value of [low + inside, mean, high - inside]) {
        expect(named(id, value, facts, atRest), `${id} at ${value.toFixed(2)} V`).toBe('as-it-should')
      }
      expect(named(id, 0, facts, atRest)).toBe('none')
      expect(named(id, low - 0.12 * atRest, facts, atRest), `${id} far below`).not.toBe('as-it-should')
    }
  })

  it('a contactor that does not carry leaves the volts of the click before', () => {
    const facts = {
      drive: 'resistor-contactor',
      packVolts,
      fieldBypass: false,
      mainFuse: true,
      runTow: true,
    } as CarFacts
    for (const n of [3, 4, 5]) {
      const id = `measure-bus-bar-volts.step-${n}`
      const { mean } = numberAt(id, facts, atRest, `contactor-${n}.contacts-open`)
      const learned = [{ kind: 'answer' as const, check: 'measure-pack-volts-at-rest', value: atRest }]
      const weights = r.weightsOf({ kind: 'answer', check: id, value: mean }, facts, learned)!
      const { states } = r.lookup.observableFile.get(r.check(id)!.observable!)!
      expect(weights[states.indexOf('as-click-before')]!, id).toBeGreaterThan(0.5)
      expect(weights[states.indexOf('as-it-should')]!, id).toBeLessThan(0.2)
    }
  })
})

it('by the file alone a sound 48 V car would seem to have too much at click 2', () => {
  const file = r.lookup.observableFile.get('bus-bar-volts.step-2')!
  const facts = { drive: 'resistor-contactor', packVolts: 48 } as CarFacts
  const weights = [...readingWeights(file, numberAt('measure-bus-bar-volts.step-2', facts, 49.2).mean, 49.2)]
  expect(file.states[weights.indexOf(Math.max(...weights))]).toBe('high')
})

it('where explained/ says that the circuit is not the car, its number says nothing of that cause', () => {
  const check = r.check('measure-pack-rise')!
  const facts = { drive: 'resistor-contactor', packVolts: 36 } as CarFacts
  const causes = ['pack.joint-open', 'contactor-3.contacts-open']
  const all = fitsByCause(check, 1.2, facts, 36.9, causes, [])
  const told = fitsByCause(check, 1.2, facts, 36.9, causes, r.knowledge.explained)
  expect(all?.[0]).toBeGreaterThan(0)
  expect(told?.[0]).toBeNaN()
  expect(told?.[1]).toBe(all?.[1])
})
