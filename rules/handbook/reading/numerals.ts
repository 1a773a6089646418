/** A number as typed, in each way that it can be read. `step`: of its last digit. */
export interface Numeral {
  readonly values: readonly number[]
  readonly step: number
}

const decimals = (text: string): number => text.length - 1 - text.lastIndexOf('.')

function plain(text: string): Numeral {
  return { values: [Number(text)], step: text.includes('.') ? 10 ** -decimals(text) : 1 }
}

/**
 * Reads digits with separators; null if they make no number ("3.2.1").
 * A single comma before exactly three digits may be a decimal comma or part thousands: both are returned, and the
 * caller keeps what the instrument can show. A point is always a decimal point.
 */
export function readDigits(typed: string): Numeral | null {
  const power = /^(.*)[eE]([-+]?\d+)$/.exec(typed)
  if (power !== null) {
    const size = 10 ** Number(power[2])
    const body = readDigits(power[1]!)
    return body === null
      ? null
      : { values: body.values.map((v) => Number((v * size).toPrecision(12))), step: body.step * size }
  }
  const text = typed.replace(/['’]/g, '')
  const points = text.split('.').length - 1
  const commas = text.split(',').length - 1
  if (commas === 0)
    return points <= 1 ? plain(text) : /^\d{1,3}(\.\d{3}){2,}$/.test(text) ? plain(text.replaceAll('.', '')) : null
  if (points === 0) {
    if (commas > 1) return /^\d{1,3}(,\d{3})+$/.test(text) ? plain(text.replaceAll(',', '')) : null
    const decimal = plain(text.replace(',', '.'))
    if (!/^[1-9]\d{0,2},\d{3}$/.test(text)) return decimal
    return { values: [decimal.values[0]!, Number(text.replace(',', ''))], step: decimal.step }
  }
  if (points === 1 && /^\d{1,3}(,\d{3})+\.\d+$/.test(text)) return plain(text.replaceAll(',', ''))
  if (commas === 1 && /^\d{1,3}(\.\d{3})+,\d+$/.test(text)) return plain(text.replaceAll('.', '').replace(',', '.'))
  return null
}

const SMALL = [
  'zero',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
  'thirteen',
  'fourteen',
  'fifteen',
  'sixteen',
  'seventeen',
  'eighteen',
  'nineteen',
] as const
const TENS = ['twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'] as const

const SMALL_VALUE = new Map<string, number>([
  ...SMALL.map((word, i): [string, number] => [word, i]),
  ['nought', 0],
  ['naught', 0],
  ['nil', 0],
])
const TENS_VALUE = new Map<string, number>([...TENS.map((w, i): [string, number] => [w, (i + 2) * 10]), ['fourty', 40]])
/** "oh" is a nought only among digits: "one oh five", "point oh five". */
const isOh = (word: string | undefined): boolean => word === 'oh' || word === 'o'

export const isNumberWord = (word: string): boolean =>
  SMALL_VALUE.has(word) || TENS_VALUE.has(word) || word === 'hundred' || word === 'thousand' || word === 'half'

/** A whole number below 100 in words at `at`: its value and the place after it. */
function belowHundred(words: readonly string[], at: number): { value: number; next: number } | null {
  const tens = TENS_VALUE.get(words[at] ?? '')
  if (tens !== undefined) {
    const ones = SMALL_VALUE.get(words[at + 1] ?? '')
    return ones !== undefined && ones >= 1 && ones <= 9
      ? { value: tens + ones, next: at + 2 }
      : { value: tens, next: at + 1 }
  }
  const small = SMALL_VALUE.get(words[at] ?? '')
  return small === undefined ? null : { value: small, next: at + 1 }
}

/**
 * A whole number in words: "five", "thirty one", "one hundred and five", "two thousand", and spoken pairs: "one
 * twenty" is 120, "twelve sixty five" 1265.
 */
export function readWholeWords(words: readonly string[], start: number): { value: number; next: number } | null {
  let first = belowHundred(words, start)
  if (first === null && (words[start] === 'a' || words[start] === 'hundred' || words[start] === 'thousand')) {
    const unit = words[start] === 'a' ? words[start + 1] : words[start]
    if (unit !== 'hundred' && unit !== 'thousand') return null
    first = { value: 1, next: words[start] === 'a' ? start + 1 : start }
  }
  if (first === null) return null
  let { value, next } = first
  let scaled = false
  for (const [word, size] of [
    ['hundred', 100],
    ['thousand', 1000],
  ] as const) {
    if (words[next] !== word) continue
    value *= size
    next += 1
    scaled = true
    const after = words[next] === 'and' ? next + 1 : next
    const rest = belowHundred(words, after)
    // "between one hundred and five hundred": the second number is not a part of the first.
    if (rest !== null && (after === next || !isNumberWord(words[rest.next] ?? ''))) {
      const hundreds = words[rest.next] === 'hundred' && word === 'thousand'
      value += hundreds ? rest.value * 100 : rest.value
      next = hundreds ? rest.next + 1 : rest.next
    }
  }
  if (!scaled && value >= 1) {
    const last = isOh(words[next]) ? SMALL_VALUE.get(words[next + 1] ?? '') : undefined
    if (last !== undefined && last <= 9) return { value: value * 100 + last, next: next + 2 }
    const pair = belowHundred(words, next)
    if (pair !== null && pair.value >= 10) return { value: value * 100 + pair.value, next: pair.next }
  }
  return { value, next }
}

/** Digits said one by one after "point": "point oh five", "point seven", "point 4"; the digits as text. */
export function readSpokenDigits(words: readonly string[], start: number): { digits: string; next: number } | null {
  let digits = ''
  let next = start
  for (;;) {
    const word = words[next] ?? ''
    if (/^\d+$/.test(word)) digits += word
    else {
      const two = TENS_VALUE.has(word) ? belowHundred(words, next) : null
      const value = two?.value ?? (isOh(word) ? 0 : SMALL_VALUE.get(word))
      if (value === undefined) break
      digits += String(value)
      if (two !== null) next = two.next - 1
    }
    next += 1
  }
  return digits === '' ? null : { digits, next }
}
