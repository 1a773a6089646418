/**
 * When something was entered that could not be sent at once, as the record bears it; never before what is on record.
 *
 * @param ago milliseconds; undefined: just now
 * @param last time of the newest event
 */
export function enteredAt(now: string, ago: number | undefined, last = ''): string {
  if (!ago) return now
  const then = new Date(Date.parse(now) - ago).toISOString()
  return then > last ? then : last
}
