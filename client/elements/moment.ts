/** A day with its hour; "AM" stays on the line of its hour. */
export function momentOf(iso: string, locale: string): string {
  const format = new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' })
  return format.format(new Date(iso)).replace(/(\d)\s(?=\D+$)/, '$1\u00a0')
}
