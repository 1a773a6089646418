/**
 * The charger's continuity table as the trade gives it (common practice, no source), transformer leads lifted, and what
 * becomes of it when they are left on and the diodes are parallel paths.
 */
import { describe, expect, it } from 'vitest'
import { conducts, DIODE_RANGE } from '../../rules/wiring/instruments/diode-test.ts'
import { ANALOG_OHMMETER } from '../../rules/wiring/instruments/ohmmeter.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { Ngspice } from '../wiring/ngspice.ts'

const LIFTED = ['transformer-lead-1', 'transformer-lead-2', 'transformer-lead-3', 'transformer-lead-4']
const NEEDLE = { meter: ANALOG_OHMMETER, range: 0 }

describe.each(['transformer-timer'])('%s, plug out, leads lifted', (family) => {
  const netlist = netlistOf(family)
  it.each([
    ['dc-cord.negative-pin', 'ammeter.cord-end', true],
    ['dc-cord.negative-pin', 'heat-sink', false],
    ['dc-cord.positive-pin', 'heat-sink', true],
    ['dc-cord.positive-pin', 'ammeter.cord-end', false],
    ['fuse-post-1', 'fuse-post-2', true],
    ['fuse-post-1', 'fuse-post-3', true],
    ['fuse-post-2', 'fuse-post-3', true],
    ['receptacle.earth', 'case', true],
    ['receptacle.neutral', 'neutral-terminal', true],
    ['receptacle.line', 'charger.line', true],
    ['receptacle.line', 'receptacle.earth', false],
    ['transformer.primary-1', 'case', false],
  ])('%s to %s: %s, either way round', (a, b, closed) => {
    for (const [red, black] of [
      [a, b],
      [b, a],
    ] as const) {
      const p = predict(netlist, { carState: { lifted: LIFTED }, instrument: 'continuity', red, black })
      expect(p).toMatchObject({ kind: 'continuity', closed })
    }
  })
  it('timer points: open at off, closed when wound', () => {
    for (const timer of ['off', 'wound']) {
      const p = predict(netlist, {
        carState: { timer },
        instrument: 'continuity',
        red: 'charger.line',
        black: 'timer-points.out',
      })
      expect(p).toMatchObject({ kind: 'continuity', closed: timer === 'wound' })
    }
  })
  it.each([1, 2])('diode %i conducts one way only', (n) => {
    const ohms = (red: string, black: string) =>
      predict(netlist, { carState: { lifted: LIFTED }, instrument: 'ohmmeter', red, black, ohmmeter: NEEDLE })
    expect(ohms(`diode-${n}.anode`, 'heat-sink')).toMatchObject({ kind: 'number' })
    expect(ohms('heat-sink', `diode-${n}.anode`)).toMatchObject({ kind: 'over-range' })
  })
  it.each([
    ['diode-1.open', 'over-range', 'over-range'],
    ['diode-1.shorted', 'number', 'number'],
  ])('%s: the same both ways', (cause, forward, backward) => {
    const q = { cause, carState: { lifted: LIFTED }, instrument: 'ohmmeter', ohmmeter: NEEDLE } as const
    expect(predict(netlist, { ...q, red: 'diode-1.anode', black: 'heat-sink' }).kind).toBe(forward)
    expect(predict(netlist, { ...q, red: 'heat-sink', black: 'diode-1.anode' }).kind).toBe(backward)
  })
  it('a blown fuse link breaks the table, whatever its lens shows', () => {
    const p = predict(netlist, {
      cause: 'fuse-link-1.open',
      carState: { lifted: LIFTED },
      instrument: 'continuity',
      red: 'fuse-post-1',
      black: 'fuse-post-3',
    })
    expect(p).toMatchObject({ closed: false })
  })
})

describe('the diode range of a meter', () => {
  const netlist = netlistOf('transformer-timer')
  const at = (red: string, black: string, cause?: string, lifted = LIFTED) => {
    const p = predict(netlist, { cause, carState: { lifted }, instrument: 'diode-test', red, black })
    if (p.kind !== 'diode') throw new Error(`the diode range shows ${p.kind}`)
    return p
  }
  it('shows on a sound diode what ngspice says of its own default diode at that test current', async () => {
    const volts = await new Ngspice().operatingPoint(
      `V1 test 0 ${DIODE_RANGE.testVolts}\nR1 test anode ${DIODE_RANGE.sourceOhms}\nD1 anode 0 plain\n.model plain D\n.op\n.end`,
    )
    const drop = volts.get('v(anode)')!
    expect(drop).toBeGreaterThan(0.6)
    // A thousandth is its last digit; the lead to the diode is in the reading too.
    for (const n of [1, 2]) expect(at(`diode-${n}.anode`, 'heat-sink').volts).toBeCloseTo(drop, 2)
  })
  it.each([1, 2])('diode %i: 0.4 to 0.8 V one way, nothing the other (common practice, no source)', (n) => {
    const p = at(`diode-${n}.anode`, 'heat-sink')
    expect(p.volts).toBeGreaterThan(0.4)
    expect(p.volts).toBeLessThan(0.8)
    expect(p.swapped).toBeUndefined()
    expect(conducts(p)).toBe('one-way')
    expect(at('heat-sink', `diode-${n}.anode`)).toEqual({ kind: 'diode', swapped: p.volts })
  })
  it('open, shorted, and with an open winding elsewhere', () => {
    expect(conducts(at('diode-1.anode', 'heat-sink', 'diode-1.open'))).toBe('open')
    expect(conducts(at('diode-1.anode', 'heat-sink', 'diode-1.shorted'))).toBe('shorted')
    expect(conducts(at('diode-1.anode', 'heat-sink', 'transformer.secondary-1-open'))).toBe('one-way')
  })
  it('with the leads on, an open diode seems to conduct: through the windings and its neighbour', () => {
    expect(conducts(at('diode-1.anode', 'heat-sink', 'diode-1.open', []))).toBe('one-way')
  })
  it('does not measure a live circuit', () => {
    const p = predict(netlist, { instrument: 'diode-test', red: 'pack-positive', black: 'pack-negative' })
    expect(p.kind).toBe('live')
  })
})

describe('leads not lifted: the diodes and windings are parallel paths', () => {
  const netlist = netlistOf('transformer-timer')
  const needle = (red: string, black: string, part?: string) =>
    predict(netlist, { instrument: 'ohmmeter', red, black, ohmmeter: { ...NEEDLE, ...(part ? { part } : {}) } })
  it('negative pin to heat sink then "conducts" one way', () => {
    expect(needle('dc-cord.negative-pin', 'heat-sink')).toMatchObject({ kind: 'number' })
    expect(needle('heat-sink', 'dc-cord.negative-pin')).toMatchObject({ kind: 'over-range' })
  })
  it('an open diode 1 hides behind diode 2 and the windings, and the meter says which parts spoil the reading', () => {
    const p = predict(netlist, {
      cause: 'diode-1.open',
      instrument: 'ohmmeter',
      red: 'diode-1.anode',
      black: 'heat-sink',
      ohmmeter: { ...NEEDLE, part: 'diode-1' },
    })
    expect(p).toMatchObject({ kind: 'number' })
    expect(p.kind === 'number' && p.parallel).toContain('diode-2')
  })
  it('a blown fuse link shows all the same where nothing is parallel to it', () => {
    // Both windings end at the two live posts through the diodes' cathodes, which block one way and not the other.
    const one = predict(netlist, {
      cause: 'fuse-link-1.open',
      instrument: 'ohmmeter',
      red: 'fuse-post-1',
      black: 'fuse-post-3',
      ohmmeter: NEEDLE,
    })
    const lifted = predict(netlist, {
      cause: 'fuse-link-1.open',
      carState: { lifted: LIFTED },
      instrument: 'ohmmeter',
      red: 'fuse-post-1',
      black: 'fuse-post-3',
      ohmmeter: NEEDLE,
    })
    expect(lifted.kind).toBe('over-range')
    expect(one.kind).toBe('over-range')
  })
})

describe('the capacitor: a needle kicks and falls back, and again with the probes swapped', () => {
  const netlist = netlistOf('transformer-timer')
  const kick = (red: string, black: string, lifted: string[], cause?: string) =>
    predict(netlist, {
      cause,
      carState: { lifted },
      instrument: 'ohmmeter',
      red,
      black,
      ohmmeter: { meter: ANALOG_OHMMETER, range: 4 },
    })
  it('one lead off', () => {
    for (const [red, black] of [
      ['capacitor.terminal-1', 'capacitor.terminal-2'],
      ['capacitor.terminal-2', 'capacitor.terminal-1'],
    ] as const) {
      const p = kick(red, black, ['capacitor-lead-1'])
      expect(p.kind).toBe('kick')
      // Closed form: 150 kΩ × 6 µF, 90 % of the way in 2.303 time constants.
      expect(p.kind === 'kick' && p.seconds).toBeCloseTo(Math.log(10) * 150_000 * 6e-6, 3)
    }
  })
  it('leads on: its winding is all that shows', () => {
    expect(kick('capacitor.terminal-1', 'capacitor.terminal-2', []).kind).toBe('number')
  })
  it('open: no kick; shorted: no falling back', () => {
    expect(kick('capacitor.terminal-1', 'capacitor.terminal-2', ['capacitor-lead-1'], 'capacitor.open').kind).toBe(
      'over-range',
    )
    expect(
      kick('capacitor.terminal-1', 'capacitor.terminal-2', ['capacitor-lead-1'], 'capacitor.shorted'),
    ).toMatchObject({ kind: 'number' })
  })
})
