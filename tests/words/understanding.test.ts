import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { createUnderstanding } from '../../rules/conversation/words/index.ts'
import { shippedKnowledge } from './knowledge.ts'
import { readLines, scoreWords } from './score.ts'

const knowledge = shippedKnowledge()
const understand = createUnderstanding(knowledge, 'en')
const first = (text: string) => {
  const { domain, options } = understand(text)
  return domain === 'in' ? options[0] : domain
}

// The lines and labels are the project's own (see README.md here): no outside source.
describe('lines held out', () => {
  const lines = readLines('paraphrases.json')
  const score = scoreWords(lines, understand)
  it('are at least 300', () => expect(lines.length).toBeGreaterThanOrEqual(300))
  it('get the right complaint first', () => expect(score.topOne).toBeGreaterThanOrEqual(0.88))
  it('have the right complaint among the first three', () => expect(score.topThree).toBeGreaterThanOrEqual(0.97))
  it('are refused when they are about something else', () => expect(score.refused).toBeGreaterThanOrEqual(0.9))
})

describe('what people say', () => {
  it.each([
    ["it won't go", 'no-go-silent'],
    ["clicks but doesn't move", 'no-go-clicks'],
    ['herky jerky', 'jerks-on-acceleration'],
    ['it jerks when I push the pedal', 'jerks-on-acceleration'],
    ['no juice left after nine holes', 'short-range'],
    ['forward is fine but no reverse', 'one-direction-only'],
  ])('%s', (text, id) => expect(first(text)).toBe(id))

  it('takes words with slips of the keyboard', () => {
    expect(first('it jreks wehn I psuh the peddal')).toBe('jerks-on-acceleration')
    expect(first('teh chargr hums but dosent charge')).toBe('charger-hums-no-current')
  })
  it('takes capitals, dashes and typographic apostrophes as they come', () => {
    expect(understand('IT WON’T GO — NO CLICK')).toEqual(understand("it won't go - no click"))
  })
})

describe('denial', () => {
  it('tells "no click" from a click', () => {
    expect(first("won't move, no click")).toBe('no-go-silent')
    expect(first("won't move, just a click")).toBe('no-go-clicks')
    expect(understand("won't move, no click").negated).toContain('click')
  })
  it('ends at "just"', () => expect(first("it doesn't jerk, it just cuts out and then comes back")).toBe('cuts-out'))
  it('turns "never slow" away from slow', () => {
    expect(understand('it was never slow, but now it cuts out').options[0]).toBe('cuts-out')
  })
  it('does not take a denied circumstance', () => {
    const said = (text: string) => understand(text).circumstances.map((c) => c.id)
    expect(said('it jerks since it got wet')).toContain('after-water')
    expect(said('it jerks, it never got wet')).not.toContain('after-water')
  })
})

describe('what is no golf car', () => {
  it.each([
    'my lawn mower is broken',
    'the dishwasher beeps and will not drain',
    'what time does the restaurant open',
    'my petrol car needs a new clutch',
    'hello',
    '',
    '🚗',
  ])('%j is not taken', (text) => {
    const { domain, sure, complaints, options } = understand(text)
    expect(domain).not.toBe('in')
    expect({ sure, complaints, options }).toEqual({ sure: false, complaints: [], options: [] })
  })
  it('does not mind a comparison', () => {
    expect(first('the cart rattles like a sewing machine when I press the pedal and does not move')).toBe(
      'no-go-chatters',
    )
  })
})

describe('not sure', () => {
  it.each(["it's broken", "my golf cart doesn't work right", 'something is wrong with my buggy'])('%s', (text) => {
    const { domain, sure, options } = understand(text)
    expect(domain).toBe('in')
    expect(sure).toBe(false)
    expect(options.length).toBeGreaterThan(1)
  })
})

describe('any text at all', () => {
  const ids = new Set(knowledge.complaints.map((c) => c.id))
  it('is read without throwing, the same way each time, into ids that exist', () => {
    const other = createUnderstanding(knowledge, 'en')
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary', maxLength: 300 }), sentence), (text) => {
        const result = understand(text)
        expect(other(text)).toEqual(result)
        expect(result.options.every((id) => ids.has(id))).toBe(true)
        expect(result.options.length).toBeLessThanOrEqual(4)
        if (result.domain !== 'in') expect(result.options).toEqual([])
        if (result.sure) expect(result.complaints.length).toBeGreaterThan(0)
        for (const { score } of [...result.complaints, ...result.circumstances]) {
          expect(score).toBeGreaterThanOrEqual(0)
          expect(score).toBeLessThanOrEqual(1)
        }
      }),
      { seed: 7, numRuns: 300 },
    )
  })
  it('may be very long', () => expect(() => understand('it jerks and '.repeat(5_000))).not.toThrow())
})

/** Words of the domain in any order. */
const sentence = fc
  .array(
    fc.constantFrom(
      'no',
      'not',
      'click',
      'pedal',
      'it',
      'jerks',
      'hill',
      'charger',
      "won't",
      'go',
      'but',
      ',',
      'mower',
      '31',
    ),
    { maxLength: 30 },
  )
  .map((words) => words.join(' '))
