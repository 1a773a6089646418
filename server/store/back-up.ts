import { createReadStream, createWriteStream } from 'node:fs'
import { open, rename, rm } from 'node:fs/promises'
import { createInterface } from 'node:readline'
import { pipeline } from 'node:stream/promises'
import { createGunzip, createGzip } from 'node:zlib'
import { z } from 'zod'
import { type CopiedRow, empty, inUse, putRow, rowsOf } from './copy.ts'
import type { Database } from './database.ts'
import { MIGRATIONS, migrate, versionOf } from './migrations.ts'

/** A back-up that can't be put back; the message says why and what to do. Nothing was changed. */
export class BadBackUp extends Error {
  override name = 'BadBackUp'
}

const FORMAT = 'benchlamp-back-up'
const head = z.strictObject({ format: z.literal(FORMAT), schema: z.number().int().min(1), at: z.string() })
const line = z.union([
  z.strictObject({ table: z.string(), row: z.record(z.string(), z.union([z.string(), z.number(), z.null()])) }),
  z.strictObject({ rows: z.record(z.string(), z.number().int()) }),
])

/**
 * Everything of a store as one compressed file of JSON lines, the same whichever database it came from. One moment's
 * view; the server may go on meanwhile. The file is its owner's alone: it holds words, names and password hashes.
 *
 * @returns rows by table
 */
export async function backUp(db: Database, file: string, at: string): Promise<Record<string, number>> {
  const rows: Record<string, number> = {}
  const part = `${file}.part`
  const made = await open(part, 'w', 0o600)
  await made.close()
  try {
    await db.snapshot(async (sql) => {
      async function* lines() {
        yield `${JSON.stringify({ format: FORMAT, schema: await versionOf(sql), at })}\n`
        for await (const { table, row } of rowsOf(sql, db)) {
          rows[table] = (rows[table] ?? 0) + 1
          yield `${JSON.stringify({ table, row })}\n`
        }
        yield `${JSON.stringify({ rows })}\n`
      }
      await pipeline(lines, createGzip(), createWriteStream(part, { flush: true }))
    })
    await rename(part, file)
  } catch (error) {
    await rm(part, { force: true })
    throw error
  }
  return rows
}

/**
 * Puts a back-up into a database that is not in use, all of it or nothing; an older one is brought to today's schema.
 *
 * @param replace what is in use is deleted first
 * @throws BadBackUp
 */
export async function restore(
  db: Database,
  file: string,
  { at, replace = false }: { at: string; replace?: boolean },
): Promise<Record<string, number>> {
  // Read once before anything is touched: a file that breaks off is found out first.
  const { schema, rows } = await lookThrough(file)
  const newest = MIGRATIONS.at(-1)!.version
  if (schema > newest) {
    throw new BadBackUp(
      `${file} is of schema ${schema}, this server knows ${newest} and older. Restore it with the newer version of the server.`,
    )
  }
  await migrate(db, at)
  await db.transaction(async (sql) => {
    if ((await inUse(sql)) && !replace) {
      throw new BadBackUp(
        'There are cases, people or prices in this store already. Add --replace to delete them first.',
      )
    }
    await empty(sql)
    for await (const entry of linesOf(file)) if ('table' in entry) await putRow(sql, entry as CopiedRow)
    // Newer columns have their defaults; what else they hold follows from the rows.
    for (const step of MIGRATIONS) if (step.version > schema) await step.then?.(sql)
  })
  return rows
}

async function lookThrough(file: string): Promise<{ schema: number; rows: Record<string, number> }> {
  let first: z.infer<typeof head> | undefined
  let last: Record<string, number> | undefined
  const found: Record<string, number> = {}
  for await (const entry of linesOf(file, (h) => (first = h))) {
    if ('rows' in entry) last = entry.rows
    else found[entry.table] = (found[entry.table] ?? 0) + 1
  }
  if (!first) throw new BadBackUp(`${file} is empty. Take another back-up.`)
  if (!last) throw new BadBackUp(`${file} breaks off before its end. Take another back-up.`)
  for (const table of new Set([...Object.keys(last), ...Object.keys(found)])) {
    if (last[table] !== found[table]) {
      throw new BadBackUp(
        `${file} says ${last[table] ?? 0} rows of ${table}, and has ${found[table] ?? 0}. Take another back-up.`,
      )
    }
  }
  return { schema: first.schema, rows: last }
}

async function* linesOf(
  file: string,
  heard: (first: z.infer<typeof head>) => void = () => undefined,
): AsyncGenerator<z.infer<typeof line>> {
  const source = createReadStream(file)
  const unzipped = createGunzip()
  const broken = new Promise<never>((_, reject) => {
    source.on('error', reject)
    unzipped.on('error', reject)
  })
  broken.catch(() => undefined)
  const lines = createInterface({ input: source.pipe(unzipped), crlfDelay: Number.POSITIVE_INFINITY })[
    Symbol.asyncIterator
  ]()
  let n = 0
  try {
    for (;;) {
      const next = await Promise.race([lines.next(), broken])
      if (next.done) return
      n++
      const json: unknown = JSON.parse(next.value)
      if (n === 1) heard(head.parse(json))
      else yield line.parse(json)
    }
  } catch (error) {
    if (error instanceof BadBackUp) throw error
    const code = (error as { code?: string }).code
    if (code === 'ENOENT') throw new BadBackUp(`${file} is not there. Mend the path.`)
    if (code === 'Z_BUF_ERROR') throw new BadBackUp(`${file} breaks off before its end. Take another back-up.`)
    if (error instanceof SyntaxError || error instanceof z.ZodError || code?.startsWith('Z_')) {
      throw new BadBackUp(`${file} is not a back-up of this program${n > 0 ? ` (line ${n})` : ''}. Mend the path.`)
    }
    throw error
  } finally {
    source.destroy()
  }
}
