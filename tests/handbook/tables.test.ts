import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  AGM,
  AWG_SIZES,
  awgOhmPerMetre,
  BCI_1265,
  type Cells,
  CHARGE_FACTOR,
  chargeFromGravity,
  chargeFromRestVolts,
  convertUnit,
  copperResistanceAt,
  DEEP_CYCLE_1277,
  dimensionOf,
  expectedChargeHours,
  FREEZING_POINTS_F,
  freezingDegreesC,
  fuseAt,
  gravityAt80F,
  greatestSoundDropVolts,
  IEC_60228_OHM_PER_KM,
  IEEE_485_FACTORS,
  insulationAt40C,
  insulationPasses,
  type KnownCharge,
  lampAmps,
  lampColdOhm,
  lampHotOhm,
  lampLight,
  lampWord,
  leadsMatter,
  leastIsolationOhm,
  lookUp,
  mayBeFrozen,
  minutesAt80F,
  motorAmps,
  NEC_TABLE_8_OHM_PER_KFT_75C,
  OutOfRange,
  percentOfRatedMinutes,
  peukertCapacityAh,
  peukertHours,
  rectifiedAverageVolts,
  rectifierIntoPack,
  restVoltsAt80F,
  restVoltsPerCell,
  SOUND_JOINT_OHM,
  seriesSpeedRpm,
  soundCableOhm,
  stalledAmps,
  type TableRow,
  turned,
  UNITS,
  unitsOf,
  weakBlockAtRest,
  weakBlockUnderLoad,
  withoutLeads,
} from '../../rules/handbook/index.ts'

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true })
const ordered = (arb: fc.Arbitrary<number>) =>
  fc.tuple(arb, arb).map(([a, b]) => (a <= b ? [a, b] : [b, a]) as [number, number])

const TABLES: [string, readonly TableRow[], 'rises' | 'falls'][] = [
  ['BCI volts', BCI_1265.voltsPerCell, 'rises'],
  ['BCI gravity', BCI_1265.gravity!, 'rises'],
  ['deep-cycle volts', DEEP_CYCLE_1277.voltsPerCell, 'rises'],
  ['deep-cycle gravity', DEEP_CYCLE_1277.gravity!, 'rises'],
  ['AGM volts', AGM.voltsPerCell, 'rises'],
  ['freezing points', FREEZING_POINTS_F, 'falls'],
  ['IEEE 485 factors', IEEE_485_FACTORS, 'falls'],
]

describe('every table', () => {
  it.each(TABLES)('%s: x rises and y %s%s all the way', (_name, rows, way) => {
    for (let i = 1; i < rows.length; i++) {
      expect(rows[i]![0]).toBeGreaterThan(rows[i - 1]![0])
      const step = rows[i]![1] - rows[i - 1]![1]
      expect(way === 'rises' ? step : -step).toBeGreaterThan(0)
    }
  })
  it.each(TABLES)('%s: looked up, it stays monotone and between its ends', (_name, rows, way) => {
    const [first, last] = [rows[0]!, rows.at(-1)!]
    fc.assert(
      fc.property(ordered(between(first[0] - 10, last[0] + 10)), ([a, b]) => {
        const [ya, yb] = [lookUp(rows, a).y, lookUp(rows, b).y]
        expect(way === 'rises' ? yb - ya : ya - yb).toBeGreaterThanOrEqual(-1e-9)
        expect(ya).toBeGreaterThanOrEqual(Math.min(first[1], last[1]))
        expect(ya).toBeLessThanOrEqual(Math.max(first[1], last[1]))
      }),
    )
  })
  it.each(TABLES)('%s: there and back again', (_name, rows) => {
    fc.assert(
      fc.property(between(rows[0]![0], rows.at(-1)![0]), (x) => {
        expect(lookUp(turned(rows), lookUp(rows, x).y).y).toBeCloseTo(x, 6)
      }),
    )
  })
  it('says when a value lies beyond it', () => {
    expect(lookUp(FREEZING_POINTS_F, 0.5)).toEqual({ y: 32, place: 'below-first' })
    expect(lookUp(FREEZING_POINTS_F, 1.3)).toEqual({ y: -90, place: 'above-last' })
    expect(lookUp(FREEZING_POINTS_F, 1.2)).toEqual({ y: -16, place: 'inside' })
  })
})

describe('state of charge', () => {
  it('rises with rest volts, for every kind of lead cell and temperature', () => {
    fc.assert(
      fc.property(
        ordered(between(0, 2.2)),
        fc.constantFrom<Cells>('flooded-lead', 'agm-lead'),
        between(-30, 50),
        fc.integer({ min: 3, max: 36 }),
        ([a, b], cells, cellDegreesC, cellsInSeries) => {
          const at = (v: number) =>
            chargeFromRestVolts({ cells, volts: v * cellsInSeries, cellsInSeries, cellDegreesC })
          const [low, high] = [at(a), at(b)]
          if (low.known && high.known) expect(high.percent).toBeGreaterThanOrEqual(low.percent - 1e-9)
          // 2.2 V is the limit after the correction, so a very cold cell near it may be on either side.
          if (b < 2.18) expect(low.known && high.known).toBe(true)
        },
      ),
    )
  })
  it('volts of a charge give that charge back', () => {
    fc.assert(
      fc.property(between(10, 100), fc.constantFrom('flooded-lead' as const, 'agm-lead' as const), (percent, cells) => {
        const volts = restVoltsPerCell(cells, percent)
        expect((chargeFromRestVolts({ cells, volts, cellsInSeries: 1 }) as KnownCharge).percent).toBeCloseTo(percent, 6)
      }),
    )
  })
  it('below the deep-cycle table it only says "at most"', () => {
    expect(chargeFromRestVolts({ cells: 'flooded-lead', volts: 5.6, cellsInSeries: 3 })).toMatchObject({
      known: true,
      percent: 10,
      bound: 'at-most',
    })
  })
  it('says not knowable, and why, where volts do not give it', () => {
    const lithium = { cells: 'lithium-iron-phosphate', cellsInSeries: 16 } as const
    const middle = chargeFromRestVolts({ ...lithium, volts: 52.8 })
    expect(middle).toMatchObject({ known: false, code: 'volts-do-not-give-charge' })
    expect(!middle.known && middle.reason).toMatch(/fifth full to nine tenths/)
    expect(chargeFromRestVolts({ ...lithium, volts: 54.6 })).toMatchObject({ percent: 95, bound: 'at-least' })
    expect(chargeFromRestVolts({ ...lithium, volts: 47.5 })).toMatchObject({ percent: 10, bound: 'at-most' })
    expect(chargeFromRestVolts({ ...lithium, volts: 39 })).toMatchObject({ percent: 0, bound: 'at-most' })
    const lead = { cells: 'flooded-lead', cellsInSeries: 18 } as const
    expect(chargeFromRestVolts({ ...lead, volts: 38.2, restedHours: 0.5 })).toMatchObject({ code: 'not-rested' })
    expect(chargeFromRestVolts({ ...lead, volts: 42 })).toMatchObject({ code: 'surface-charge' })
    expect(chargeFromGravity({ cells: 'agm-lead', reading: 1.2 })).toMatchObject({ code: 'no-gravity-table' })
  })
  it('a cold cell is called fuller by volts, emptier by gravity, than its bare reading', () => {
    expect(restVoltsAt80F(12.4, 6, -10)).toBeGreaterThan(12.4)
    expect(gravityAt80F(1.24, -10)).toBeLessThan(1.24)
  })
  it('a flat pack freezes where a full one does not', () => {
    expect(mayBeFrozen(1.1, -10)).toBe(true)
    expect(mayBeFrozen(1.265, -10)).toBe(false)
    expect(freezingDegreesC(1.1)).toBeGreaterThan(freezingDegreesC(1.265))
  })
})

describe('weak block', () => {
  it('at rest: finds the planted one in any pack, wherever it stands', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 12 }),
        fc.nat(),
        between(0.08, 1),
        fc.array(between(-0.01, 0.01), { minLength: 12, maxLength: 12 }),
        (count, where, below, spread) => {
          const index = where % count
          const volts = Array.from({ length: count }, (_, i) => 6.3 + spread[i]! - (i === index ? below : 0))
          const pack = weakBlockAtRest(volts)
          expect(pack.weakest).toBe(index)
          expect(pack.blocks[index]!.verdict).toBe('suspect')
          expect(pack.blocks.filter((b) => b.verdict !== 'sound')).toHaveLength(1)
        },
      ),
    )
  })
  it('tells a sound pack, a lost cell and a reversed block', () => {
    expect(weakBlockAtRest([6.31, 6.3, 6.32, 6.29, 6.3, 6.31]).weakest).toBeNull()
    expect(weakBlockAtRest([6.31, 4.2, 6.32, 6.29, 6.3, 6.31])).toMatchObject({
      weakest: 1,
      blocks: { 1: { verdict: 'cell-lost' } },
    })
    expect(weakBlockAtRest([8.4, 8.41, -0.3]).blocks[2]!.verdict).toBe('reversed')
    expect(() => weakBlockAtRest([6.3])).toThrow(/two or more/)
  })
  it('under load: one that stands level at rest and falls away', () => {
    const blocks = [6.0, 6.01, 5.4, 6.0, 6.02, 6.0].map((loadVolts) => ({ restVolts: 6.3, loadVolts }))
    const pack = weakBlockUnderLoad(blocks, 75, 3)
    expect(pack).toMatchObject({ weakest: 2, blocks: { 0: { verdict: 'sound' }, 2: { verdict: 'weak' } } })
    expect(pack.blocks[2]!.internalOhm).toBeCloseTo(0.012, 9)
    const cut = blocks.map((b, i) => (i === 2 ? { restVolts: 6.3, loadVolts: 5.1 } : b))
    expect(weakBlockUnderLoad(cut, 75, 3).blocks[2]!.verdict).toBe('below-cut-off')
    const lost = blocks.map((b, i) => (i === 2 ? { restVolts: 6.3, loadVolts: 3.9 } : b))
    expect(weakBlockUnderLoad(lost, 75, 3).blocks[2]!.verdict).toBe('cell-lost')
    const turnedOver = blocks.map((b, i) => (i === 2 ? { restVolts: 6.3, loadVolts: -1 } : b))
    expect(weakBlockUnderLoad(turnedOver, 75, 3).blocks[2]!.verdict).toBe('reversed')
  })
})

describe('discharge and charge', () => {
  it('Peukert, there and back', () => {
    fc.assert(
      fc.property(between(20, 400), between(1, 300), between(1, 1.6), (ah, amps, k) => {
        expect(peukertCapacityAh(peukertHours(ah, amps, k), amps, k) / ah).toBeCloseTo(1, 9)
      }),
    )
  })
  it('more current, fewer ampere-hours out (k > 1)', () => {
    fc.assert(
      fc.property(ordered(between(1, 300)), ([a, b]) => {
        expect(b * peukertHours(225, b, 1.2)).toBeLessThanOrEqual(a * peukertHours(225, a, 1.2) + 1e-9)
      }),
    )
  })
  it('minutes in the cold count for more', () => {
    expect(minutesAt80F(60, 5)).toBeGreaterThan(60)
    expect(percentOfRatedMinutes(60, 120, 80 / 3)).toBeCloseTo(50, 1)
    expect(percentOfRatedMinutes(60, 120)).toBe(50)
  })
  it('a fuller pack never takes longer', () => {
    fc.assert(
      fc.property(
        ordered(between(0, 100)),
        fc.constantFrom(...(Object.keys(CHARGE_FACTOR) as Cells[])),
        ([a, b], cells) => {
          expect(expectedChargeHours(cells, 225, b, 18)).toBeLessThanOrEqual(
            expectedChargeHours(cells, 225, a, 18) + 1e-9,
          )
        },
      ),
    )
    expect(expectedChargeHours('flooded-lead', 225, 100, 18)).toBe(0)
    expect(expectedChargeHours('flooded-lead', 225, 20, 18)).toBeCloseTo((225 * 0.8 * 1.15) / 18 + 3, 9)
  })
})

describe('conductors', () => {
  it('thicker is less, in every table', () => {
    const nec = AWG_SIZES.flatMap((a) => NEC_TABLE_8_OHM_PER_KFT_75C[a] ?? [])
    const awg = AWG_SIZES.map((a) => awgOhmPerMetre(a))
    const iec = [...IEC_60228_OHM_PER_KM.values()]
    for (const list of [nec, awg, iec.map((r) => r[0]), iec.map((r) => r[1])]) {
      for (let i = 1; i < list.length; i++) expect(list[i]!).toBeLessThan(list[i - 1]!)
    }
  })
  it('temperature, there and back', () => {
    fc.assert(
      fc.property(between(1e-6, 10), between(-40, 150), between(-40, 150), (ohm, a, b) => {
        expect(copperResistanceAt(copperResistanceAt(ohm, a, b), b, a) / ohm).toBeCloseTo(1, 9)
      }),
    )
  })
  it('greatest sound drop: grows with current, length and joints', () => {
    const path = { cables: [{ awg: '4', lengthM: 0.6 }], joints: ['bolted-lug', 'bolted-lug'] } as const
    const at200 = greatestSoundDropVolts(200, path)
    expect(at200).toBeCloseTo(200 * (soundCableOhm(path.cables[0]) + 2 * SOUND_JOINT_OHM['bolted-lug']), 9)
    expect(greatestSoundDropVolts(100, path)).toBeCloseTo(at200 / 2, 9)
    expect(greatestSoundDropVolts(200, { ...path, joints: [...path.joints, 'contactor-contacts'] })).toBeGreaterThan(
      at200,
    )
    expect(greatestSoundDropVolts(0, path)).toBe(0)
    expect(soundCableOhm({ areaMm2: 25, lengthM: 2 }, 20)).toBeCloseTo(0.00156, 9)
  })
  it('a size that does not exist is refused with the list', () => {
    expect(() => soundCableOhm({ areaMm2: 7, lengthM: 1 })).toThrow(/not one of 0.5/)
    expect(() => awgOhmPerMetre('5/0' as never)).toThrow(/"5\/0" is not one of/)
  })
})

describe('lead resistance', () => {
  it('comes off, and never makes a negative', () => {
    expect(withoutLeads(0.5, 0.3)).toEqual({ ok: true, ohm: 0.2 })
    expect(withoutLeads(0.2, 0.3)).toEqual({ ok: true, ohm: 0 })
    expect(withoutLeads(0.1, 0.4)).toMatchObject({ ok: false, code: 'leads-above-reading' })
    expect(withoutLeads(5, 0.9)).toMatchObject({ ok: false, code: 'leads-bad' })
    expect(leadsMatter(0.99)).toBe(true)
    expect(leadsMatter(1)).toBe(false)
  })
  it('puts back what it took', () => {
    fc.assert(
      fc.property(between(0, 50), between(0, 0.5), (part, leads) => {
        const net = withoutLeads(part + leads, leads)
        expect(net.ok && net.ohm).toBeCloseTo(part, 6)
      }),
    )
  })
})

describe('rectifier, insulation, lamp, fuse, motor', () => {
  it('no current when the transformer does not reach the pack; a resistor gets 0.9 × rms', () => {
    expect(rectifierIntoPack({ acVoltsRms: 28, packVolts: 45, loopOhm: 0.2 }).averageAmps).toBe(0)
    const onResistor = rectifierIntoPack({ acVoltsRms: 28, packVolts: 0, loopOhm: 2 })
    expect(onResistor.averageAmps * 2).toBeCloseTo(rectifiedAverageVolts(28), 9)
    expect(onResistor.conductionDegrees).toBeCloseTo(180, 9)
    expect(onResistor.rmsAmps).toBeCloseTo(14, 9)
  })
  it('a fuller pack draws less, in a shorter pulse', () => {
    fc.assert(
      fc.property(ordered(between(0, 60)), ([a, b]) => {
        const low = rectifierIntoPack({ acVoltsRms: 36, packVolts: a, loopOhm: 0.3 })
        const high = rectifierIntoPack({ acVoltsRms: 36, packVolts: b, loopOhm: 0.3 })
        expect(high.averageAmps).toBeLessThanOrEqual(low.averageAmps + 1e-9)
        expect(high.conductionDegrees).toBeLessThanOrEqual(low.conductionDegrees + 1e-9)
        expect(high.rmsAmps).toBeGreaterThanOrEqual(high.averageAmps - 1e-9)
        expect(high.averageAmps).toBeGreaterThanOrEqual(0)
      }),
    )
  })
  it('insulation: a warm winding is forgiven, a cold one is not', () => {
    expect(insulationPasses(4, 60, 'armature', 48)).toBe(true)
    expect(insulationPasses(8, 20, 'armature', 48)).toBe(false)
    expect(insulationAt40C(0, 20)).toBe(0)
    expect(leastIsolationOhm(48)).toBe(4800)
  })
  it('lamp: V²/W hot, far less cold; more volts, more current, more light', () => {
    expect(lampHotOhm(36, 25)).toBeCloseTo(51.84, 9)
    expect(lampColdOhm(36, 25)).toBeLessThan(lampHotOhm(36, 25) / 5)
    expect(lampAmps(36, 36, 25)).toBeCloseTo(25 / 36, 9)
    fc.assert(
      fc.property(ordered(between(0, 60)), ([a, b]) => {
        expect(lampAmps(b, 36, 25)).toBeGreaterThanOrEqual(lampAmps(a, 36, 25))
        expect(lampLight(b, 36)).toBeGreaterThanOrEqual(lampLight(a, 36))
      }),
    )
    expect([0, 12, 24, 36].map((v) => lampWord(v, 36))).toEqual(['off', 'dim', 'part', 'full'])
  })
  it('fuse: more load never holds better', () => {
    const rank = { steadily: 0, barely: 1, unsure: 2, no: 3 }
    fc.assert(
      fc.property(ordered(between(0, 100)), ([a, b]) => {
        expect(rank[fuseAt(b, 20).holds]).toBeGreaterThanOrEqual(rank[fuseAt(a, 20).holds])
      }),
    )
  })
  it('motor: stalled is the most it can draw; without current it has no speed', () => {
    fc.assert(
      fc.property(between(0, 48), (emf) => {
        expect(motorAmps(48, emf, 0.05)).toBeLessThanOrEqual(stalledAmps(48, 0.05))
      }),
    )
    expect(motorAmps(36, 40, 0.05)).toBe(0)
    expect(() => seriesSpeedRpm({ rpm: 1000, emfVolts: 30, amps: 50 }, { emfVolts: 30, amps: 0 })).toThrow(OutOfRange)
  })
})

describe('units', () => {
  it('there and back, for every pair of one dimension', () => {
    for (const from of UNITS) {
      for (const to of unitsOf(dimensionOf(from))) {
        for (const value of [0.37, 1, 31.2, 4700]) {
          expect(convertUnit(convertUnit(value, from, to), to, from) / value, `${from} ${to}`).toBeCloseTo(1, 6)
        }
      }
    }
  })
  it('refuses volts as ohms', () => {
    expect(() => convertUnit(31, 'V', 'Ω')).toThrow(/volts as ohms is 31: voltage cannot be turned into resistance/)
  })
  it('knows the ordinary ones', () => {
    expect(convertUnit(80, '°F', '°C')).toBeCloseTo(26.6667, 4)
    expect(convertUnit(200, 'mV', 'V')).toBe(0.2)
    expect(convertUnit(4.7, 'kΩ', 'Ω')).toBe(4700)
    expect(convertUnit(1, 'ft', 'mm')).toBe(304.8)
    expect(convertUnit(12, 'mph', 'km/h')).toBeCloseTo(19.31, 2)
  })
})

describe('a value that cannot be', () => {
  it.each<[string, () => unknown, RegExp]>([
    ['negative gravity', () => gravityAt80F(-1.2, 20), /specific gravity is -1.2: it must be a number, from 1 to 1.4/],
    ['no number', () => peukertHours(Number.NaN, 10, 1.2), /capacity is NaN/],
    ['no current', () => peukertHours(100, 0, 1.2), /current is 0: it must be a number above 0 A/],
    ['infinite volts', () => rectifiedAverageVolts(Number.POSITIVE_INFINITY), /transformer volts is Infinity/],
    ['charge above full', () => restVoltsPerCell('agm-lead', 120), /state of charge is 120/],
    ['no blocks', () => weakBlockUnderLoad([], 75, 3), /number of blocks is 0/],
  ])('%s', (_name, run, message) => {
    expect(run).toThrow(OutOfRange)
    expect(run).toThrow(message)
  })
})
