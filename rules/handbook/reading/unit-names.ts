import { type Dimension, dimensionOf, isUnit, type Unit } from '../units.ts'

/**
 * Names in small letters; what a person may type for each unit. "mil" is missing on purpose: a thousandth of an inch to
 * one trade, a millimetre to another.
 */
const NAMES: Readonly<Record<Unit, readonly string[]>> = {
  mV: ['mv', 'millivolt', 'millivolts'],
  V: ['v', 'volt', 'volts', 'vdc', 'vac', 'vdcs', 'voltsdc', 'voltsac', 'dcvolts', 'acvolts', 'dcv', 'acv', 'vs'],
  kV: ['kv', 'kilovolt', 'kilovolts'],
  mA: ['ma', 'milliamp', 'milliamps', 'milliampere', 'milliamperes'],
  A: ['a', 'amp', 'amps', 'ampere', 'amperes', 'adc', 'aac', 'ampsdc', 'ampsac'],
  mΩ: ['mΩ', 'milliohm', 'milliohms', 'mΩs'],
  Ω: ['Ω', 'ohm', 'ohms', 'oms', 'Ωs'],
  kΩ: ['kΩ', 'kohm', 'kohms', 'kilohm', 'kilohms', 'kiloohm', 'kiloohms', 'kΩs'],
  MΩ: ['meg', 'megs', 'megohm', 'megohms', 'megaohm', 'megaohms', 'megΩ', 'megaΩ'],
  GΩ: ['gΩ', 'gohm', 'gohms', 'gig', 'gigs', 'gigohm', 'gigohms', 'gigaohm', 'gigaohms'],
  mAh: ['mah', 'milliamphours', 'milliamperehours'],
  Ah: ['ah', 'amphour', 'amphours', 'amperehour', 'amperehours'],
  nF: ['nf', 'nanofarad', 'nanofarads'],
  µF: ['µf', 'uf', 'mfd', 'microfarad', 'microfarads'],
  W: ['w', 'watt', 'watts'],
  kW: ['kw', 'kilowatt', 'kilowatts'],
  Wh: ['wh', 'watthour', 'watthours'],
  kWh: ['kwh', 'kilowatthour', 'kilowatthours'],
  '°C': [
    '°c',
    'c',
    'degc',
    'degreec',
    'degreesc',
    'degcelsius',
    'degreescelsius',
    'degreecelsius',
    'celsius',
    'centigrade',
    'degreescentigrade',
  ],
  '°F': [
    '°f',
    'f',
    'degf',
    'degreef',
    'degreesf',
    'degreesfahrenheit',
    'degreefahrenheit',
    'degfahrenheit',
    'fahrenheit',
  ],
  s: ['s', 'sec', 'secs', 'second', 'seconds'],
  min: ['min', 'mins', 'minute', 'minutes'],
  h: ['h', 'hr', 'hrs', 'hour', 'hours'],
  mm: ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'],
  cm: ['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'],
  m: ['metre', 'metres', 'meter', 'meters'],
  in: ['in', 'inch', 'inches', '"', '″'],
  ft: ['ft', 'foot', 'feet', "'", '′'],
  kPa: ['kpa', 'kilopascal', 'kilopascals'],
  bar: ['bar', 'bars'],
  psi: ['psi', 'pounds', 'pound', 'lb', 'lbs', 'poundspersquareinch'],
  'km/h': ['kmh', 'kph', 'km/h', 'kilometresanhour', 'kilometersanhour'],
  mph: ['mph', 'milesanhour', 'milesperhour'],
  rpm: ['rpm', 'revs', 'turnsaminute'],
  Hz: ['hz', 'hertz', 'cycles'],
  kHz: ['khz', 'kilohertz'],
  SG: ['sg', 'specificgravity', 'gravity'],
  '%': ['%', 'percent', 'percentage', 'pct'],
}
const BY_NAME = new Map<string, Unit>()
for (const [unit, names] of Object.entries(NAMES)) {
  for (const name of names) if (isUnit(unit)) BY_NAME.set(name, unit)
}

/** Names whose meaning hangs on the quantity asked for. `exact`: as typed, with its capitals. */
function byQuantity(exact: string, wanted: Dimension): readonly Unit[] | undefined {
  if (wanted === 'resistance') {
    if (/^(MΩ|MΩs|M[oO][hH][mM][sS]?|M)$/.test(exact)) return ['MΩ']
    if (/^[kK]$/.test(exact)) return ['kΩ']
    if (/^[rR]$/.test(exact)) return ['Ω']
    // Nine noughts apart, and the small letter is as often a slip as meant.
    if (/^(mohms?|m)$/.test(exact)) return ['mΩ', 'MΩ']
  }
  if (wanted === 'length' && /^[mM]$/.test(exact)) return ['m']
  if (wanted === 'time' && /^[mM]$/.test(exact)) return ['min']
  if (wanted === 'temperature' && /^(°|deg|degs|degree|degrees)$/i.test(exact)) return ['°C', '°F']
  if (wanted === 'specific-gravity' && /^(points?|pts?)$/i.test(exact)) return ['SG']
  return undefined
}

/**
 * The units that `typed` may name, given the quantity asked for; none if it is no unit. Case matters only where it
 * makes a difference (mΩ and MΩ); two come back where a person must say which.
 */
export function unitsNamed(typed: string, wanted: Dimension): readonly Unit[] {
  if (typed === 'Mohm' || typed === 'Mohms' || /^M(Ω|Ωs|OHMS?)$/.test(typed)) return ['MΩ']
  const special = byQuantity(typed, wanted)
  if (special !== undefined) return special
  const small = typed.toLowerCase().replaceAll('ω', 'Ω')
  if (small === 'mohm' || small === 'mohms') return ['mΩ', 'MΩ']
  const unit = BY_NAME.get(small)
  return unit === undefined ? [] : [unit]
}

/** True if the unit measures what is asked for. */
export const fits = (unit: Unit, wanted: Dimension): boolean => dimensionOf(unit) === wanted
