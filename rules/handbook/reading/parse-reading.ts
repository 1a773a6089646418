import { INSTRUMENTS, type Instrument, isInstrument } from '../instruments.ts'
import { convertUnit, type Dimension, dimensionOf, type Unit, unitsOf, unitWords } from '../units.ts'
import { readDigits, readSpokenDigits, readWholeWords } from './numerals.ts'
import * as phrases from './phrases.ts'
import { type Token, tokenise } from './tokens.ts'
import type { Expected, Note, ParsedReading, ProblemCode, Reading, ReadingProblem, Suggestion } from './types.ts'
import { unitsNamed } from './unit-names.ts'

export const GREATEST_LENGTH = 120

/** A number with what stood beside it. */
interface Quantity {
  readonly values: readonly number[]
  readonly step: number
  readonly negative: boolean
  /** Units that its unit may mean; empty without one. */
  readonly units: readonly Unit[]
  /** The unit as typed, or the word that stood in its place. */
  readonly unitText: string
  readonly unknownUnit: boolean
  /** What stood between this number and the one before it. */
  readonly joint: 'range' | 'tolerance' | 'and' | 'colon' | 'none'
}

interface Sentence {
  readonly quantities: readonly Quantity[]
  readonly approximate: boolean
  readonly bound: 'at-least' | 'at-most' | null
  readonly between: boolean
  readonly negated: boolean
  readonly malformed: string | null
  readonly twoUnits: string | null
  readonly overRange: boolean
}

/** Kept short, so that a message can repeat it. */
const quote = (typed: string): string => (typed.length > 40 ? `${typed.slice(0, 39)}…` : typed)
export const formatNumber = (value: number): string => String(Number(value.toPrecision(6)))
const withUnit = (value: number, unit: Unit): string =>
  unit === 'SG' ? value.toFixed(3) : `${formatNumber(value)} ${unit}`

const wanted = (unit: Unit): string =>
  unit === 'SG' ? 'a specific gravity such as 1.265' : `${unitWords(unit)} (${unit})`

/** Units of one letter that are words or letters of other meaning too: only taken right after a number. */
const isStrongUnit = (text: string): boolean =>
  text.length > 1 ? !/^(in|as|oms|revs|gig|gigs|cycles|pound|pounds|gravity)$/i.test(text) : /^[VΩA%]$/.test(text)

function readUnitAt(
  tokens: readonly Token[],
  at: number,
  dimension: Dimension,
): { units: readonly Unit[]; text: string; next: number } | null {
  for (let count = 3; count >= 1; count--) {
    const run = tokens.slice(at, at + count)
    if (run.length < count) continue
    const isQuote = count === 1 && run[0]!.kind === 'sign' && /^["″'′]$/.test(run[0]!.text) && run[0]!.glued
    if (!isQuote && run.some((t) => t.kind !== 'word')) continue
    const text = run.map((t) => t.text).join('')
    const units = unitsNamed(text, dimension)
    if (units.length > 0) return { units, text: run.map((t) => t.text).join(' '), next: at + count }
  }
  return null
}

interface NumberRead {
  readonly values: readonly number[]
  readonly step: number
  readonly next: number
  readonly unit?: Unit
}

/** IEC 60062: the unit's letter in place of the point (4k7, 0R22, 31V2). */
function readLetterCode(tokens: readonly Token[], at: number, dimension: Dimension): NumberRead | null {
  const [whole, letter, part] = tokens.slice(at, at + 3)
  if (whole?.kind !== 'number' || letter?.kind !== 'word' || part?.kind !== 'number') return null
  if (!letter.glued || !part.glued || !/^\d+$/.test(whole.text + part.text)) return null
  const unit: Unit | undefined =
    dimension === 'voltage' && /^[vV]$/.test(letter.text)
      ? 'V'
      : dimension === 'resistance'
        ? ({ r: 'Ω', R: 'Ω', k: 'kΩ', K: 'kΩ', M: 'MΩ' } as const)[letter.text as 'r']
        : undefined
  if (unit === undefined) return null
  return { values: [Number(`${whole.text}.${part.text}`)], step: 10 ** -part.text.length, next: at + 3, unit }
}

/** "and a half", "and a quarter", "and three quarters" after a number. */
function readFraction(words: readonly string[], at: number): { value: number; next: number } | null {
  if (words[at] !== 'and') return null
  const skip = words[at + 1] === 'a' || words[at + 1] === 'one' ? 2 : 1
  if (words[at + skip] === 'half') return { value: 0.5, next: at + skip + 1 }
  if (words[at + skip] === 'quarter') return { value: 0.25, next: at + skip + 1 }
  if (words[at + 1] === 'three' && /^quarters?$/.test(words[at + 2] ?? '')) return { value: 0.75, next: at + 3 }
  return null
}

function readNumberAt(
  tokens: readonly Token[],
  words: readonly string[],
  at: number,
  dimension: Dimension,
): NumberRead | 'malformed' | null {
  const token = tokens[at]
  if (token === undefined) return null
  const code = readLetterCode(tokens, at, dimension)
  if (code !== null) return code
  let values: readonly number[]
  let step = 1
  let next = at + 1
  if (token.kind === 'number') {
    const numeral = readDigits(token.text)
    if (numeral === null) return 'malformed'
    values = numeral.values
    step = numeral.step
    const scale =
      words[next] === 'hundred' ? 100 : words[next] === 'thousand' ? 1000 : words[next] === 'million' ? 1e6 : 1
    if (scale > 1) {
      values = values.map((v) => v * scale)
      step *= scale
      next += 1
    }
  } else if (words[at] === 'half' || words[at] === 'quarter') {
    const after = /^(a|an|of)$/.test(words[next] ?? '') ? next + 1 : next
    return { values: [words[at] === 'half' ? 0.5 : 0.25], step: 0.25, next: after }
  } else if (words[at] === 'point' || words[at] === 'decimal') {
    const digits = readSpokenDigits(words, next)
    if (digits === null) return null
    return { values: [Number(`0.${digits.digits}`)], step: 10 ** -digits.digits.length, next: digits.next }
  } else {
    const whole = readWholeWords(words, at)
    if (whole === null) return null
    values = [whole.value]
    next = whole.next
  }
  if (/^(point|dot|decimal|comma)$/.test(words[next] ?? '') && values.length === 1 && Number.isInteger(values[0])) {
    const digits = readSpokenDigits(words, next + 1)
    if (digits !== null) {
      return { values: [Number(`${values[0]}.${digits.digits}`)], step: 10 ** -digits.digits.length, next: digits.next }
    }
  }
  const fraction = readFraction(words, next)
  if (fraction !== null) return { values: values.map((v) => v + fraction.value), step: 0.25, next: fraction.next }
  return { values, step, next }
}

function phraseAt(words: readonly string[], at: number, list: readonly string[]): number {
  for (const phrase of list) {
    const parts = phrase.split(' ')
    if (parts.every((part, i) => words[at + i] === part)) return parts.length
  }
  return 0
}

/** One pass over the pieces, left to right. */
function readSentence(tokens: readonly Token[], dimension: Dimension, skipLabels = true): Sentence {
  const words = tokens.map((t) => (t.kind === 'word' ? t.text.toLowerCase() : t.text))
  const quantities: Quantity[] = []
  let approximate = false
  let bound: Sentence['bound'] = null
  let between = false
  let negated = false
  let malformed: string | null = null
  let twoUnits: string | null = null
  let overRange = false
  let joint: Quantity['joint'] = 'none'
  let leading: { units: readonly Unit[]; text: string } | null = null
  let negative = false

  for (let at = 0; at < tokens.length; ) {
    const token = tokens[at]!
    const word = words[at]!
    if (word === '-') {
      if (quantities.length > 0 && joint === 'none') joint = 'range'
      else negative = true
      at += 1
      continue
    }
    if (word === 'minus' || word === 'negative') {
      negative = true
      at += 1
      continue
    }
    // "31 V on step 3": a name of a place; "battery 6 V" is a reading.
    if (
      skipLabels &&
      phrases.LABELS.has(word) &&
      /^\d{1,3}$/.test(words[at + 1] ?? '') &&
      readUnitAt(tokens, at + 2, dimension) === null
    ) {
      at += 2
      continue
    }
    const read = readNumberAt(tokens, words, at, dimension)
    if (read === 'malformed') {
      malformed = token.text
      at += 1
      continue
    }
    if (read !== null) {
      const loose = phraseAt(words, read.next, phrases.LOOSE_ENDS)
      if (loose > 0) approximate = true
      const named = read.unit === undefined ? readUnitAt(tokens, read.next + loose, dimension) : null
      let next = named?.next ?? read.next + loose
      const beside = tokens[next]
      let units: readonly Unit[] = read.unit !== undefined ? [read.unit] : (named?.units ?? [])
      let unitText = read.unit ?? named?.text ?? ''
      let unknownUnit = false
      if (units.length > 0 && beside?.kind === 'word' && isStrongUnit(beside.text)) {
        const second = unitsNamed(beside.text, dimension)
        if (second.length > 0 && dimensionOf(second[0]!) !== dimensionOf(units[0]!))
          twoUnits = `${unitText} and ${beside.text}`
      }
      if (units.length === 0 && leading !== null) {
        units = leading.units
        unitText = leading.text
      } else if (
        units.length === 0 &&
        beside?.kind === 'word' &&
        !phrases.FILLERS.has(words[next]!) &&
        !phrases.RANGE_MARKS.has(words[next]!) &&
        !phrases.ABOUT.has(words[next]!)
      ) {
        unknownUnit = true
        unitText = beside.text
        next += 1
      }
      quantities.push({ values: read.values, step: read.step, negative, units, unitText, unknownUnit, joint })
      negative = false
      joint = 'none'
      leading = null
      at = next
      continue
    }
    const more = phraseAt(words, at, phrases.MORE)
    const less = more === 0 ? phraseAt(words, at, phrases.LESS) : 0
    if (quantities.length === 0 && more + less > 0) {
      const before = words[at - 1] ?? ''
      const soft = /^(just|slightly|bit|little|tad)$/.test(before)
      const turned = before === 'not'
      if (soft) approximate = true
      else if (more > 0 !== turned) bound = 'at-least'
      else bound = 'at-most'
      if (turned) negated = false
      at += more + less
      continue
    }
    if (phrases.ABOUT.has(word)) approximate = true
    else if (phrases.NEGATIONS.has(word)) negated = true
    else if (word === 'between' || word === 'from') between = quantities.length === 0 || between
    else if (/^(ol|overload)$/.test(word)) overRange = true
    else if (phrases.RANGE_MARKS.has(word) && quantities.length > 0) joint = 'range'
    else if (word === '±') joint = 'tolerance'
    else if (word === 'and') joint = 'and'
    else if (word === ':' && token.glued) joint = 'colon'
    else if (token.kind === 'word' && isStrongUnit(token.text)) {
      const units = unitsNamed(token.text, dimension)
      if (units.length > 0 && quantities.length === 0) leading = { units, text: token.text }
    }
    at += 1
  }
  if (quantities.length === 0 && skipLabels) return readSentence(tokens, dimension, false)
  return { quantities, approximate, bound, between, negated, malformed, twoUnits, overRange }
}

/** Least value that makes sense without an instrument. */
const LEAST: Readonly<Partial<Record<Dimension, number>>> = {
  voltage: Number.NEGATIVE_INFINITY,
  current: Number.NEGATIVE_INFINITY,
  power: Number.NEGATIVE_INFINITY,
  temperature: -273.15,
}

interface Limits {
  readonly min: number
  readonly max: number
  /** For messages: "the voltmeter on DC", or "this check". */
  readonly whose: string
}

const instrumentOf = ({ instrument }: Expected): Instrument | undefined =>
  instrument !== undefined && isInstrument(instrument) ? INSTRUMENTS[instrument] : undefined

function limitsOf(expected: Expected): Limits {
  const dimension = dimensionOf(expected.expects)
  let min = dimension === 'temperature' ? convertUnit(-273.15, '°C', expected.expects) : (LEAST[dimension] ?? 0)
  let max = Number.POSITIVE_INFINITY
  let whose = 'this check'
  const instrument = instrumentOf(expected)
  if (instrument?.unit != null && dimensionOf(instrument.unit) === dimension) {
    min = convertUnit(instrument.min, instrument.unit, expected.expects)
    max = convertUnit(instrument.max, instrument.unit, expected.expects)
    whose = `the ${instrument.words}`
  }
  if (expected.min !== undefined && expected.min > min) min = expected.min
  if (expected.max !== undefined && expected.max < max) {
    max = expected.max
    whose = 'this check'
  }
  return { min, max, whose }
}

interface Candidate {
  readonly value: number
  /** As typed: the figure before conversion, and the unit that it was taken to be in. */
  readonly raw: number
  readonly unit: Unit
  readonly step: number
  readonly points: boolean
}

/** Every way to read a quantity in the unit asked for. `units`: what its unit may mean. */
function candidatesOf(quantity: Quantity, units: readonly Unit[], expects: Unit): Candidate[] {
  const out: Candidate[] = []
  for (const unit of units) {
    for (const raw of quantity.values) {
      const signed = quantity.negative ? -raw : raw
      // The trade says "twelve sixty-five" and types 1265; no hydrometer reads above 1.4.
      const points = unit === 'SG' && raw >= 900 && raw <= 1500
      const value = points ? signed / 1000 : convertUnit(signed, unit, expects)
      const step = points
        ? quantity.step / 1000
        : Math.abs(convertUnit(signed + quantity.step, unit, expects) - convertUnit(signed, unit, expects))
      if (!out.some((c) => c.value === value))
        out.push({ value, raw: points ? value : signed, unit, step: Number(step.toPrecision(6)), points })
    }
  }
  return out
}

/**
 * Reads what a person typed as a reading. Takes figures with a point or a decimal comma ("31,2 V"), prefixes ("4.7 kΩ",
 * "200 mV", "4k7"), words ("12 point 4 volts", "twelve and a half"), "about", ranges ("between 30 and 31"), limits
 * ("less than 1 ohm"), a meter's over-range sign ("OL"), a hydrometer in points ("1265"), hours with minutes. The value
 * comes back in `expected.expects`; what was understood beyond the plain figure stands in `notes`.
 *
 * Anything else is a problem with a code, a message that says what was wrong and what to do, and, where one can be
 * made, suggestions. Never throws on text.
 */
export function parseReading(typed: string, expected: Expected): ParsedReading {
  const { expects } = expected
  const dimension = dimensionOf(expects)
  const limits = limitsOf(expected)
  const problem = (
    code: ProblemCode,
    wrong: string,
    mend: string,
    suggestions: readonly Suggestion[] = [],
  ): ReadingProblem => ({
    ok: false,
    code,
    wrong,
    mend,
    message: `${wrong} ${mend}`,
    suggestions,
    typed,
  })
  const inRange = (value: number): boolean => Number.isFinite(value) && value >= limits.min && value <= limits.max
  const suggest = (value: number, unit: Unit): Suggestion => ({
    value,
    unit,
    text: unit === 'SG' ? withUnit(value, unit) : `${Number(value.toPrecision(12))} ${unit}`,
  })
  /** A bare number in each unit that it could have been meant in, the one asked for first. */
  const suggestUnits = (q: Quantity): readonly Suggestion[] =>
    [expects, ...unitsOf(dimension).filter((u) => u !== expects)]
      .flatMap((u) => q.values.map((v): [number, Unit] => [q.negative ? -v : v, u]))
      .filter(([v, u]) => inRange(convertUnit(v, u, expects)))
      .slice(0, 3)
      .map(([v, u]) => suggest(v, u))

  const text = typed.trim()
  const instrument = instrumentOf(expected)
  if (instrument?.unit === null) {
    return problem(
      'not-a-number-instrument',
      `The ${instrument.words} shows words, not a number.`,
      'Pick what it shows.',
    )
  }
  if (text === '') return problem('empty', `Nothing was typed.`, `Type the reading in ${wanted(expects)}.`)
  if (text.length > GREATEST_LENGTH) {
    return problem(
      'too-long',
      `That is ${text.length} characters; a reading has ${GREATEST_LENGTH} at most.`,
      `Type the number and its unit, and put the rest in a note.`,
    )
  }
  const bare = text
    .toLowerCase()
    .replace(/n['’]t\b/g, 'nt')
    .replace(/[\s.!]+$/, '')
    .replace(/\s+/g, ' ')
  if (phrases.DONT_KNOW.test(bare)) {
    return problem('no-number', `“${quote(text)}” is no reading.`, `If you cannot measure it, pick “don’t know”.`)
  }

  const notes: Note[] = []
  const answer = (c: { value: number; step: number }, more: Partial<Reading> = {}): Reading => ({
    ok: true,
    value: c.value,
    unit: expects,
    approximate: false,
    step: c.step,
    notes,
    typed,
    ...more,
  })

  const displayed = bare.replace(/\s?(volts?|v|amps?|a|ohms?|Ω|kΩ|mΩ|ω|kω|mω|meg(ohms?)?)$/u, '')
  if (phrases.OVER_RANGE.test(bare) || phrases.OVER_RANGE.test(displayed)) {
    if (dimension !== 'resistance') {
      return problem(
        'over-range-display',
        `The meter shows more than its range can hold.`,
        `Turn it to a higher range, measure again, and type the figure in ${wanted(expects)}.`,
      )
    }
    const top = Number.isFinite(limits.max) ? limits.max : convertUnit(INSTRUMENTS.ohmmeter.max, 'Ω', expects)
    notes.push({
      code: 'over-range-display',
      message: `Taken as more than ${withUnit(top, expects)}: no path. If the meter was on a low range, turn it up and measure again, or type the range: “OL 200 Ω”.`,
    })
    return answer({ value: top, step: 0 }, { bound: 'at-least' })
  }
  if (phrases.SHORT_WORDS.test(bare) && dimension === 'resistance' && inRange(0)) {
    notes.push({ code: 'taken-as-zero', message: `“${quote(text)}” was taken as 0 ${expects}.` })
    return answer({ value: 0, step: 1 }, { approximate: true })
  }
  if (phrases.ZERO_WORDS.test(bare)) {
    if (dimension === 'resistance') {
      return problem(
        'ambiguous-number',
        `“${quote(text)}” on an ohmmeter may mean 0 ${expects} (straight through) or no path at all.`,
        `Type 0, or type OL if the meter keeps showing its over-range sign.`,
        [suggest(0, expects)],
      )
    }
    if ((dimension === 'voltage' || dimension === 'current' || dimension === 'power') && inRange(0)) {
      notes.push({ code: 'taken-as-zero', message: `“${quote(text)}” was taken as 0 ${expects}.` })
      return answer({ value: 0, step: 1 }, { approximate: true })
    }
  }

  const sentence = readSentence(tokenise(text), dimension)
  const [first, second] = sentence.quantities
  if (sentence.malformed !== null) {
    return problem(
      'ambiguous-number',
      `“${sentence.malformed}” is not one number.`,
      `Use one point or comma, for the decimals only: 31.2.`,
    )
  }
  if (first === undefined) {
    return problem(
      'no-number',
      `There is no number in “${quote(text)}”.`,
      `Type the reading in ${wanted(expects)}, or pick “don’t know”.`,
    )
  }
  if (sentence.negated) {
    return problem(
      'negated',
      `“${quote(text)}” says what it is not.`,
      `Type what the instrument shows, in ${wanted(expects)}.`,
    )
  }

  const dimensions = new Set(
    sentence.quantities.flatMap((q) => (q.units[0] === undefined ? [] : [dimensionOf(q.units[0])])),
  )
  if (dimensions.size > 1 || sentence.twoUnits !== null) {
    const which =
      sentence.twoUnits ??
      [...new Set(sentence.quantities.map((q) => q.unitText).filter((u) => u !== ''))].join(' and ')
    return problem(
      'mixed-units',
      `“${quote(text)}” has two kinds of unit (${which}).`,
      `Type only the reading in ${wanted(expects)}; put the other with its own check.`,
    )
  }

  // Where one number of several carries the unit, it is the unit of all.
  const shared = sentence.quantities.find((q) => q.units.length > 0)
  const unitsFor = (q: Quantity): readonly Unit[] => {
    if (q.units.length > 0) return q.units
    if (shared !== undefined && !q.unknownUnit) return shared.units
    return expects === 'SG' || (expected.unitShown === true && !q.unknownUnit) ? [expects] : []
  }
  const stranger = sentence.quantities.find((q) => q.unknownUnit)
  if (stranger !== undefined && expects !== 'SG') {
    return problem(
      'unknown-unit',
      `“${quote(stranger.unitText)}” is not a unit known here.`,
      `Type the reading in ${unitsOf(dimension).join(', ')}.`,
      second === undefined && stranger.values.length === 1 && inRange(stranger.values[0]!)
        ? [suggest(stranger.values[0]!, expects)]
        : [],
    )
  }
  if (shared !== undefined && dimensionOf(shared.units[0]!) !== dimension) {
    const got = shared.units[0]!
    return problem(
      'wrong-unit',
      `“${quote(text)}” is in ${unitWords(got)}; this check asks for ${wanted(expects)}.`,
      `Set the instrument for that and measure again, or give this reading to the check that asks for it.`,
    )
  }
  if (second?.joint === 'colon' && dimension === 'time') {
    return problem(
      'ambiguous-number',
      `“${quote(text)}” may be hours and minutes or minutes and seconds.`,
      `Type the units: 1 h 20 min.`,
    )
  }
  if (unitsFor(first).length === 0) {
    return problem(
      'no-unit',
      `“${quote(text)}” has no unit.`,
      `Type the reading in ${unitsOf(dimension).join(', ')}, with the unit.`,
      second === undefined ? suggestUnits(first) : [],
    )
  }

  /** The one reading that the limits leave of a quantity, or what is wrong. */
  const settle = (q: Quantity): Candidate | ReadingProblem => {
    const all = candidatesOf(q, unitsFor(q), expects)
    const possible = all.filter((c) => inRange(c.value))
    const only = possible[0]
    if (only !== undefined && possible.length === 1) {
      if (all.length > 1) {
        notes.push({
          code: 'one-way-to-read-it',
          message: `Taken as ${withUnit(only.value, expects)}: nothing else is within the range of ${limits.whose}.`,
        })
      }
      if (only.points) {
        notes.push({
          code: 'hydrometer-points',
          message: `${formatNumber(q.values[0]!)} points were taken as ${only.value.toFixed(3)}.`,
        })
      }
      return only
    }
    if (possible.length > 1) {
      const unitDiffers = new Set(possible.map((c) => c.unit)).size > 1
      const suggestions = possible.map((c) => suggest(c.raw, c.unit))
      return problem(
        unitDiffers ? 'ambiguous-unit' : 'ambiguous-number',
        unitDiffers
          ? `“${q.unitText}” may mean ${[...new Set(possible.map((c) => unitWords(c.unit)))].join(' or ')}.`
          : `“${quote(text)}” may be ${suggestions.map((s) => s.text).join(' or ')}.`,
        unitDiffers ? 'Say which.' : 'Type a point for the decimals and nothing between thousands.',
        suggestions,
      )
    }
    const nearest = all[0]!
    const mended = mend(nearest.value, expects, inRange)
    const offer = mended === null ? [] : [suggest(mended, expects)]
    if (!Number.isFinite(nearest.value)) {
      return problem('above-range', `“${quote(text)}” is more than any instrument shows.`, `Check the number.`)
    }
    if (nearest.value < 0 && limits.min >= 0) {
      return problem(
        'negative',
        expects === 'SG'
          ? 'A specific gravity cannot be below zero: water is 1.000, battery acid 1.1 to 1.3.'
          : `${withUnit(nearest.value, expects)} is below zero, and ${limits.whose} has no readings below zero.`,
        expects === 'SG'
          ? 'Read the float again at the level of the acid.'
          : 'Leave out the minus sign if it was a dash, or measure again.',
        inRange(-nearest.value) ? [suggest(-nearest.value, expects)] : offer,
      )
    }
    const low = nearest.value < limits.min
    const limit = low ? `starts at ${withUnit(limits.min, expects)}` : `ends at ${withUnit(limits.max, expects)}`
    return problem(
      low ? 'below-range' : 'above-range',
      `${withUnit(nearest.value, expects)} is outside the range of ${limits.whose}, which ${limit}.`,
      `Check the decimal point and the unit, and measure again.`,
      offer,
    )
  }

  if (sentence.between && sentence.quantities.length === 1 && /\bbetween\b/i.test(text)) {
    return problem(
      'ambiguous-number',
      `“${quote(text)}” needs two numbers after “between”.`,
      `Type both, with the unit: “between 30 and 31 ${expects}”.`,
    )
  }
  return sentence.quantities.length === 1 ? settleOne() : settleSeveral()

  function settleOne(): ParsedReading {
    const c = settle(first!)
    if ('ok' in c) return c
    if (c.value < 0 && (dimension === 'voltage' || dimension === 'current')) {
      notes.push({
        code: 'minus-sign',
        message: 'A minus sign: the leads (or the clamp) are the other way round, or the polarity is reversed.',
      })
    }
    const approximate = sentence.approximate
    if (approximate)
      notes.push({ code: 'approximate', message: 'Taken as about that much, and weighed less than an exact figure.' })
    const bound = sentence.overRange ? 'at-least' : sentence.bound
    if (bound === null) return answer(c, { approximate })
    notes.push(
      bound === 'at-least'
        ? { code: 'at-least', message: `Taken as ${withUnit(c.value, expects)} or more.` }
        : { code: 'at-most', message: `Taken as ${withUnit(c.value, expects)} or less.` },
    )
    return answer(c, { approximate, bound })
  }

  function settleSeveral(): ParsedReading {
    const list = sentence.quantities
    const compound = readCompound(list, expects)
    if (compound !== null) {
      if (inRange(compound.value)) {
        if (sentence.approximate)
          notes.push({
            code: 'approximate',
            message: 'Taken as about that much, and weighed less than an exact figure.',
          })
        return answer(compound, { approximate: sentence.approximate })
      }
      return problem(
        'above-range',
        `${withUnit(compound.value, expects)} is outside the range of ${limits.whose}, which ends at ${withUnit(limits.max, expects)}.`,
        `Check the figures.`,
      )
    }
    const isRange = list.length === 2 && (second!.joint === 'range' || (sentence.between && second!.joint === 'and'))
    const isTolerance = list.length === 2 && second!.joint === 'tolerance'
    if (!isRange && !isTolerance) {
      const glued = list.map((q) => q.values[0]!)
      const thousands =
        list.length === 2 && glued[0]! < 1000 && /^\d{1,3} \d{3}(?!\d)/.test(text) ? glued[0]! * 1000 + glued[1]! : null
      return problem(
        'several-numbers',
        `“${quote(text)}” has ${list.length} numbers; this check takes one reading.`,
        `Type one, or a range such as “30 to 31 ${expects === 'SG' ? '' : expects}”.`.replace(' ”', '”'),
        (thousands === null ? [] : [thousands])
          .map((v) => convertUnit(v, unitsFor(first!)[0]!, expects))
          .filter(inRange)
          .map((v) => suggest(v, expects)),
      )
    }
    const a = settle(first!)
    if ('ok' in a) return a
    const b = isTolerance ? { ...candidatesOf(second!, unitsFor(second!), expects)[0]! } : settle(second!)
    if ('ok' in b) return b
    const from = isTolerance ? Number((a.value - Math.abs(b.value)).toPrecision(12)) : Math.min(a.value, b.value)
    const to = isTolerance ? Number((a.value + Math.abs(b.value)).toPrecision(12)) : Math.max(a.value, b.value)
    notes.push({ code: 'range', message: `Taken as from ${withUnit(from, expects)} to ${withUnit(to, expects)}.` })
    const value = isTolerance ? a.value : Number((from + (to - from) / 2).toPrecision(12))
    return answer(
      { value, step: Math.max(a.step, Number((to - from).toPrecision(6))) },
      { from, to, approximate: true },
    )
  }
}

/** Sizes that a person writes side by side: "1 h 20 min", "1h20", "5 ft 3 in". Null if it is not such a pair. */
function readCompound(list: readonly Quantity[], expects: Unit): { value: number; step: number } | null {
  const dimension = dimensionOf(expects)
  if (dimension !== 'time' && dimension !== 'length') return null
  let total = 0
  let before: Unit | null = null
  let step = 0
  for (const q of list) {
    if (q.negative || q.joint === 'range' || q.joint === 'tolerance' || q.joint === 'colon' || q.values.length !== 1)
      return null
    const smaller: Unit | null =
      before === 'h' ? 'min' : before === 'min' ? 's' : before === 'ft' ? 'in' : before === 'm' ? 'cm' : null
    const unit: Unit | null | undefined =
      q.units.length > 0 ? q.units[0] : q === list.at(-1) && !q.unknownUnit ? smaller : null
    if (unit === null || unit === undefined || dimensionOf(unit) !== dimension) return null
    if (before !== null && convertUnit(1, unit, expects) >= convertUnit(1, before, expects)) return null
    total += convertUnit(q.values[0]!, unit, expects)
    step = convertUnit(q.step, unit, expects)
    before = unit
  }
  return { value: Number(total.toPrecision(12)), step }
}

/** A slip of the decimal point that would be in range: 12.65 for 1.265, or .265 for 1.265. Null if none is near. */
function mend(value: number, expects: Unit, inRange: (v: number) => boolean): number | null {
  if (expects !== 'SG') return null
  for (const tried of [value / 10, value / 100, value / 1000, value + 1, value / 1000 + 1]) {
    if (inRange(tried) && tried >= 1.05 && tried <= 1.35) return Number(tried.toPrecision(6))
  }
  return null
}
