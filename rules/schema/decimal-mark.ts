/**
 * Translations keep every figure as the English has it, with a point, so that the two can be compared; a reader sees the
 * mark of their own language, the same as on the dials. Numbers of standards (NEC 210.20, 29 CFR 1910.178(g), Z535.6) have
 * letters before or too many digits, and stay.
 */
const FIGURE = /(?<![\w.-])(\d{1,2})\.(\d{1,3})(?![\d(]|\.\d)/g

export function withDecimalMark(text: string, language: string): string {
  const mark = new Intl.NumberFormat(language).formatToParts(1.5).find((p) => p.type === 'decimal')?.value ?? '.'
  return mark === '.' ? text : text.replace(FIGURE, `$1${mark}$2`)
}
