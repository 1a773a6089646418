import { describe, expect, it } from 'vitest'
import { answerOf, plainNumber } from './parse.ts'

describe('a typed reading', () => {
  it.each([
    ['31.2', 31.2],
    ['31,2', 31.2],
    [' 25 ', 25],
    ['-0,4', -0.4],
    ['−0.4', -0.4],
    ['.5', 0.5],
    ['31,', 31],
    ['0', 0],
  ])('%s is a plain number', (typed, value) => {
    expect(plainNumber(typed)).toBe(value)
  })

  it.each(['', 'about 31', '31 V', '1.234,5', '31,2,1', '25 to 26', 'OL'])('%s is not', (typed) => {
    expect(plainNumber(typed)).toBeUndefined()
  })

  it('goes as a reading with its unit, or else as the words', () => {
    expect(answerOf('c', '31,2', 'V', 'voltmeter')).toEqual({
      check: 'c',
      reading: { value: 31.2, unit: 'V', instrument: 'voltmeter' },
    })
    expect(answerOf('c', ' about 31 volts ', 'V')).toEqual({ check: 'c', text: 'about 31 volts' })
  })
})
