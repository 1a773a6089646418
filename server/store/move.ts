import { type CopiedRow, empty, inUse, putRow, rowsOf, type Tally, tallies } from './copy.ts'
import type { Database } from './database.ts'

/** The target is in use; nothing was changed. */
export class InUse extends Error {
  override name = 'InUse'
}

export interface Moved {
  table: string
  from: number
  to: number
  same: boolean
}

/**
 * Copies one store into another, with the same schema and nothing in it that would be missed; then counts both sides and
 * compares every row. The source is left as it is.
 *
 * @throws InUse
 */
export async function moveStore(from: Database, to: Database): Promise<Moved[]> {
  await to.transaction(async (sql) => {
    if (await inUse(sql)) {
      throw new InUse(
        'There are cases, people or prices in that store already. Take an empty database, or restore one.',
      )
    }
    await empty(sql)
    await from.snapshot(async (source) => {
      for await (const entry of rowsOf(source, from)) await putRow(sql, entry satisfies CopiedRow)
    })
  })
  const [before, after] = [await tallies(from), await tallies(to)]
  return Object.entries(before).map(([table, was]) => {
    const is: Tally = after[table]!
    return { table, from: was.rows, to: is.rows, same: was.digest === is.digest }
  })
}
