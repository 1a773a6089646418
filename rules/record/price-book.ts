import Papa from 'papaparse'

export interface PriceBookLine {
  remedy: string
  part?: string
  price: number
}

export interface PriceBookProblem {
  /** 1 is the header */
  line: number
  column?: string
  what: string
  mend: string
}

export const PRICE_BOOK_COLUMNS = ['remedy', 'part', 'price'] as const
const MOST_LINES = 5_000
const MOST_PRICE = 1_000_000

/**
 * The shop's price book: CSV (RFC 4180; commas, semicolons or tabs) with a header line that has `remedy` and `price`, and
 * `part` if the shop likes. One line for each remedy; the price is the part's, in the shop's money, "12.50" or "12,50". A remedy with no price in
 * its line is not priced.
 *
 * @param remedies the ids that there are
 * @returns every line, or every problem: nothing of a book with a bad line is taken
 */
export function readPriceBook(
  text: string,
  remedies: ReadonlySet<string>,
): { lines: PriceBookLine[] } | { problems: PriceBookProblem[] } {
  const problems: PriceBookProblem[] = []
  const plain = text.replace(/^\uFEFF/, '')
  // By the header alone: decimal commas further down look like separators.
  const top = plain.split(/\r?\n/, 1)[0]!
  const delimiter = [';', '\t'].find((mark) => top.includes(mark)) ?? ','
  const parsed = Papa.parse<string[]>(plain, { delimiter, skipEmptyLines: false })
  const rows = parsed.data
  for (const error of parsed.errors) {
    problems.push({
      line: lineOf(rows, error.row ?? 0),
      what: `The quotes do not pair up (${error.message})`,
      mend: 'Close the quotes, or double those inside a cell',
    })
  }
  if (problems.length > 0) return { problems }
  const header = (rows[0] ?? []).map((cell) => cell.trim().toLowerCase())
  for (const column of ['remedy', 'price']) {
    const times = header.filter((h) => h === column).length
    if (times === 1) continue
    problems.push({
      line: 1,
      column,
      what: times === 0 ? `There is no column "${column}"` : `"${column}" is there ${times} times`,
      mend: `Write the first line as: ${PRICE_BOOK_COLUMNS.join(',')}`,
    })
  }
  for (const name of header) {
    if (name !== '' && !(PRICE_BOOK_COLUMNS as readonly string[]).includes(name)) {
      problems.push({
        line: 1,
        column: name.slice(0, 40),
        what: `"${name.slice(0, 40)}" is not a column of a price book`,
        mend: `Leave it out; the columns are ${PRICE_BOOK_COLUMNS.join(', ')}`,
      })
    }
  }
  if (problems.length > 0) return { problems }
  if (rows.length - 1 > MOST_LINES) {
    return {
      problems: [{ line: MOST_LINES + 2, what: `More than ${MOST_LINES} lines`, mend: 'One line for each remedy' }],
    }
  }
  const lines: PriceBookLine[] = []
  const seen = new Map<string, number>()
  for (const [i, row] of rows.entries()) {
    if (i === 0 || row.every((cell) => cell.trim() === '')) continue
    const line = lineOf(rows, i)
    if (row.length !== header.length) {
      problems.push({
        line,
        what: `It has ${row.length} cells, the header ${header.length}`,
        mend: 'A cell with a comma in it needs quotes around it',
      })
      continue
    }
    const cell = (name: string) => (row[header.indexOf(name)] ?? '').trim()
    const remedy = cell('remedy')
    const before = seen.get(remedy)
    if (!remedies.has(remedy)) {
      problems.push({
        line,
        column: 'remedy',
        what: remedy === '' ? 'The remedy is missing' : `There is no remedy "${remedy.slice(0, 60)}"`,
        mend: 'Take the ids from the price book that can be downloaded here',
      })
    } else if (before !== undefined) {
      problems.push({
        line,
        column: 'remedy',
        what: `"${remedy}" is on line ${before} already`,
        mend: 'Keep one of the two',
      })
    }
    seen.set(remedy, before ?? line)
    // As in the book that is downloaded: not priced, the knowledge's own range goes on.
    if (cell('price') === '') continue
    const price = priceOf(cell('price'))
    if (typeof price === 'string') {
      problems.push({ line, column: 'price', what: price, mend: 'Write the price as a number, such as 12.50' })
      continue
    }
    const part = header.includes('part') ? cell('part') : ''
    if (part.length > 120) {
      problems.push({ line, column: 'part', what: 'The part is longer than 120 characters', mend: 'Shorten it' })
    }
    lines.push({ remedy, ...(part === '' ? {} : { part }), price })
  }
  if (problems.length === 0 && lines.length === 0) {
    problems.push({ line: 2, what: 'No line below the header has a price', mend: 'Write one line for each remedy' })
  }
  return problems.length > 0 ? { problems } : { lines }
}

/** A price, or what is wrong with it. A decimal point or comma; no thousands marks, which could be either. */
function priceOf(cell: string): number | string {
  if (!/^-?\d+([.,]\d+)?$/.test(cell)) return `"${cell.slice(0, 40)}" is not a price`
  if (/[.,]\d{3,}$/.test(cell)) return `"${cell.slice(0, 40)}" may be a thousands mark, or too many decimals`
  const price = Number(cell.replace(',', '.'))
  if (price < 0) return `${cell} is less than nothing`
  if (price > MOST_PRICE) return `${cell.slice(0, 40)} is more than ${MOST_PRICE}`
  return price
}

/** Cells may hold line breaks: the line in the file at which a row begins. */
function lineOf(rows: readonly (readonly string[])[], row: number): number {
  let line = 1
  for (const cells of rows.slice(0, row)) line += 1 + cells.join('').split('\n').length - 1
  return line
}

/** The book as CSV, every remedy in it: what is not priced has an empty price, to be filled in or left out. */
export function priceBookCsv(lines: readonly { remedy: string; part?: string; price?: number }[]): string {
  return (
    Papa.unparse(
      lines.map((l) => ({
        remedy: l.remedy,
        part: l.part ?? '',
        price: l.price === undefined ? '' : l.price.toFixed(2),
      })),
      { columns: [...PRICE_BOOK_COLUMNS], newline: '\r\n', escapeFormulae: true },
    ) + '\r\n'
  )
}
