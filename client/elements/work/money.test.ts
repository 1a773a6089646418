import { describe, expect, it } from 'vitest'
import { amountOf, readAmount } from './money.ts'

describe('an amount as typed', () => {
  it.each([
    ['180', 180],
    ['180.5', 180.5],
    ['180,50', 180.5],
    [' 1 200 ', 1200],
    ['1.200', 1200],
    ['1,200.50', 1200.5],
    ['1.200,50', 1200.5],
    ['€ 90', 90],
    ['90 EUR', 90],
    ['0', 0],
    ['1’200.05', 1200.05],
  ])('%s', (text, value) => {
    expect(readAmount(text)).toBe(value)
  })
  it.each(['', 'about 90', '-5', '12.34.5', '1,2345', '90 to 120', '9999999', '.'])('%j is none', (text) => {
    expect(readAmount(text)).toBeUndefined()
  })
  it('shows whole amounts whole, others with two digits', () => {
    expect([amountOf(180, 'en'), amountOf(180.5, 'en'), amountOf(180.5, 'en', 'EUR')]).toEqual([
      '180',
      '180.50',
      '€180.50',
    ])
  })
})
