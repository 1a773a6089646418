import type { Unit } from './units.ts'

export type InstrumentId =
  | 'voltmeter'
  | 'voltmeter-ac'
  | 'ohmmeter'
  | 'test-lamp'
  | 'clamp-ammeter'
  | 'hydrometer'
  | 'thermometer'
  | 'insulation-tester'
  | 'capacitance-meter'
  | 'load-tester'
  | 'stopwatch'
  | 'tape-measure'
  | 'feeler-gauge'

/** A range of the instrument: readings up to `upTo` (its unit) show steps of `resolution`. */
export interface InstrumentRange {
  readonly upTo: number
  readonly resolution: number
}

export interface Instrument {
  readonly id: InstrumentId
  readonly words: string
  /** What its readings are kept in; null for an instrument that shows words, not a number. */
  readonly unit: Unit | null
  /** Least and greatest reading, in `unit`. A negative least: the reading may carry a minus sign. */
  readonly min: number
  readonly max: number
  /** Rising `upTo`; the last `upTo` is `max`. */
  readonly ranges: readonly InstrumentRange[]
  /** ± share of the reading, and ± counts of the last digit. */
  readonly tolerance: { readonly ofReading: number; readonly counts: number }
  readonly source: string
}

const DMM = 'common practice, no source (data-sheet accuracy of ordinary hand-held meters)'
const PRACTICE = 'common practice, no source'

const LIST: readonly Instrument[] = [
  {
    id: 'voltmeter',
    words: 'voltmeter on DC',
    unit: 'V',
    min: -600,
    max: 600,
    ranges: [
      { upTo: 0.6, resolution: 0.0001 },
      { upTo: 6, resolution: 0.001 },
      { upTo: 60, resolution: 0.01 },
      { upTo: 600, resolution: 0.1 },
    ],
    tolerance: { ofReading: 0.005, counts: 3 },
    source: DMM,
  },
  {
    id: 'voltmeter-ac',
    words: 'voltmeter on AC',
    unit: 'V',
    min: 0,
    max: 600,
    ranges: [
      { upTo: 6, resolution: 0.001 },
      { upTo: 60, resolution: 0.01 },
      { upTo: 600, resolution: 0.1 },
    ],
    tolerance: { ofReading: 0.01, counts: 4 },
    source: DMM,
  },
  {
    id: 'ohmmeter',
    words: 'ohmmeter',
    unit: 'Ω',
    min: 0,
    max: 40e6,
    ranges: [
      { upTo: 600, resolution: 0.1 },
      { upTo: 6e3, resolution: 1 },
      { upTo: 60e3, resolution: 10 },
      { upTo: 600e3, resolution: 100 },
      { upTo: 6e6, resolution: 1e3 },
      { upTo: 40e6, resolution: 10e3 },
    ],
    tolerance: { ofReading: 0.009, counts: 2 },
    source: DMM,
  },
  {
    id: 'test-lamp',
    words: 'test lamp',
    unit: null,
    min: 0,
    max: 0,
    ranges: [],
    tolerance: { ofReading: 0, counts: 0 },
    source: 'shows off, dim, part or full; no number',
  },
  {
    id: 'clamp-ammeter',
    words: 'clamp ammeter on DC',
    unit: 'A',
    min: -1000,
    max: 1000,
    ranges: [
      { upTo: 60, resolution: 0.01 },
      { upTo: 600, resolution: 0.1 },
      { upTo: 1000, resolution: 1 },
    ],
    tolerance: { ofReading: 0.02, counts: 5 },
    source: DMM,
  },
  {
    id: 'hydrometer',
    words: 'hydrometer',
    unit: 'SG',
    min: 1.0,
    max: 1.4,
    ranges: [{ upTo: 1.4, resolution: 0.005 }],
    tolerance: { ofReading: 0, counts: 1 },
    source: `${PRACTICE} (float graduated in 0.005)`,
  },
  {
    id: 'thermometer',
    words: 'thermometer',
    unit: '°C',
    min: -40,
    max: 400,
    ranges: [{ upTo: 400, resolution: 0.1 }],
    tolerance: { ofReading: 0.02, counts: 20 },
    source: `${PRACTICE} (infrared: ±2 °C and 2 % together, to be cautious)`,
  },
  {
    id: 'insulation-tester',
    words: 'insulation tester',
    unit: 'MΩ',
    min: 0,
    max: 10_000,
    ranges: [
      { upTo: 6, resolution: 0.001 },
      { upTo: 60, resolution: 0.01 },
      { upTo: 600, resolution: 0.1 },
      { upTo: 10_000, resolution: 10 },
    ],
    tolerance: { ofReading: 0.03, counts: 5 },
    source: DMM,
  },
  {
    id: 'capacitance-meter',
    words: 'capacitance range of the meter',
    unit: 'µF',
    min: 0,
    max: 10_000,
    ranges: [
      { upTo: 6, resolution: 0.001 },
      { upTo: 60, resolution: 0.01 },
      { upTo: 600, resolution: 0.1 },
      { upTo: 10_000, resolution: 10 },
    ],
    tolerance: { ofReading: 0.02, counts: 5 },
    source: DMM,
  },
  {
    id: 'load-tester',
    words: "load tester's voltmeter",
    unit: 'V',
    min: -1,
    max: 100,
    ranges: [{ upTo: 100, resolution: 0.1 }],
    tolerance: { ofReading: 0.01, counts: 1 },
    source: `${PRACTICE} (ordinary hand-held load testers)`,
  },
  {
    id: 'stopwatch',
    words: 'stopwatch',
    unit: 'min',
    min: 0,
    max: 2880,
    ranges: [{ upTo: 2880, resolution: 0.01 }],
    tolerance: { ofReading: 0, counts: 5 },
    source: `${PRACTICE} (a few seconds of the hand)`,
  },
  {
    id: 'tape-measure',
    words: 'tape measure',
    unit: 'mm',
    min: 0,
    max: 10_000,
    ranges: [{ upTo: 10_000, resolution: 0.5 }],
    tolerance: { ofReading: 0, counts: 1 },
    source: `${PRACTICE} (half a division, read by eye)`,
  },
  {
    id: 'feeler-gauge',
    words: 'feeler gauge',
    unit: 'mm',
    min: 0,
    max: 10,
    ranges: [{ upTo: 10, resolution: 0.05 }],
    tolerance: { ofReading: 0, counts: 1 },
    source: `${PRACTICE} (one leaf)`,
  },
]

/** Every instrument that a check may ask for. */
export const INSTRUMENTS = Object.fromEntries(LIST.map((i) => [i.id, i])) as Readonly<Record<InstrumentId, Instrument>>
export const INSTRUMENT_IDS: readonly InstrumentId[] = LIST.map((i) => i.id)
export const isInstrument = (text: string): text is InstrumentId => Object.hasOwn(INSTRUMENTS, text)

/** Smallest step that the instrument shows at `value` (its unit), on the range an autoranging meter picks. */
export function resolutionAt(instrument: Instrument, value: number): number {
  const size = Math.abs(value)
  const range = instrument.ranges.find((r) => size <= r.upTo) ?? instrument.ranges.at(-1)
  return range?.resolution ?? 0
}

/** ± of the instrument at `value`, in its unit. 0 for one that shows words. */
export const toleranceAt = (instrument: Instrument, value: number): number =>
  instrument.tolerance.ofReading * Math.abs(value) + instrument.tolerance.counts * resolutionAt(instrument, value)
