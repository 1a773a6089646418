/** One row of a published table: `[x, y]`. Rows stand in rising order of x; y rises or falls all the way. */
export type TableRow = readonly [x: number, y: number]

/** Where a looked-up value stands: inside the table, or beyond one of its ends (then `y` is that end's y). */
export interface TableValue {
  readonly y: number
  readonly place: 'inside' | 'below-first' | 'above-last'
}

/** Straight line between the two neighbouring rows; an end's value beyond the table. Rows: two or more. */
export function lookUp(rows: readonly TableRow[], x: number): TableValue {
  const first = rows[0]!
  const last = rows[rows.length - 1]!
  if (x < first[0]) return { y: first[1], place: 'below-first' }
  if (x > last[0]) return { y: last[1], place: 'above-last' }
  for (let i = 1; i < rows.length; i++) {
    const [x1, y1] = rows[i]!
    if (x > x1) continue
    const [x0, y0] = rows[i - 1]!
    if (x === x1) return { y: y1, place: 'inside' }
    return { y: y0 + ((x - x0) / (x1 - x0)) * (y1 - y0), place: 'inside' }
  }
  return { y: last[1], place: 'inside' }
}

/** The same table read the other way round: y to x. */
export function turned(rows: readonly TableRow[]): readonly TableRow[] {
  const swapped = rows.map(([x, y]): TableRow => [y, x])
  return swapped[0]![0] <= swapped[swapped.length - 1]![0] ? swapped : swapped.reverse()
}
