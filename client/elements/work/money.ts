/** An amount as people read it, with the shop's currency where it has set one. */
export function amountOf(amount: number, locale: string, currency?: string): string {
  const digits = Number.isInteger(amount) ? 0 : 2
  return new Intl.NumberFormat(locale, {
    ...(currency ? { style: 'currency', currency } : {}),
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  }).format(amount)
}

/**
 * "180", "180.50", "180,5", "1 200", "1.200,50" and "1,200.50" as a number; undefined where it is none. A last point or
 * comma with one or two digits behind it is the decimal one.
 */
export function readAmount(text: string): number | undefined {
  const bare = text.replace(/[\s’']/g, '').replace(/^(\p{Sc}|[A-Z]{3})|(\p{Sc}|[A-Z]{3})$/giu, '')
  const parts = /^(\d[\d.,]*?)(?:[.,](\d{1,2}))?$/.exec(bare)
  if (!parts) return undefined
  const whole = parts[1]!
  if (!/^\d+$/.test(whole) && !/^\d{1,3}([.,]\d{3})+$/.test(whole)) return undefined
  const value = Number(`${whole.replace(/[.,]/g, '')}.${parts[2] ?? '0'}`)
  return value <= 1_000_000 ? value : undefined
}
