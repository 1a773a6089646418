import { describe, expect, it } from 'vitest'
import { buildCircuit, hasPartsFor, placesOf, type WiringFacts, type WiringState } from '../../rules/wiring/circuit.ts'
import { observe } from '../../rules/wiring/cycle.ts'
import { WiringError } from '../../rules/wiring/errors.ts'
import { type NetlistFile, parseNetlist } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { operate } from '../../rules/wiring/operate.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { carStates } from './states.ts'

const contactor = netlistOf('resistor-contactor')
const go = { wheels: 'raised', key: 'on', direction: 'forward' } as const
const facts = { packVolts: 36, measuredPackVolts: 36.9 } as const

/** A small netlist to break. */
const small = (): NetlistFile => ({
  family: 'small',
  kind: 'drive',
  about: 'A pack, a switch and a lamp in a ring.',
  source: 'made up for this test',
  reference: 'pack-negative',
  states: { key: ['off', 'on'] },
  facts: { packVolts: 12 },
  parts: [
    {
      id: 'pack',
      kind: 'pack',
      positive: 'pack-positive',
      negative: 'pack-negative',
      ohmsPerVolt: 0.001,
      jointOhms: 0.001,
    },
    { id: 'switch', kind: 'switch', from: 'pack-positive', to: 'lamp-positive', ohms: 0.01, closed: { key: ['on'] } },
    { id: 'lamp', kind: 'lamp', from: 'lamp-positive', to: 'lamp-negative', watts: 20 },
    {
      id: 'lead',
      kind: 'cable',
      from: 'lamp-negative',
      to: 'pack-negative',
      metres: 1,
      gauge: 'AWG 16',
      isolates: true,
    },
  ],
  changes: [{ cause: 'lamp.open', is: [{ part: 'lamp', is: 'open' }] }],
})

function problem(run: () => unknown): WiringError {
  try {
    run()
  } catch (error) {
    if (error instanceof WiringError) return error
    throw error
  }
  throw new Error('nothing was thrown')
}

describe('voltmeter', () => {
  const volts = (q: object) =>
    predict(contactor, { facts, instrument: 'voltmeter', red: 'bus-bar', black: 'pack-negative', ...q })
  it('gives mean, spread of cars, tolerance of the meter and 19 cars of 20', () => {
    const p = volts({ carState: { ...go, step: 3 } })
    expect(p).toMatchObject({ kind: 'number', unit: 'V' })
    if (p.kind !== 'number') return
    expect(p.mean).toBeCloseTo(31.5, 1)
    // "About 31.7 V here on this pack (30.5 to 32.9 in 19 cars of 20)": the width is the point.
    expect(p.high - p.low).toBeGreaterThan(1.8)
    expect(p.high - p.low).toBeLessThan(3)
    expect(p.sd).toBeGreaterThan(p.spread)
    expect(p.low).toBeLessThan(p.mean)
  })
  it('changes sign with the probes', () => {
    const state = { carState: { ...go, step: 5 } }
    const [a, b] = [volts(state), volts({ ...state, red: 'pack-negative', black: 'bus-bar' })]
    expect(a.kind === 'number' && b.kind === 'number' && a.mean + b.mean).toBeCloseTo(0, 9)
  })
  it('says that a node floats instead of giving a number', () => {
    for (const q of [
      { carState: { ...go, step: 0 } },
      { carState: { ...go, step: 3, pack: 'isolated' }, black: 'block-1.positive', red: 'motor.a2' },
      { carState: { key: 'off' }, red: 'contactor-4.coil-positive' },
    ]) {
      const p = volts(q)
      expect(p.kind).toBe('floating')
      expect(p.kind === 'floating' && p.why).toMatch(/no path|nothing common/)
    }
  })
  it('loads what it measures with 10 MΩ', () => {
    const file = small()
    file.parts[2] = { id: 'lamp', kind: 'resistor', from: 'lamp-positive', to: 'lamp-negative', ohms: 10e6 }
    file.parts[1] = { id: 'switch', kind: 'resistor', from: 'pack-positive', to: 'lamp-positive', ohms: 10e6 }
    const p = predict(parseNetlist(file), { instrument: 'voltmeter', red: 'lamp-positive', black: 'pack-negative' })
    // Half of the pack by the divider, two thirds of that with the meter on it.
    expect(p.kind === 'number' && p.mean).toBeCloseTo((12.3 / 2) * (2 / 3), 4)
  })
  it('is wider where the pack was not measured', () => {
    const state = { carState: { ...go, step: 5 } }
    const [measured, not] = [volts(state), volts({ ...state, facts: { packVolts: 36 } })]
    expect(measured.kind === 'number' && not.kind === 'number' && not.sd / measured.sd).toBeGreaterThan(2)
  })
})

describe('ohmmeter', () => {
  const ohms = (red: string, black: string, q: object = {}) =>
    predict(contactor, { facts, instrument: 'ohmmeter', red, black, carState: { pack: 'isolated' }, ...q })
  it('reads a coil, and names what spoils the reading', () => {
    const [red, black] = ['contactor-3.coil-positive', 'contactor-3.coil-negative']
    const alone = ohms(red, black, { ohmmeter: { part: 'contactor-3.coil' } })
    expect(alone).toMatchObject({ kind: 'number', unit: 'Ω', parallel: [] })
    expect(alone.kind === 'number' && alone.mean).toBeCloseTo(36 ** 2 / 15 + 0.2, 0)
    const spoiled = ohms(red, black, {
      carState: { pack: 'isolated', step: 5 },
      ohmmeter: { part: 'contactor-3.coil' },
    })
    expect(spoiled.kind === 'number' && alone.kind === 'number' && spoiled.mean / alone.mean).toBeLessThan(1.01)
    const other = ohms('contactor-3.coil-positive', 'contactor-4.coil-positive', {
      carState: { pack: 'isolated', step: 0 },
    })
    expect(other.kind === 'number' && other.mean).toBeCloseTo((2 * 36 ** 2) / 15, 0)
  })
  it('is over range on an open coil, and on nothing at all', () => {
    expect(
      ohms('contactor-3.coil-positive', 'contactor-3.coil-negative', { cause: 'contactor-3.coil-open' }).kind,
    ).toBe('over-range')
    expect(ohms('bus-bar', 'motor.a1').kind).toBe('over-range')
  })
  it('cannot tell 20 mΩ from its leads', () => {
    expect(ohms('motor.a1', 'motor.a2')).toMatchObject({ kind: 'number', mean: 0.2 })
  })
  it('refuses a live circuit', () => {
    const p = ohms('bus-bar', 'pack-negative', { carState: { ...go, step: 2 } })
    expect(p.kind).toBe('live')
    expect(p.kind === 'live' && p.volts).toBeGreaterThan(20)
  })
  it('proves every other contactor open before a main contactor is bridged', () => {
    for (const n of [2, 3, 4, 5]) {
      const between = (cause?: string) => ohms(`tap-${n}`, 'bus-bar', { cause, carState: { pack: 'isolated' } }).kind
      expect(between()).toBe('over-range')
      expect(between(`contactor-${n}.contacts-welded`)).toBe('number')
    }
  })
})

describe('car state', () => {
  it('a bridge carries in place of the contacts', () => {
    const state = { ...go, step: 3 }
    const q = {
      facts,
      cause: 'main-contactor.contacts-open',
      instrument: 'clamp-ammeter',
      around: 'main-cable-positive',
    } as const
    const amps = (carState: object) => predict(contactor, { ...q, carState: { ...state, ...carState } })
    expect(amps({})).toMatchObject({ kind: 'number' })
    const bridged = amps({ bridged: ['main-contactor'] })
    expect(bridged.kind === 'number' && bridged.mean).toBeCloseTo(26, 3)
    const jumper = amps({ jumpers: [['bus-bar', 'main-contactor.motor-side']] })
    expect(jumper.kind === 'number' && jumper.mean).toBeCloseTo(26, 3)
  })
  it('a lifted lead is out', () => {
    const p = predict(contactor, {
      facts,
      carState: { ...go, step: 3, lifted: ['feed-lead-3'] },
      instrument: 'test-lamp',
      red: 'contactor-3.coil-positive',
      black: 'pack-negative',
    })
    expect(p).toMatchObject({ kind: 'lamp', brightness: 'off' })
  })
})

describe('chatter', () => {
  it('a contactor fed through its own contact never comes to rest', () => {
    const file = small()
    file.parts.push({
      id: 'relay',
      kind: 'contactor',
      coil: ['coil-feed', 'pack-negative'],
      contacts: ['pack-positive', 'coil-feed'],
      rest: 'closed',
      watts: 5,
      pullIn: 0.7,
      dropOut: 0.2,
      ohms: 0.01,
    })
    const p = predict(parseNetlist(file), { instrument: 'voltmeter', red: 'pack-positive', black: 'pack-negative' })
    expect(p).toMatchObject({ kind: 'chatters', parts: ['relay'] })
  })
  it('a weak key switch: what is closed depends on the click before', () => {
    // Fresh off the charger, one coil alone still gets its pull-in volts through it; two get enough to hold, not to pull.
    const fresh = { packVolts: 36, measuredPackVolts: 41 } as const
    const closed = (step: number) => [
      ...operate(buildCircuit(contactor, fresh, 'key-switch.high-resistance', { ...go, step })).closed,
    ]
    expect(closed(0)).toEqual([])
    expect(closed(1)).toEqual(['main-contactor'])
    expect(closed(3)).toEqual(['main-contactor'])
    expect(closed(5)).not.toContain('contactor-5')
  })
})

describe('bad input', () => {
  const q = { facts, instrument: 'voltmeter', red: 'bus-bar', black: 'pack-negative' } as const
  it.each([
    ['a probe on no node', { ...q, red: 'buss-bar' }, 'unknown-node', /bus-bar/],
    ['no probe', { ...q, black: undefined }, 'unknown-node', /black probe/],
    ['an unknown cause', { ...q, cause: 'contactor-3.contacts-opne' }, 'unknown-cause', /contactor-3\.contacts-open/],
    ['a part that this car has not', { ...q, cause: 'main-fuse.open' }, 'unknown-cause', /no main-fuse|no such part/],
    ['an unknown car state', { ...q, carState: { gear: 'forward' } }, 'unknown-state', /direction/],
    [
      'a value that a state cannot have',
      { ...q, carState: { direction: 'sideways' } },
      'unknown-state',
      /neutral, forward, reverse/,
    ],
    ['a lifted lead that does not exist', { ...q, carState: { lifted: ['feed-lead-9'] } }, 'unknown-part', /feed-lead/],
    ['a bridge over nothing', { ...q, carState: { bridged: ['motor'] } }, 'unknown-part', /bridged/],
    ['a jumper to nowhere', { ...q, carState: { jumpers: [['bus-bar', 'moon']] } }, 'unknown-node', /moon/],
    ['a pack of no volts', { ...q, facts: { packVolts: 0 } }, 'bad-facts', /packVolts/],
    [
      'volts that this pack cannot have',
      { ...q, facts: { packVolts: 36, measuredPackVolts: 360 } },
      'bad-facts',
      /Measure again/,
    ],
    [
      'blocks that do not make the pack',
      { ...q, facts: { packVolts: 36, blocks: '3x8' } },
      'bad-facts',
      /Count the blocks/,
    ],
    ['an unknown instrument', { ...q, instrument: 'oscilloscope' }, 'bad-instrument', /test-lamp/],
    ['a clamp round nothing', { ...q, instrument: 'clamp-ammeter' }, 'bad-instrument', /around/],
    [
      'a clamp round an unknown part',
      { ...q, instrument: 'clamp-ammeter', around: 'main-cable' },
      'unknown-part',
      /main-cable-positive/,
    ],
    [
      'a range that the meter has not',
      { ...q, carState: { pack: 'isolated' }, instrument: 'ohmmeter', ohmmeter: { range: 9 } },
      'bad-instrument',
      /0 to 5/,
    ],
  ])('%s', (_name, question, code, words) => {
    const error = problem(() => predict(contactor, question as never))
    expect(error.code).toBe(code)
    expect(error.message).toMatch(words)
  })

  it.each<[string, (f: NetlistFile) => void, string, RegExp]>([
    ['a part of no kind', (f) => f.parts.push({ id: 'x', kind: 'magic' } as never), 'impossible-netlist', /parts/],
    [
      'both ends on one node',
      (f) => f.parts.push({ id: 'x', kind: 'resistor', from: 'a', to: 'a', ohms: 1 }),
      'impossible-netlist',
      /one node/,
    ],
    [
      'no resistance',
      (f) => f.parts.push({ id: 'x', kind: 'resistor', from: 'a', to: 'b', ohms: 0 }),
      'impossible-netlist',
      /ohms/,
    ],
    [
      'two parts of one name',
      (f) => f.parts.push({ id: 'lamp', kind: 'resistor', from: 'a', to: 'b', ohms: 1 }),
      'impossible-netlist',
      /two parts/,
    ],
    [
      'a cable without length',
      (f) => f.parts.push({ id: 'x', kind: 'cable', from: 'a', to: 'b', gauge: 'AWG 6' }),
      'impossible-netlist',
      /metres/,
    ],
    [
      'a change of an unknown part',
      (f) => f.changes.push({ cause: 'y.open', is: [{ part: 'y', is: 'open' }] }),
      'unknown-part',
      /no part "y"/,
    ],
    [
      'a cause twice',
      (f) => f.changes.push({ cause: 'lamp.open', is: [{ part: 'lamp', is: 'open' }] }),
      'impossible-netlist',
      /two changes/,
    ],
    [
      'a reference that nothing touches',
      (f) => Object.assign(f, { reference: 'chassis' }),
      'impossible-netlist',
      /chassis/,
    ],
    [
      'drop-out above pull-in',
      (f) =>
        f.parts.push({
          id: 'c',
          kind: 'contactor',
          coil: ['a', 'b'],
          contacts: ['c', 'd'],
          rest: 'open',
          watts: 5,
          pullIn: 0.2,
          dropOut: 0.7,
          ohms: 1,
        }),
      'impossible-netlist',
      /drops out/,
    ],
    [
      'a gauge that does not exist',
      (f) => f.parts.push({ id: 'x', kind: 'cable', from: 'a', to: 'b', metres: 1, gauge: '6 AWG' }),
      'impossible-netlist',
      /AWG 6/,
    ],
  ])('netlist with %s', (_name, spoil, code, words) => {
    const file = small()
    spoil(file)
    const error = problem(() => parseNetlist(file))
    expect(error.code).toBe(code)
    expect(error.message).toMatch(words)
  })
  it('the small netlist itself is sound', () => {
    expect(
      predict(parseNetlist(small()), {
        carState: { key: 'on' },
        instrument: 'test-lamp',
        red: 'lamp-positive',
        black: 'pack-negative',
      }),
    ).toMatchObject({ brightness: 'full' })
  })
})

/** All that a meter could tell of a car in a state: volts, what hangs together, alternating volts, ohms of what is there. */
function picture(family: string, facts: WiringFacts, cause: string | undefined, state: WiringState): string {
  const { circuit, point, volts } = observe(buildCircuit(netlistOf(family), facts, cause, state))
  const shown = (v: number) => (Math.abs(v) < 1e-4 ? '0' : v.toPrecision(6))
  const first = new Map<number, number>()
  point.island.forEach((i, n) => first.set(i, first.get(i) ?? n))
  return [
    [...volts].map(shown),
    [...point.island].map((i) => first.get(i)),
    [...(point.alternating?.real ?? [])].map(shown),
    circuit.branches.filter((b) => b.kind !== 'source').map((b) => `${b.id} ${shown(b.ohms)} ${b.farads}`),
    point.chatters,
  ].join(';')
}

describe('places', () => {
  it.each(NETLIST_FAMILIES)(
    '%s: a clamp shows a number with an end to it round every part, diodes and dead cords too',
    (family) => {
      const netlist = netlistOf(family)
      for (const part of netlist.parts) {
        if (part.when) continue
        const p = predict(netlist, { instrument: 'clamp-ammeter', around: part.id })
        if (p.kind !== 'number') continue
        expect([p.mean, p.sd, p.low, p.high].every(Number.isFinite), part.id).toBe(true)
      }
    },
  )
  it('lists what probes and clamps can be put on', () => {
    const { nodes, parts, pieces } = placesOf(contactor, { packVolts: 36 })
    expect(nodes).toContain('bus-bar')
    expect(parts).toContain('contactor-4')
    expect(parts).not.toContain('main-fuse')
    expect(pieces).toContain('contactor-4.coil')
    for (const node of nodes) {
      expect(() => predict(contactor, { instrument: 'voltmeter', red: node, black: 'pack-negative' })).not.toThrow()
    }
  })
  it('car states that have no part in a circuit are passed over', () => {
    const q = { instrument: 'voltmeter', red: 'pack-positive', black: 'pack-negative' } as const
    expect(
      predict(netlistOf('transformer-timer'), { ...q, carState: { wheels: 'raised', pack: 'connected' } }).kind,
    ).toBe('number')
  })
})

describe('netlists', () => {
  it.each([...NETLIST_FAMILIES])('%s: every cause shows in some car state', (family) => {
    const netlist = netlistOf(family)
    expect(netlist.change.size).toBeGreaterThan(15)
    const car: WiringFacts = { packVolts: 48, fieldBypass: true, mainFuse: true, runTow: true }
    // A charger's last hours look different from its first.
    const cars = netlist.kind === 'charger' ? [car, { ...car, measuredPackVolts: 56 }] : [car]
    const places = cars.flatMap((facts) =>
      [...carStates(netlist), { pack: 'isolated' }].map((state) => ({
        facts,
        state,
        sound: picture(family, facts, undefined, state),
      })),
    )
    const silent = [...netlist.change.keys()]
      .filter((cause) => hasPartsFor(netlist, car, cause))
      .filter((cause) => places.every(({ facts, state, sound }) => picture(family, facts, cause, state) === sound))
    expect(silent).toEqual([])
  })
})
