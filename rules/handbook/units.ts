import convert from 'convert-units'
import { OutOfRange } from './out-of-range.ts'

export type Dimension =
  | 'voltage'
  | 'current'
  | 'resistance'
  | 'power'
  | 'energy'
  | 'charge'
  | 'capacitance'
  | 'temperature'
  | 'time'
  | 'length'
  | 'pressure'
  | 'speed'
  | 'rotation'
  | 'frequency'
  | 'specific-gravity'
  | 'share'

interface UnitFacts {
  readonly dimension: Dimension
  /** The plural in plain English, for messages. */
  readonly words: string
  /** The name that convert-units knows it by; without one, `factor` to the dimension's base unit. */
  readonly library?: convert.Unit
  readonly factor?: number
}

const FACTS = {
  mV: { dimension: 'voltage', words: 'millivolts', library: 'mV' },
  V: { dimension: 'voltage', words: 'volts', library: 'V' },
  kV: { dimension: 'voltage', words: 'kilovolts', library: 'kV' },
  mA: { dimension: 'current', words: 'milliamperes', library: 'mA' },
  A: { dimension: 'current', words: 'amperes', library: 'A' },
  // convert-units 2 has no resistance, charge or capacitance: SI prefixes, so plain factors.
  mΩ: { dimension: 'resistance', words: 'milliohms', factor: 1e-3 },
  Ω: { dimension: 'resistance', words: 'ohms', factor: 1 },
  kΩ: { dimension: 'resistance', words: 'kilohms', factor: 1e3 },
  MΩ: { dimension: 'resistance', words: 'megohms', factor: 1e6 },
  GΩ: { dimension: 'resistance', words: 'gigohms', factor: 1e9 },
  mAh: { dimension: 'charge', words: 'milliampere-hours', factor: 1e-3 },
  Ah: { dimension: 'charge', words: 'ampere-hours', factor: 1 },
  nF: { dimension: 'capacitance', words: 'nanofarads', factor: 1e-3 },
  µF: { dimension: 'capacitance', words: 'microfarads', factor: 1 },
  W: { dimension: 'power', words: 'watts', library: 'W' },
  kW: { dimension: 'power', words: 'kilowatts', library: 'kW' },
  Wh: { dimension: 'energy', words: 'watt-hours', library: 'Wh' },
  kWh: { dimension: 'energy', words: 'kilowatt-hours', library: 'kWh' },
  '°C': { dimension: 'temperature', words: 'degrees Celsius', library: 'C' },
  '°F': { dimension: 'temperature', words: 'degrees Fahrenheit', library: 'F' },
  s: { dimension: 'time', words: 'seconds', library: 's' },
  min: { dimension: 'time', words: 'minutes', library: 'min' },
  h: { dimension: 'time', words: 'hours', library: 'h' },
  mm: { dimension: 'length', words: 'millimetres', library: 'mm' },
  cm: { dimension: 'length', words: 'centimetres', library: 'cm' },
  m: { dimension: 'length', words: 'metres', library: 'm' },
  in: { dimension: 'length', words: 'inches', library: 'in' },
  ft: { dimension: 'length', words: 'feet', library: 'ft' },
  kPa: { dimension: 'pressure', words: 'kilopascals', library: 'kPa' },
  bar: { dimension: 'pressure', words: 'bar', library: 'bar' },
  psi: { dimension: 'pressure', words: 'pounds per square inch', library: 'psi' },
  'km/h': { dimension: 'speed', words: 'kilometres an hour', library: 'km/h' },
  // The library's `m/h` is miles an hour.
  mph: { dimension: 'speed', words: 'miles an hour', library: 'm/h' },
  rpm: { dimension: 'rotation', words: 'turns a minute', factor: 1 },
  Hz: { dimension: 'frequency', words: 'hertz', library: 'Hz' },
  kHz: { dimension: 'frequency', words: 'kilohertz', library: 'kHz' },
  SG: { dimension: 'specific-gravity', words: 'specific gravity', factor: 1 },
  '%': { dimension: 'share', words: 'per cent', factor: 1 },
} as const satisfies Record<string, UnitFacts>

export type Unit = keyof typeof FACTS
export const UNITS = Object.keys(FACTS) as readonly Unit[]

const facts = (unit: Unit): UnitFacts => FACTS[unit]

/** True if `text` is exactly one of our unit symbols (Ω is U+03A9, µ U+00B5). */
export const isUnit = (text: string): text is Unit => Object.hasOwn(FACTS, text)
export const dimensionOf = (unit: Unit): Dimension => facts(unit).dimension
export const unitWords = (unit: Unit): string => facts(unit).words
export const unitsOf = (dimension: Dimension): readonly Unit[] => UNITS.filter((u) => dimensionOf(u) === dimension)

/**
 * `value` of unit `from` in unit `to`. Unit conversion is the library convert-units; its last digits wobble
 * (26.6667 °C comes back as 80.00005999999999 °F), so the result is rounded to 12 significant digits; its foot is
 * 3e-8 short, so lengths between metric and inches are rounded to 7.
 * Throws OutOfRange if the two units do not measure the same thing.
 */
export function convertUnit(value: number, from: Unit, to: Unit): number {
  if (from === to) return value
  const a = facts(from)
  const b = facts(to)
  if (a.dimension !== b.dimension) {
    throw new OutOfRange(`${a.words} as ${b.words}`, value, `${a.dimension} cannot be turned into ${b.dimension}.`)
  }
  const raw =
    a.library !== undefined && b.library !== undefined
      ? convert(value).from(a.library).to(b.library)
      : (value * a.factor!) / b.factor!
  return Number(raw.toPrecision(a.dimension === 'length' ? 7 : 12))
}

export const fahrenheitToCelsius = (degreesF: number): number => convertUnit(degreesF, '°F', '°C')
export const celsiusToFahrenheit = (degreesC: number): number => convertUnit(degreesC, '°C', '°F')
