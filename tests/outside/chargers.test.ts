/**
 * What the knowledge of chargers and flooded packs says in numbers, against published tables and formulas. The formulas
 * themselves are held against their sources in handbook-*.test.ts.
 */
import { describe, expect, it } from 'vitest'
import {
  expectedChargeHours,
  FREEZING_POINTS_F,
  fahrenheitToCelsius,
  freezingDegreesC,
  GRAVITY_PER_10_DEGREES_F,
  metricOhmPerMetre,
  necOhmPerMetre,
  percentOfRatedMinutes,
  rectifierIntoPack,
} from '../../rules/handbook/index.ts'
import type { Knowledge } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

const k: Knowledge = parseKnowledge(readKnowledgeFiles()).knowledge!
function one<T extends { id: string }>(list: T[], id: string): T {
  const found = list.find((x) => x.id === id)
  if (!found) throw new Error(`there is no ${id}`)
  return found
}
const words = (id: string) => {
  const { ask, how, good } = one(k.checks, id).text
  return [ask, ...(how ?? []), good ?? ''].join(' ')
}
/** The numbers that follow a word in a text, a minus sign of either kind. */
const numbers = (text: string, pattern: RegExp) =>
  [...text.matchAll(pattern)].map((m) => Number(m[1]!.replace('−', '-').replace(',', '.')))

describe('rectifier', () => {
  // Battery-charger example of power-electronics texts: average into a pack, half wave half of the full wave.
  it('one diode lost: half of the average, in the texts’ formula and in the solved circuit', () => {
    const at = { acVoltsRms: 38.2, packVolts: 37, loopOhm: 0.25, diodeDropVolts: 0.9 }
    const texts = rectifierIntoPack({ ...at, wave: 'half' }).averageAmps / rectifierIntoPack(at).averageAmps
    expect(texts).toBeCloseTo(0.5, 6)
    const amps = (cause?: string) => {
      const p = predict(netlistOf('transformer-timer'), {
        facts: { packVolts: 36, measuredPackVolts: 36 },
        ...(cause ? { cause } : {}),
        carState: { supply: 'on', pack: 'connected', timer: 'wound' } as never,
        instrument: 'clamp-ammeter',
        around: 'dc-cord-positive',
      })
      return p.kind === 'number' ? p.mean : Number.NaN
    }
    expect(amps('diode-1.open') / amps()).toBeCloseTo(texts, 2)
  })

  // Without its resonant capacitor the secondary's peak stays under the pack: no conduction angle, no current.
  it('a transformer whose peak does not reach the pack gives nothing', () => {
    expect(rectifierIntoPack({ acVoltsRms: 19.1, packVolts: 36, loopOhm: 0.25 }).averageAmps).toBe(0)
  })
})

describe('charge time', () => {
  // Ah/A, charge factor and finish: common practice. 225 Ah flooded, half empty.
  it('half the current takes much longer, but not quite twice as long', () => {
    const sound = expectedChargeHours('flooded-lead', 225, 50, 18)
    const half = expectedChargeHours('flooded-lead', 225, 50, 9)
    expect(sound).toBeGreaterThan(8)
    expect(sound).toBeLessThan(12)
    expect(half / sound).toBeGreaterThan(1.5)
    expect(half / sound).toBeLessThan(2)
  })
})

describe('freezing, US Army TM 9-6140-200-14', () => {
  it('the points that the check names are the table’s', () => {
    const text = words('look-for-ice')
    const named = [...text.matchAll(/(1\.\d{3})\s+(?:freezes )?at −(\d+) °C/g)].map(
      (m) => [Number(m[1]), -Number(m[2])] as const,
    )
    expect(named.length).toBe(3)
    for (const [gravity, degreesC] of named) {
      const row = FREEZING_POINTS_F.find(([g]) => g === gravity)!
      expect(Math.round(fahrenheitToCelsius(row[1]))).toBe(degreesC)
    }
  })
  it('a full cell does not freeze where cars are used, a flat one does', () => {
    const note = one(k.causes, 'pack.frozen').text.note!
    expect(note).toMatch(/−7 °C/)
    expect(note).toMatch(/below −50 °C/)
    expect(freezingDegreesC(1.1)).toBeCloseTo(-7.2, 1)
    expect(freezingDegreesC(1.26)).toBeLessThan(-50)
  })
})

describe('specific gravity, Battery Council International', () => {
  it('0.004 for 10 °F, 0.050 between cells', () => {
    const text = words('measure-gravity-after-charge')
    expect(numbers(text, /Add (0\.\d+) for each 10 °F/g)).toEqual([GRAVITY_PER_10_DEGREES_F])
    expect(text).toMatch(/0\.050 under the rest/)
    expect(words('measure-gravity')).toMatch(/0\.004 for each 10 °F above 80 °F/)
    const { reads } = one(k.observables, 'block-gravity-after-charge').quantity!
    const full = reads['full']!
    if (!('from' in full)) throw new Error('full is a range')
    // BCI: 1.265 full; common practice for deep-cycle cells: 1.275 to 1.280.
    for (const g of [1.265, 1.275, 1.28]) {
      expect(g).toBeGreaterThanOrEqual(full.from)
      expect(g).toBeLessThanOrEqual(full.to)
    }
  })
})

describe('discharge minutes', () => {
  it('stops at 1.75 V a cell (BCI deep-cycle test): 18 and 24 cells', () => {
    const text = words('time-a-discharge')
    expect(numbers(text, /([\d.]+) V for (?:36|48) V/g)).toEqual([18 * 1.75, 24 * 1.75])
  })
  it('80 % is the end of life (IEEE 450)', () => {
    const { reads } = one(k.observables, 'block-discharge-minutes').quantity!
    const good = reads['to-rating']!
    const short = reads['short']!
    if (!('from' in good) || !('from' in short)) throw new Error('ranges')
    expect(good.from).toBeGreaterThanOrEqual(80)
    expect(short.to).toBeLessThan(80)
    // A block rated 115 minutes at 75 A that lasts 92 minutes has just 80 %.
    expect(percentOfRatedMinutes(92, 115)).toBeCloseTo(80, 6)
  })
})

describe('extension lead', () => {
  /** Volts lost there and back. */
  const drop = (metres: number, amps: number, ohmPerMetre: number) => 2 * metres * amps * ohmPerMetre

  // NEC chapter 9 table 8 (75 °C) and IEC 60228 (20 °C, flexible).
  it('30 m of AWG 16 at 12 A lose about 11 V of 120: past the 5 % that the notes of NEC 210.19 advise', () => {
    expect(one(k.causes, 'extension-lead.too-thin').text.note).toMatch(
      /30 m of AWG 16 .* at 12 A lose about 11 V of 120/,
    )
    const hot = drop(30, 12, necOhmPerMetre('16')!)
    const cold = drop(30, 12, metricOhmPerMetre(1.5))
    expect(hot).toBeGreaterThan(10.5)
    expect(hot).toBeLessThan(12)
    expect(cold).toBeLessThan(hot)
    expect(hot / 120).toBeGreaterThan(0.05)
    // The outlet's 120 V less this drop reads as "low" to the check.
    const { reads } = one(k.observables, 'supply-volts-loaded.120').quantity!
    const low = reads['low']!
    if (!('to' in low)) throw new Error('a range')
    expect(118 - hot).toBeLessThan(low.to)
  })
  it('the lead that the remedy fits loses under 3 %', () => {
    const text = [
      one(k.remedies, 'replace-extension-lead').part.name,
      ...one(k.remedies, 'replace-extension-lead').text.steps,
    ].join(' ')
    expect(text).toMatch(/15 m of AWG 12 or 2\.5 mm²/)
    expect(drop(15, 12, necOhmPerMetre('12')!) / 120).toBeLessThan(0.03)
    expect(drop(15, 8, metricOhmPerMetre(2.5)) / 230).toBeLessThan(0.03)
  })
  it.each([
    [120, 114],
    [230, 218.5],
  ])('%i V: what holds is the nominal less 5 %% (%f V)', (volts, least) => {
    const { reads } = one(k.observables, `supply-volts-loaded.${volts}`).quantity!
    const holdsFrom = reads['holds']!
    if (!('from' in holdsFrom)) throw new Error('a range')
    expect(Math.abs(holdsFrom.from - least)).toBeLessThanOrEqual(1)
    expect(words(`measure-supply-loaded.${volts}`)).toContain(`${holdsFrom.from} V or more`)
  })
})

describe('the capacitor’s discharge', () => {
  // e^(−t/RC): after five time constants under 1 % is left, any text on circuits.
  it('20 kΩ and ten seconds take 10 µF from 700 V under 1 V, and the resistor stays within a 5 W part’s short overload', () => {
    const caution = one(k.cautions, 'charger-open').text.act.join(' ')
    expect(caution).toMatch(/20 kΩ, 5 W .* ten seconds/)
    const [ohm, farad, volts] = [20_000, 10e-6, 700]
    expect(volts * Math.exp(-10 / (ohm * farad))).toBeLessThan(1)
    expect(volts * Math.exp(-5)).toBeLessThan(5)
    // All its energy, in joules, is a fraction of what the resistor takes in a second.
    expect(0.5 * farad * volts ** 2).toBeLessThan(5)
  })
})

describe('the plug', () => {
  it('0.4 Ω in it halve the current and turn some 25 W into heat (Joule: P = I²R, by the circuit’s amperes)', () => {
    const p = (cause?: string) => {
      const x = predict(netlistOf('transformer-timer'), {
        facts: { packVolts: 36, measuredPackVolts: 36 },
        ...(cause ? { cause } : {}),
        carState: { supply: 'on', pack: 'connected', timer: 'wound' } as never,
        instrument: 'clamp-ammeter',
        around: 'dc-cord-positive',
      })
      return x.kind === 'number' ? x.mean : Number.NaN
    }
    const amps = p('charge-plug.poor-contact')
    expect(amps / p()).toBeCloseTo(0.45, 1)
    const note = one(k.causes, 'charge-plug.poor-contact').text.note!
    const [watts] = numbers(note, /some (\d+) W/g)
    expect(Math.abs(amps ** 2 * 0.4 - watts!)).toBeLessThan(3)
  })
})
