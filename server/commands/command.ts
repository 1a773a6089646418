import { type ParseArgsConfig, parseArgs } from 'node:util'
import { ConfigError } from '../config.ts'
import { BadBackUp } from '../store/back-up.ts'
import { NewerSchema } from '../store/store.ts'

/** The flags and words of a command; `--help` and mistakes end it. */
export function argumentsOf<T extends ParseArgsConfig['options']>(
  help: string,
  options: T,
  positionals: { least: number; most: number },
) {
  let parsed: ReturnType<typeof parseArgs>
  try {
    parsed = parseArgs({ options: { ...options, help: { type: 'boolean' } }, allowPositionals: positionals.most > 0 })
  } catch (error) {
    console.error(`${(error as Error).message}\n\n${help}`)
    process.exit(2)
  }
  if (parsed.values.help) {
    console.log(help)
    process.exit(0)
  }
  const words = parsed.positionals
  if (words.length < positionals.least || words.length > positionals.most) {
    console.error(`${words.length < positionals.least ? 'Something is missing' : 'That is too much'}.\n\n${help}`)
    process.exit(2)
  }
  return parsed as ReturnType<typeof parseArgs<{ options: T; allowPositionals: true }>>
}

/** Runs it; what a person can mend is said in words, without a stack. */
export async function asCommand(work: () => Promise<void>): Promise<void> {
  try {
    await work()
  } catch (error) {
    const code = (error as { code?: string }).code
    if (error instanceof ConfigError || error instanceof NewerSchema || error instanceof BadBackUp) {
      console.error(error.message)
    } else if (code && ['EACCES', 'ENOENT', 'ENOSPC', 'EROFS', 'ENOTDIR', 'EISDIR'].includes(code)) {
      console.error(`${(error as Error).message}. Mend the path, or make room.`)
    } else throw error
    process.exitCode = 1
  }
}

export function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)))
  return rows
    .map((row) =>
      row
        .map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!)))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}
