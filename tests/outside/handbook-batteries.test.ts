import { describe, expect, it } from 'vitest'
import {
  capacityFromMinutesAh,
  celsiusToFahrenheit,
  chargeFromGravity,
  chargeFromRestVolts,
  fahrenheitToCelsius,
  freezingDegreesC,
  gravityAt80F,
  IEEE_485_FACTORS,
  type KnownCharge,
  minutesAt80F,
  peukertCapacityAh,
  peukertHours,
  restVoltsAt80F,
  steadyChargeHours,
} from '../../rules/handbook/index.ts'

const percent = (charge: unknown): number => (charge as KnownCharge).percent

describe('Battery Council International, Battery Service Manual: 1.265 cells at 80 °F', () => {
  const table = [
    [100, 12.65, 1.265],
    [75, 12.45, 1.225],
    [50, 12.24, 1.19],
    [25, 12.06, 1.155],
    [0, 11.89, 1.12],
  ] as const
  it.each(table)('%d %%: %d V, %d', (want, volts, gravity) => {
    const at = { cells: 'flooded-lead', acid: 'ordinary-1.265' } as const
    expect(percent(chargeFromRestVolts({ ...at, volts, cellsInSeries: 6 }))).toBeCloseTo(want, 6)
    expect(percent(chargeFromGravity({ ...at, reading: gravity }))).toBeCloseTo(want, 6)
  })

  // The printed hydrometer correction, °F and points.
  it.each([
    [0, -0.032],
    [40, -0.016],
    [70, -0.004],
    [80, 0],
    [100, 0.008],
    [160, 0.032],
  ])('hydrometer at %d °F: %d', (degreesF, correction) => {
    expect(gravityAt80F(1.2, fahrenheitToCelsius(degreesF)) - 1.2).toBeCloseTo(correction, 9)
  })

  it('the printed 0.024 V per 10 °F is the gravity correction times six cells, and is not what a cell does', () => {
    const perTenFahrenheit = 10 / 1.8
    const cell = 12.6 - restVoltsAt80F(12.6, 6, fahrenheitToCelsius(80) + perTenFahrenheit)
    expect(0.004 * 6).toBeCloseTo(0.024, 9)
    // Published coefficient of the cell reaction, 0.2 mV/K (from memory): 6 × 0.2 mV × 5.56 K.
    expect(cell).toBeCloseTo(0.00667, 4)
    // A block that is full (12.65 V at 80 °F) stands 53 mV lower at 0 °F, and must still be called full.
    const cold = chargeFromRestVolts({
      cells: 'flooded-lead',
      acid: 'ordinary-1.265',
      volts: 12.65 - 0.0533,
      cellsInSeries: 6,
      cellDegreesC: fahrenheitToCelsius(0),
    })
    expect(percent(cold)).toBeGreaterThan(99)
  })

  // Rule of thumb in battery handbooks: volts of a cell at rest = specific gravity + 0.84.
  it.each(table)('%d %%: volts and gravity of the table agree with volts = gravity + 0.84', (_want, volts, gravity) => {
    expect(Math.abs(volts / 6 - (gravity + 0.84))).toBeLessThan(0.025)
  })
})

describe('common practice, no source: deep-cycle and AGM blocks', () => {
  it.each([
    [100, 6.37, 1.277],
    [80, 6.25, 1.238],
    [50, 6.05, 1.172],
    [20, 5.83, 1.098],
  ])('deep-cycle %d %%: %d V of a 6 V block, %d', (want, volts, gravity) => {
    expect(percent(chargeFromRestVolts({ cells: 'flooded-lead', volts, cellsInSeries: 3 }))).toBeCloseTo(want, 6)
    expect(percent(chargeFromGravity({ cells: 'flooded-lead', reading: gravity }))).toBeCloseTo(want, 6)
    // Both columns were printed apart; volts = gravity + 0.84 holds them together.
    expect(Math.abs(volts / 3 - (gravity + 0.84))).toBeLessThan(0.025)
  })
  it.each([
    [75, 12.6],
    [50, 12.3],
    [25, 12.0],
  ])('AGM %d %%: %d V', (want, volts) => {
    expect(percent(chargeFromRestVolts({ cells: 'agm-lead', volts, cellsInSeries: 6 }))).toBeCloseTo(want, 6)
  })
})

describe('US Army TM 9-6140-200-14: freezing of the electrolyte', () => {
  it.each([
    [1.0, 32],
    [1.1, 19],
    [1.15, 5],
    [1.2, -16],
    [1.25, -62],
    [1.28, -90],
  ])('%d: %d °F', (gravity, degreesF) => {
    expect(celsiusToFahrenheit(freezingDegreesC(gravity))).toBeCloseTo(degreesF, 6)
  })
  // Another published table (owner's handbooks of small vehicles): between the Army's rows.
  it.each([
    [1.2, -17],
    [1.15, 5],
    [1.1, 18],
    [1.05, 27],
    [1.225, -35],
  ])('second table, %d: %d °F within 5 °F', (gravity, degreesF) => {
    expect(Math.abs(celsiusToFahrenheit(freezingDegreesC(gravity)) - degreesF)).toBeLessThanOrEqual(5)
  })
})

describe("Peukert's law", () => {
  it('textbook example: 100 Ah at 20 h, k = 1.2, 10 A: 8.7 h', () => {
    expect(peukertHours(100, 10, 1.2)).toBeCloseTo(8.7, 1)
  })
  it('by definition: the rated current lasts the rated hours, whatever k', () => {
    expect(peukertHours(225, 11.25, 1.35)).toBeCloseTo(20, 9)
  })
  it('the same example the other way round: 8.706 h at 10 A is 100 Ah', () => {
    expect(peukertCapacityAh(8.706, 10, 1.2)).toBeCloseTo(100, 1)
  })
  it('discharge minutes give the capacity back', () => {
    expect(capacityFromMinutesAh(60 * 8.706, 10, 1.2)).toBeCloseTo(100, 1)
  })
})

describe('IEEE 485, table 1 (from memory)', () => {
  it('50 °F takes 1.19 times the battery of 77 °F, and 0.98 at 80 °F', () => {
    expect(minutesAt80F(100, 10)).toBeCloseTo((100 * 1.19) / 0.98, 6)
    expect(IEEE_485_FACTORS.find(([f]) => f === 77)![1]).toBe(1)
  })
})

describe('battery-charger example of power-electronics texts (from memory)', () => {
  it('12 V, 100 Wh at 5 A: 1.667 h', () => {
    expect(steadyChargeHours(100 / 12, 5)).toBeCloseTo(1.667, 3)
  })
})
