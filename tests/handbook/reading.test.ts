import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Expected,
  INSTRUMENT_IDS,
  INSTRUMENTS,
  isInstrument,
  isUnit,
  type ProblemCode,
  parseReading,
  type Reading,
  resolutionAt,
  toleranceAt,
  UNITS,
} from '../../rules/handbook/index.ts'
import { UNITS as SCHEMA_UNITS, TOOLS } from '../../rules/schema/car.ts'

const VOLTS: Expected = { expects: 'V', instrument: 'voltmeter' }
const OHMS: Expected = { expects: 'Ω', instrument: 'ohmmeter' }
const MEGOHMS: Expected = { expects: 'MΩ', instrument: 'insulation-tester' }
const AMPS: Expected = { expects: 'A', instrument: 'clamp-ammeter' }
const GRAVITY: Expected = { expects: 'SG', instrument: 'hydrometer' }
const WARMTH: Expected = { expects: '°C', instrument: 'thermometer' }
const MINUTES: Expected = { expects: 'min', instrument: 'stopwatch' }
const SHOWN: Expected = { ...VOLTS, unitShown: true }

describe('understood', () => {
  it.each<[string, Expected, number]>([
    ['31,2 V', VOLTS, 31.2],
    ['31.2V', VOLTS, 31.2],
    ['31.2', SHOWN, 31.2],
    ['31.2 volts DC', VOLTS, 31.2],
    ['V 31.2', VOLTS, 31.2],
    ['the meter reads 31.2 volts at the bus bar', VOLTS, 31.2],
    ['31 V on step 3', VOLTS, 31],
    ['block 3: 6.2 V', VOLTS, 6.2],
    ['battery 6 V', VOLTS, 6],
    ['battery 12', SHOWN, 12],
    ['200 mV', VOLTS, 0.2],
    ['200 MV', VOLTS, 0.2],
    ['0.4 kV', VOLTS, 400],
    ['12,400 V', VOLTS, 12.4],
    ['31V2', VOLTS, 31.2],
    ['12 point 4 volts', VOLTS, 12.4],
    ['12 point oh five V', VOLTS, 12.05],
    ['five volts', VOLTS, 5],
    ['zero volts', VOLTS, 0],
    ['point seven volts', VOLTS, 0.7],
    ['thirty-one point two volts', VOLTS, 31.2],
    ['twelve and a half volts', VOLTS, 12.5],
    ['12½ V', VOLTS, 12.5],
    ['half a volt', VOLTS, 0.5],
    ['one twenty volts', VOLTS, 120],
    ['one oh five volts', VOLTS, 105],
    ['one hundred and five volts', VOLTS, 105],
    ['two hundred thirty volts', VOLTS, 230],
    ['-31.2 V', VOLTS, -31.2],
    ['− 31.2 V', VOLTS, -31.2],
    ['minus five volts', VOLTS, -5],
    ['1e2 V', VOLTS, 100],
    ['dead', VOLTS, 0],
    ['no volts', VOLTS, 0],
    ['5 ohm', OHMS, 5],
    ['4.7 kΩ', OHMS, 4700],
    ['4.7 k\u2126', OHMS, 4700],
    ['4k7', OHMS, 4700],
    ['0R22', OHMS, 0.22],
    ['5 k', OHMS, 5000],
    ['5 mΩ', OHMS, 0.005],
    ['2 MΩ', OHMS, 2e6],
    ['two megohms', OHMS, 2e6],
    ['1,234.5 ohms', OHMS, 1234.5],
    ["12'400 Ω", OHMS, 12400],
    ['shorted', OHMS, 0],
    ['2 meg', MEGOHMS, 2],
    ['500 kΩ', MEGOHMS, 0.5],
    ['a hundred amps', AMPS, 100],
    ['-20 A', AMPS, -20],
    ['350 mA', AMPS, 0.35],
    ['1.265', GRAVITY, 1.265],
    ['1,265', GRAVITY, 1.265],
    ['1265', GRAVITY, 1.265],
    ['twelve sixty-five', GRAVITY, 1.265],
    ['SG 1.240', GRAVITY, 1.24],
    ['25 °C', WARMTH, 25],
    ['77 F', WARMTH, 25],
    ['-5 degrees celsius', WARMTH, -5],
    ['90 sec', MINUTES, 1.5],
    ['1 h 20 min', MINUTES, 80],
    ['1h20', MINUTES, 80],
    ['1.5 hours', MINUTES, 90],
    ['5\' 3"', { expects: 'mm', instrument: 'tape-measure' }, 1600.2],
    ['12 mm', { expects: 'mm' }, 12],
    ['6 µF', { expects: 'µF', instrument: 'capacitance-meter' }, 6],
    ['6.1 \u03bcF', { expects: 'µF', instrument: 'ohmmeter' }, 6.1],
    ['5.2 V', { expects: 'V', instrument: 'load-tester' }, 5.2],
    ['5 V', { expects: 'V', instrument: 'hand-tools' }, 5],
    ['50 %', { expects: '%' }, 50],
    ['12 mph', { expects: 'km/h' }, 19.312128],
  ])('%j', (typed, expected, value) => {
    const reading = parseReading(typed, expected)
    expect(reading, JSON.stringify(reading)).toMatchObject({ ok: true, unit: expected.expects, typed })
    expect((reading as Reading).value).toBeCloseTo(value, 9)
  })

  it.each<[string, Expected, object]>([
    ['about 31 volts', VOLTS, { value: 31, approximate: true, notes: [{ code: 'approximate' }] }],
    ['~31 V', VOLTS, { value: 31, approximate: true }],
    ['20 or so amps', AMPS, { value: 20, approximate: true }],
    ['just over 31 V', VOLTS, { value: 31, approximate: true }],
    ['between 30 and 31 V', VOLTS, { value: 30.5, from: 30, to: 31, approximate: true, notes: [{ code: 'range' }] }],
    ['between 30 and 31', SHOWN, { from: 30, to: 31 }],
    ['between thirty and thirty-one volts', VOLTS, { from: 30, to: 31 }],
    ['between one hundred and five hundred ohms', OHMS, { from: 100, to: 500 }],
    ['30-31V', VOLTS, { from: 30, to: 31 }],
    ['31 to 30 volts', VOLTS, { from: 30, to: 31 }],
    ['900 mV to 1.1 V', VOLTS, { from: 0.9, to: 1.1 }],
    ['-5..-3 °C', WARMTH, { from: -5, to: -3 }],
    ['31 ± 0.5 V', VOLTS, { value: 31, from: 30.5, to: 31.5 }],
    ['less than 1 ohm', OHMS, { value: 1, bound: 'at-most' }],
    ['not more than 12 V', VOLTS, { value: 12, bound: 'at-most' }],
    ['>2 MΩ', MEGOHMS, { value: 2, bound: 'at-least' }],
    ['OL', OHMS, { value: 40e6, bound: 'at-least', notes: [{ code: 'over-range-display' }] }],
    ['O.L MΩ', OHMS, { value: 40e6, bound: 'at-least' }],
    ['infinite', MEGOHMS, { value: 10_000, bound: 'at-least' }],
    ['OL 200 Ω', OHMS, { value: 200, bound: 'at-least' }],
    ['1265', GRAVITY, { notes: [{ code: 'hydrometer-points' }] }],
    ['12,400 V', VOLTS, { notes: [{ code: 'one-way-to-read-it' }] }],
    ['-31.2 V', VOLTS, { notes: [{ code: 'minus-sign' }] }],
    ['31 V', VOLTS, { step: 1, approximate: false, notes: [] }],
    ['31.20 V', VOLTS, { step: 0.01 }],
    ['4.70 kΩ', OHMS, { step: 10 }],
  ])('%j says more', (typed, expected, more) => {
    expect(parseReading(typed, expected)).toMatchObject({ ok: true, ...more })
  })
})

describe('a problem, with what was wrong and what to do', () => {
  it.each<[string, Expected, ProblemCode, RegExp, string[]]>([
    ['', VOLTS, 'empty', /Type the reading in volts \(V\)/, []],
    ['   ', VOLTS, 'empty', /Nothing was typed/, []],
    ['9'.repeat(200), VOLTS, 'too-long', /200 characters/, []],
    ['fine', VOLTS, 'no-number', /no number in “fine”/, []],
    ["don't know", VOLTS, 'no-number', /pick “don’t know”/, []],
    ["isn't 12 V", VOLTS, 'negated', /says what it is not/, []],
    ['31', VOLTS, 'no-unit', /has no unit/, ['31 V', '31 mV']],
    ['31 bananas', VOLTS, 'unknown-unit', /“bananas” is not a unit/, ['31 V']],
    ['31 V', OHMS, 'wrong-unit', /is in volts; this check asks for ohms/, []],
    ['1.265 V', GRAVITY, 'wrong-unit', /asks for a specific gravity/, []],
    ['12 A', VOLTS, 'wrong-unit', /is in amperes/, []],
    ['31 V 2 ohm', VOLTS, 'mixed-units', /two kinds of unit \(V and ohm\)/, []],
    ['31 V Ω', VOLTS, 'mixed-units', /two kinds of unit/, []],
    ['75 A for 20 min', MINUTES, 'mixed-units', /A and min/, []],
    ['-1.265', GRAVITY, 'negative', /cannot be below zero: water is 1.000/, ['1.265']],
    ['-5 ohm', OHMS, 'negative', /no readings below zero/, ['5 Ω']],
    ['700 V', VOLTS, 'above-range', /ends at 600 V/, []],
    ['12.65', GRAVITY, 'above-range', /ends at 1.400/, ['1.265']],
    ['.265', GRAVITY, 'below-range', /starts at 1.000/, ['1.265']],
    ['500 °C', WARMTH, 'above-range', /thermometer/, []],
    ['14 V', { ...VOLTS, max: 12 }, 'above-range', /this check, which ends at 12 V/, []],
    ['OL', VOLTS, 'over-range-display', /higher range/, []],
    ['nothing', OHMS, 'ambiguous-number', /straight through/, ['0 Ω']],
    ['12,400 ohms', OHMS, 'ambiguous-number', /12.4 Ω or 12400 Ω/, ['12.4 Ω', '12400 Ω']],
    ['3.2.1 V', VOLTS, 'ambiguous-number', /not one number/, []],
    ['1:20', MINUTES, 'ambiguous-number', /hours and minutes or minutes and seconds/, []],
    ['between 30 V', VOLTS, 'ambiguous-number', /needs two numbers/, []],
    ['80 degrees', WARMTH, 'ambiguous-unit', /Celsius or degrees Fahrenheit/, ['80 °C', '80 °F']],
    ['5 mohm', OHMS, 'ambiguous-unit', /milliohms or megohms/, ['5 mΩ', '5 MΩ']],
    ['6.3 6.2 6.3 V', VOLTS, 'several-numbers', /3 numbers/, []],
    ['1 400 Ω', OHMS, 'several-numbers', /one reading/, ['1400 Ω']],
    ['30 and 31 V', VOLTS, 'several-numbers', /a range such as/, []],
    ['dim', { expects: 'V', instrument: 'test-lamp' }, 'not-a-number-instrument', /Pick what it shows/, []],
  ])('%j', (typed, expected, code, message, suggestions) => {
    const problem = parseReading(typed, expected)
    expect(problem, JSON.stringify(problem)).toMatchObject({ ok: false, code, typed })
    if (problem.ok) return
    expect(problem.wrong).toMatch(/[.:]$/)
    expect(problem.mend).toMatch(/^[A-Z].*[.]$/)
    expect(problem.message).toMatch(message)
    expect(problem.suggestions.map((s) => s.text)).toEqual(suggestions)
  })
})

describe('for any text', () => {
  const expectation = fc
    .record({
      expects: fc.constantFrom(...UNITS),
      instrument: fc.option(fc.constantFrom(...INSTRUMENT_IDS), { nil: undefined }),
      unitShown: fc.boolean(),
    })
    .map((e): Expected => e)
  const words = fc
    .array(
      fc.constantFrom(
        '31',
        '1,265',
        '12.4',
        '-',
        '±',
        'V',
        'Ω',
        'kΩ',
        'mohm',
        'about',
        'between',
        'and',
        'to',
        'point',
        'five',
        'thirty',
        'hundred',
        'half',
        'a',
        'OL',
        'not',
        '°',
        'h',
        'min',
        ':',
        '<',
        'more than',
        'step',
        '1e9',
        '99999999999999999999',
      ),
      { maxLength: 9 },
    )
    .map((list) => list.join(' '))

  it('never throws; what is understood is finite, in the unit asked for and within the limits', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary', maxLength: 140 }), fc.string(), words),
        expectation,
        (typed, expected) => {
          const r = parseReading(typed, expected)
          expect(r.typed).toBe(typed)
          if (!r.ok) {
            expect(r.message.length).toBeGreaterThan(20)
            for (const s of r.suggestions) expect(Number.isFinite(s.value)).toBe(true)
            return
          }
          expect(Number.isFinite(r.value)).toBe(true)
          expect(r.unit).toBe(expected.expects)
          if (r.from !== undefined) {
            expect(r.from).toBeLessThanOrEqual(r.value)
            expect(r.value).toBeLessThanOrEqual(r.to!)
          }
          const instrument = INSTRUMENT_IDS.filter((id) => id === expected.instrument).map((id) => INSTRUMENTS[id])[0]
          if (instrument?.unit === expected.expects) {
            expect(r.value).toBeGreaterThanOrEqual(instrument.min)
            expect(r.value).toBeLessThanOrEqual(instrument.max)
          }
        },
      ),
      { numRuns: 2000 },
    )
  })

  it('a figure written out comes back, with a point or a comma, in any unit of its kind', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -60_000, max: 60_000 }),
        fc.constantFrom('.', ','),
        fc.constantFrom('', ' '),
        fc.constantFrom<[string, number]>(['V', 1], ['volts', 1], ['mV', 1000]),
        (hundredths, mark, gap, [unit, perVolt]) => {
          // Two decimals at most, so that a comma cannot part thousands.
          const typed = ((hundredths / 100) * perVolt).toFixed(2).replace('.', mark) + gap + unit
          const r = parseReading(typed, VOLTS)
          expect(r.ok && r.value).toBeCloseTo(hundredths / 100, 9)
        },
      ),
    )
  })

  it('a suggestion, taken, is understood', () => {
    fc.assert(
      fc.property(words, fc.constantFrom(VOLTS, OHMS, GRAVITY, WARMTH, MINUTES), (typed, expected) => {
        const r = parseReading(typed, expected)
        if (r.ok) return
        for (const s of r.suggestions)
          expect(parseReading(s.text, expected), `${typed} → ${s.text}`).toMatchObject({ ok: true })
      }),
      { numRuns: 1000 },
    )
  })
})

describe('instruments', () => {
  it('the knowledge schema asks for no unit that cannot be read here', () => {
    for (const unit of SCHEMA_UNITS) expect(isUnit(unit), unit).toBe(true)
  })
  it('every tool of the knowledge schema is an instrument, or measures nothing', () => {
    const withoutReading = ['wheel-stands', 'hand-tools']
    expect(TOOLS.filter((tool) => !isInstrument(tool))).toEqual(withoutReading)
  })

  it('every one has rising ranges that end at its greatest reading, and says where its accuracy comes from', () => {
    for (const id of INSTRUMENT_IDS) {
      const i = INSTRUMENTS[id]
      expect(i.id).toBe(id)
      expect(isInstrument(id)).toBe(true)
      expect(i.source.length).toBeGreaterThan(10)
      if (i.unit === null) continue
      expect(i.ranges.at(-1)!.upTo).toBe(i.max)
      for (let k = 1; k < i.ranges.length; k++) {
        expect(i.ranges[k]!.upTo).toBeGreaterThan(i.ranges[k - 1]!.upTo)
        expect(i.ranges[k]!.resolution).toBeGreaterThan(i.ranges[k - 1]!.resolution)
      }
      fc.assert(
        fc.property(fc.double({ min: i.min, max: i.max, noNaN: true }), (value) => {
          expect(resolutionAt(i, value)).toBeGreaterThan(0)
          expect(toleranceAt(i, value)).toBeGreaterThanOrEqual(resolutionAt(i, value))
        }),
      )
    }
  })
  it('a hand-held meter at 38.2 V is good for about ±0.22 V, at 0.3 Ω for ±0.2 Ω', () => {
    expect(toleranceAt(INSTRUMENTS.voltmeter, 38.2)).toBeCloseTo(0.221, 6)
    expect(toleranceAt(INSTRUMENTS.ohmmeter, 0.3)).toBeCloseTo(0.2027, 6)
    expect(toleranceAt(INSTRUMENTS['test-lamp'], 0)).toBe(0)
  })
})
