import { describe, expect, it } from 'vitest'
import {
  airGapTorqueNm,
  backEmfVolts,
  fuseAt,
  insulationAt40C,
  lampAmps,
  lampLight,
  leastInsulationMegohms,
  motorAmps,
  rectifiedAverageVolts,
  rectifierIntoPack,
  seriesSpeedRpm,
} from '../../rules/handbook/index.ts'

describe('rectifier', () => {
  it('full wave on a resistor: 0.9 × rms; half wave 0.45 (any text)', () => {
    expect(rectifiedAverageVolts(10)).toBeCloseTo(9.0, 1)
    expect(rectifiedAverageVolts(10, 'half')).toBeCloseTo(4.5, 2)
  })

  // Power-electronics text, finding the performance parameters of a battery charger (from memory): 12 V battery, 60 V rms
  // half wave, 5 A average: conduction 163.74°, R = 4.26 Ω, Irms = 8.2 A.
  it('half-wave battery charger: 163.74°, 5 A, 8.2 A', () => {
    const r = rectifierIntoPack({ acVoltsRms: 60, packVolts: 12, loopOhm: 4.26, wave: 'half' })
    expect(r.conductionDegrees).toBeCloseTo(163.74, 1)
    expect(r.averageAmps).toBeCloseTo(5, 1)
    expect(r.rmsAmps).toBeCloseTo(8.2, 1)
  })

  // Published lecture example: 240 V rms, 180 V battery, 0.5 Ω, half wave: conducts from 32.03° to 147.97°,
  // ∫ i dθ = 422.33 A·rad a cycle, peak 318.82 A.
  it('half-wave charger of 240 V into 180 V', () => {
    const r = rectifierIntoPack({ acVoltsRms: 240, packVolts: 180, loopOhm: 0.5, wave: 'half' })
    expect(r.conductionDegrees).toBeCloseTo(147.97 - 32.03, 1)
    expect(r.averageAmps * 2 * Math.PI).toBeCloseTo(422.33, 0)
    expect(r.peakAmps).toBeCloseTo(318.82, 1)
  })

  it('the closed form is the integral of the clipped sine (trapezium rule, 100 000 steps)', () => {
    const at = { acVoltsRms: 36, packVolts: 42, loopOhm: 0.3, diodeDropVolts: 0.9 }
    const steps = 100_000
    let sum = 0
    let squares = 0
    for (let i = 0; i < steps; i++) {
      const v =
        Math.abs(at.acVoltsRms * Math.SQRT2 * Math.sin((2 * Math.PI * i) / steps)) - at.packVolts - at.diodeDropVolts
      const amps = Math.max(0, v) / at.loopOhm
      sum += amps
      squares += amps * amps
    }
    const r = rectifierIntoPack(at)
    expect(r.averageAmps).toBeCloseTo(sum / steps, 4)
    expect(r.rmsAmps).toBeCloseTo(Math.sqrt(squares / steps), 4)
  })
})

describe('IEEE 43', () => {
  it('rated kV + 1 for field windings: a 4.16 kV machine needs 5.16 MΩ, 48 V 1.048 MΩ', () => {
    expect(leastInsulationMegohms('field', 4160)).toBeCloseTo(5.16, 6)
    expect(leastInsulationMegohms('field', 48)).toBeCloseTo(1.048, 6)
  })
  it('5 MΩ for DC armatures and random-wound windings, 100 MΩ for form-wound above 1 kV (2013)', () => {
    expect(leastInsulationMegohms('armature', 48)).toBe(5)
    expect(leastInsulationMegohms('random-wound', 48)).toBe(5)
    expect(leastInsulationMegohms('form-wound', 4160)).toBe(100)
  })
  it('halves for every 10 °C above 40 °C, doubles below', () => {
    expect(insulationAt40C(100, 40)).toBe(100)
    expect(insulationAt40C(100, 30)).toBeCloseTo(50, 9)
    expect(insulationAt40C(3, 70)).toBeCloseTo(24, 9)
  })
})

describe('lamp rerating (Standard Handbook for Electrical Engineers; encyclopedia example)', () => {
  it('5 % less volts: about 16 % less light', () => {
    expect(1 - lampLight(0.95, 1)).toBeCloseTo(0.16, 2)
  })
  // Published: 115 V on a 130 V lamp takes about 7 % less current and gives about 34 % less light.
  it('12 % less volts: about 7 % less current, about a third less light', () => {
    expect(1 - lampAmps(115, 130, 100) / (100 / 130)).toBeCloseTo(0.07, 2)
    expect(1 - lampLight(115, 130)).toBeGreaterThan(0.3)
    expect(1 - lampLight(115, 130)).toBeLessThan(0.38)
  })
})

describe('ISO 8820-3 blade fuses (from memory)', () => {
  it('carries 110 % for 100 h; opens within 600 s at 135 %, 5 s at 200 %, 0.5 s at 350 %', () => {
    expect(fuseAt(11, 10)).toEqual({ holds: 'barely' })
    expect(fuseAt(13.5, 10)).toEqual({ holds: 'no', withinSeconds: 600 })
    expect(fuseAt(20, 10)).toEqual({ holds: 'no', withinSeconds: 5 })
    expect(fuseAt(35, 10)).toEqual({ holds: 'no', withinSeconds: 0.5 })
    expect(fuseAt(12, 10)).toEqual({ holds: 'unsure' })
  })
  it('NEC 210.20: a steady load up to 80 % of the rating', () => {
    expect(fuseAt(8, 10)).toEqual({ holds: 'steadily' })
  })
})

describe('series motor', () => {
  // Electric Machinery Fundamentals, the 250 V series motor (from memory): 0.08 Ω, 50 A: 246 V; magnetisation curve
  // 80 V at 1200 turns a minute, so 3690; torque 31.8 N·m.
  it('250 V, 50 A, 0.08 Ω: 246 V, 31.8 N·m at 3690 turns a minute', () => {
    const emf = backEmfVolts(250, 50, 0.08)
    expect(emf).toBeCloseTo(246, 9)
    expect(airGapTorqueNm(emf, 50, (emf / 80) * 1200)).toBeCloseTo(31.8, 1)
  })
  // Published school problem: 460 V, 0.15 Ω: 442 V at 120 A; 84 A at 447.4 V.
  it('460 V, 0.15 Ω', () => {
    expect(backEmfVolts(460, 120, 0.15)).toBeCloseTo(442, 9)
    expect(motorAmps(460, 447.4, 0.15)).toBeCloseTo(84, 6)
  })
  // Published examination problem: 500 V series motor, 0.5 Ω, 60 A, 800 turns a minute: 336.61 N·m.
  it('500 V, 0.5 Ω, 60 A, 800 turns a minute: 336.61 N·m', () => {
    expect(airGapTorqueNm(backEmfVolts(500, 60, 0.5), 60, 800)).toBeCloseTo(336.61, 1)
  })
  // Published problem: 250 V series motor, 0.15 Ω, 6 V of brushes as solved there, 85 A at 600: 1312.2 at 40 A. For
  // 100 A its page prints 505.75, a slip of arithmetic: its own 229/231.25 × 85/100 × 600 is 505.04.
  it('speed goes up as the current goes down', () => {
    const from = { rpm: 600, emfVolts: backEmfVolts(250, 85, 0.15, 6), amps: 85 }
    const at = (amps: number) => seriesSpeedRpm(from, { emfVolts: backEmfVolts(250, amps, 0.15, 6), amps })
    expect(at(100)).toBeCloseTo(505.04, 1)
    expect(at(40)).toBeCloseTo(1312.2, 1)
  })
})
