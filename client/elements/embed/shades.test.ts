import fc from 'fast-check'
import { expect, it } from 'vitest'
import { contrast, hexOf, oklchOf, shadesOf } from './shades.ts'

// Grounds of the card in light and dark, from theme/tokens.ts.
const CARD = ['#fffdf8', '#17262a'] as const

it('contrast is as WCAG defines it', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5)
  // The grey that is known for just reaching AA on white.
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2)
})

it('OKLCH is as CSS Color 4 has it', () => {
  // color.js and browsers: red is oklch(0.62796 0.25768 29.234deg)
  const [l, c, h] = oklchOf('#ff0000')
  expect(l).toBeCloseTo(0.62796, 3)
  expect(c).toBeCloseTo(0.25768, 3)
  expect((h * 180) / Math.PI).toBeCloseTo(29.234, 1)
})

it('goes there and back', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 0xffffff }), (n) => {
      const hex = `#${n.toString(16).padStart(6, '0')}`
      return hexOf(...oklchOf(hex)) === hex
    }),
    { numRuns: 300 },
  )
})

it('whatever colour a shop has, its buttons can be read and told from the card', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 0xffffff }), (n) => {
      const shades = shadesOf(`#${n.toString(16).padStart(6, '0')}`)!
      for (const i of [0, 1] as const) {
        expect(contrast(shades.act[i], shades.ink[i])).toBeGreaterThanOrEqual(4.5)
        expect(contrast(shades.act[i], CARD[i])).toBeGreaterThanOrEqual(4.5)
      }
    }),
    { numRuns: 500 },
  )
})

it('what is no colour is none', () => {
  for (const text of ['', '#12', 'red', '#gggggg']) expect(shadesOf(text)).toBeUndefined()
})
