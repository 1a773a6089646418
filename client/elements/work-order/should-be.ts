import type { DeskText } from '../../texts/desk.ts'
import type { SheetLine } from '../desk/data.ts'

/** What a sound car shows, in numbers where there are some, else in words. */
export function shouldBe(t: DeskText, line: SheetLine | undefined): string {
  if (!line) return ''
  if (line.expected === undefined) return line.good ?? ''
  const { low, high } = line.expected
  const format = new Intl.NumberFormat(t('locale'), { maximumSignificantDigits: 3, useGrouping: false })
  // What no workshop meter tells from nothing is nothing.
  const number = { format: (v: number) => format.format(Math.abs(v) < Math.abs(high) / 50 ? 0 : v) }
  return low === high
    ? `${number.format(low)}\u00a0${line.unit ?? ''}`
    : `${number.format(low)} – ${number.format(high)}\u00a0${line.unit ?? ''}`
}
