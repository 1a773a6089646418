import { describe, expect, it } from 'vitest'
import {
  type Awg,
  awgAreaMm2,
  awgDiameterMm,
  awgOhmPerMetre,
  copperResistanceAt,
  metricOhmPerMetre,
  necOhmPerMetre,
} from '../../rules/handbook/index.ts'

const FEET_PER_METRE = 1 / 0.3048

describe('ASTM B258: American Wire Gauge', () => {
  // Diameter in mils, and Ω/1000 ft at 20 °C of solid annealed copper: NBS Handbook 100, Copper Wire Tables.
  it.each<[Awg, number, number]>([
    ['20', 31.96, 10.15],
    ['18', 40.3, 6.385],
    ['16', 50.82, 4.016],
    ['14', 64.08, 2.525],
    ['12', 80.81, 1.588],
    ['10', 101.9, 0.9989],
    ['8', 128.5, 0.6282],
    ['6', 162.0, 0.3951],
    ['4', 204.3, 0.2485],
    ['2', 257.6, 0.1563],
    ['1/0', 324.9, 0.09827],
    ['4/0', 460.0, 0.04901],
  ])('%s AWG: %d mil, %d Ω/kft', (awg, mils, ohmPerKft) => {
    expect(awgDiameterMm(awg) / 0.0254 / mils).toBeCloseTo(1, 3)
    expect((awgOhmPerMetre(awg, 20, 'solid') * 1000) / FEET_PER_METRE / ohmPerKft).toBeCloseTo(1, 2)
  })
  it.each<[Awg, number]>([
    ['14', 2.08],
    ['10', 5.26],
    ['6', 13.3],
    ['4', 21.1],
    ['2', 33.6],
    ['4/0', 107.2],
  ])('%s AWG has %d mm²', (awg, mm2) => {
    expect(awgAreaMm2(awg) / mm2).toBeCloseTo(1, 2)
  })
})

describe('NEC (NFPA 70) chapter 9 table 8, stranded uncoated copper at 75 °C', () => {
  const PRINTED: [Awg, number, number][] = [
    // Ω/kft and Ω/km, both as printed.
    ['14', 3.14, 10.3],
    ['12', 1.98, 6.5],
    ['10', 1.24, 4.07],
    ['8', 0.778, 2.551],
    ['6', 0.491, 1.608],
    ['4', 0.308, 1.01],
    ['2', 0.194, 0.634],
    ['1', 0.154, 0.505],
    ['1/0', 0.122, 0.399],
    ['2/0', 0.0967, 0.317],
    ['4/0', 0.0608, 0.1996],
  ]
  it.each(PRINTED)('%s AWG: %d Ω/kft is %d Ω/km', (awg, _perKft, perKm) => {
    expect((necOhmPerMetre(awg)! * 1000) / perKm).toBeCloseTo(1, 2)
  })
  it.each(PRINTED)('%s AWG by ASTM B258, IACS and 2 %% of lay comes within 2 %% of %d Ω/kft', (awg, perKft) => {
    const ours = (awgOhmPerMetre(awg, 75) * 1000) / FEET_PER_METRE
    expect(Math.abs(ours / perKft - 1)).toBeLessThan(0.02)
  })
  it("the table's own note: R2 = R1 [1 + 0.00323 (T2 − 75)]", () => {
    for (const degreesC of [20, 40, 60, 90]) {
      expect(copperResistanceAt(1, 75, degreesC)).toBeCloseTo(1 + 0.00323 * (degreesC - 75), 3)
    }
  })
  it('a gauge that is not in the table is not made up', () => {
    expect(necOhmPerMetre('22')).toBeNull()
  })
})

describe('IEC 60228', () => {
  it.each([
    [1.5, 12.1, 13.3],
    [6, 3.08, 3.3],
    [16, 1.15, 1.21],
    [25, 0.727, 0.78],
    [35, 0.524, 0.554],
    [50, 0.387, 0.386],
  ])('%d mm²: %d Ω/km stranded, %d Ω/km flexible', (mm2, class2, class5) => {
    expect(metricOhmPerMetre(mm2, 20, 2) * 1000).toBeCloseTo(class2, 9)
    expect(metricOhmPerMetre(mm2, 20, 5) * 1000).toBeCloseTo(class5, 9)
  })
  it.each([
    // θ, kt: the factor that brings a measured resistance to 20 °C.
    [5, 1.064],
    [10, 1.042],
    [25, 0.98],
    [40, 0.926],
    [60, 0.862],
    [75, 0.82],
    [100, 0.758],
  ])('temperature factor at %d °C is %d', (degreesC, factor) => {
    // The standard's printed factors use 250/(230 + θ); the exact line differs by less than 0.5 %.
    expect(Math.abs(copperResistanceAt(1, degreesC, 20) / factor - 1)).toBeLessThan(0.005)
  })
})
