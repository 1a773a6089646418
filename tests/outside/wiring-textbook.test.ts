/** Circuits whose solution is in books, solved by the wiring model. Sources are cited from memory. */
import { describe, expect, it } from 'vitest'
import { rectifiedAverageVolts } from '../../rules/handbook/rectifier-resistive.ts'
import { MOMENTS } from '../../rules/wiring/cycle.ts'
import { diodeAt, SATURATION_AMPS, THERMAL_VOLTS } from '../../rules/wiring/diode.ts'
import { solveLinear } from '../../rules/wiring/linear.ts'
import { ampsThrough } from '../../rules/wiring/operate.ts'
import { current, diode, resistor, source } from '../wiring/raw.ts'

describe('bridges', () => {
  // Source: the bridge of C. Wheatstone, Phil. Trans. R. Soc. 133 (1843) 303: no volts across
  // the galvanometer when R1 / R2 = R3 / Rx.
  it('Wheatstone: balanced, nothing flows through the galvanometer', () => {
    const galvanometer = resistor(1, 2, 50)
    const s = solveLinear(4, 3, [
      source(0, 3, 10),
      resistor(0, 1, 100),
      resistor(1, 3, 250),
      resistor(0, 2, 40),
      resistor(2, 3, 100),
      galvanometer,
    ])
    expect(ampsThrough(galvanometer, s.volts)).toBeCloseTo(0, 14)
  })

  // The same source: open, the galvanometer's volts are V (R2 / (R1 + R2) − Rx / (R3 + Rx)).
  it.each([
    [100, 250, 40, 110],
    [1000, 1000, 1000, 1001],
    [0.4, 0.16, 0.085, 0.3],
  ])('Wheatstone, out of balance: %f, %f, %f, %f Ω', (r1, r2, r3, rx) => {
    const s = solveLinear(4, 3, [
      source(0, 3, 10),
      resistor(0, 1, r1),
      resistor(1, 3, r2),
      resistor(0, 2, r3),
      resistor(2, 3, rx),
    ])
    expect(s.volts[1]! - s.volts[2]!).toBeCloseTo(10 * (r2 / (r1 + r2) - rx / (r3 + rx)), 12)
  })
})

describe('ladders', () => {
  // Source: the R-2R ladder as a digital-to-analogue converter, P. Horowitz & W. Hill, The Art of Electronics, section on
  // D/A conversion: V = Vref × code / 2^n, whatever the code.
  const bits = 6
  it.each([0, 1, 2, 21, 32, 42, 63])('R-2R of 6 bits, code %i', (code) => {
    const [ground, reference, r] = [0, 1, 1000]
    const node = (k: number): number => 2 + k
    const branches = [source(reference, ground, 5), resistor(node(0), ground, 2 * r)]
    for (let k = 0; k < bits; k++) {
      branches.push(resistor(node(k), (code >> k) & 1 ? reference : ground, 2 * r))
      if (k > 0) branches.push(resistor(node(k - 1), node(k), r))
    }
    const s = solveLinear(2 + bits, ground, branches)
    expect(s.volts[node(bits - 1)]).toBeCloseTo((5 * code) / 2 ** bits, 12)
    // Its output resistance is R at every code.
    expect(s.transfer(node(bits - 1), ground)[node(bits - 1)]).toBeCloseTo(r, 8)
  })

  // Source: Fibonacci numbers in a ladder of 1 Ω resistors, A. M. Morgan-Voyce, IRE Trans. Circuit Theory CT-6 (1959) 321:
  // n sections measure F(2n) / F(2n−1) from the last shunt, one series resistor in front: F(2n+1) / F(2n).
  it('ladder of equal resistors gives ratios of Fibonacci numbers', () => {
    const fibonacci = (n: number): number => (n < 2 ? n : fibonacci(n - 1) + fibonacci(n - 2))
    for (const n of [1, 2, 3, 6]) {
      const branches = [current(0, n, 1)]
      for (let k = 0; k < n; k++)
        branches.push(resistor(k + 1, 0, 1), ...(k + 1 < n ? [resistor(k + 1, k + 2, 1)] : []))
      const s = solveLinear(n + 1, 0, branches)
      expect(s.volts[n]).toBeCloseTo(fibonacci(2 * n - 1) / fibonacci(2 * n), 12)
    }
  })

  // Source: the cube of twelve equal resistors, E. E. Brooks & A. W. Poyser, Magnetism and Electricity (1920): 5/6 R across
  // the body, 3/4 R across a face, 7/12 R along an edge.
  it('cube of twelve resistors', () => {
    const branches = [source(0, 7, 1, 1)]
    for (let a = 0; a < 8; a++) for (const bit of [1, 2, 4]) if (!(a & bit)) branches.push(resistor(a, a | bit, 1))
    const bare = branches.slice(1)
    const measure = (to: number): number => {
      const s = solveLinear(8, 0, [current(to, 0, 1), ...bare])
      return s.volts[0]! - s.volts[to]!
    }
    expect(measure(7)).toBeCloseTo(5 / 6, 12)
    expect(measure(3)).toBeCloseTo(3 / 4, 12)
    expect(measure(1)).toBeCloseTo(7 / 12, 12)
  })
})

describe('diodes', () => {
  // Source: exact solution of a diode behind a resistor by Lambert's W, T. C. Banwell & A.
  // Jayakumar, Electronics Letters 36 (2000) 291: I = (n Vt / R) W((Is R / n Vt) e^((V + Is R) / n Vt)) − Is.
  it.each([
    [5, 1000],
    [1.5, 15],
    [0.3, 2500],
  ])('%f V behind %f Ω against Lambert W', (volts, ohms) => {
    const d = diode(1, 0)
    const s = solveLinear(2, 0, [source(1, 0, volts, ohms), d])
    const x = (SATURATION_AMPS * ohms) / THERMAL_VOLTS
    const amps =
      (THERMAL_VOLTS / ohms) * lambertOfExp(Math.log(x) + (volts + SATURATION_AMPS * ohms) / THERMAL_VOLTS) -
      SATURATION_AMPS
    // The formula has no leakage; the model's is a nanoampere a volt.
    expect(Math.abs(ampsThrough(d, s.volts) - amps)).toBeLessThan(1e-6 * amps + 1e-9 * s.volts[1]!)
    expect(diodeAt(s.volts[1]!).amps).toBeCloseTo((volts - s.volts[1]!) / ohms, 9)
  })

  // Source: average of a full-wave rectified sine, 2√2/π × rms = 0.900 × rms (any textbook on rectifiers; IEC 60146-1-1).
  it('full wave on a resistor: 0.9 × rms, less what the diodes keep', () => {
    const rms = 400
    let mean = 0
    for (let k = 0; k < MOMENTS; k++) {
      const v = Math.SQRT2 * rms * Math.sin((2 * Math.PI * (k + 0.5)) / MOMENTS)
      const s = solveLinear(4, 0, [
        source(1, 0, v, 0.1),
        source(0, 2, v, 0.1),
        diode(1, 3),
        diode(2, 3),
        resistor(3, 0, 1e5),
      ])
      mean += s.volts[3]! / MOMENTS
    }
    expect(mean / rms).toBeGreaterThan(0.9 - 0.0025)
    expect(mean / rms).toBeLessThan(0.9004)
    expect(rectifiedAverageVolts(rms) - mean).toBeLessThan(0.7)
  })
})

/** W(e^y) by Newton's method on w + ln w = y. */
function lambertOfExp(y: number): number {
  let w = y > 1 ? y - Math.log(y) : Math.exp(y)
  for (let k = 0; k < 50; k++) w -= (w + Math.log(w) - y) / (1 + 1 / w)
  return w
}
