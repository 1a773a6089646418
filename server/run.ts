import { formatProblem, type Problem } from '../rules/schema/problem.ts'
import { ConfigError, readConfig } from './config.ts'
import type { Loader } from './knowledge/loader.ts'
import { makeLog } from './log.ts'
import { realOutside } from './outside.ts'
import { BadKnowledge, type Running, type StartParts, startServer } from './start.ts'
import { NewerSchema } from './store/store.ts'

/** What could not be finished by then is left to the log that is written ahead. */
const STOP_MS = 10_000

/** The server as a process: prints what a person needs, ends cleanly on SIGTERM and SIGINT. */
export async function runServer(load: Loader, more: Partial<StartParts> = {}): Promise<Running> {
  let running: Running
  const config = readConfigOrExit()
  const log = makeLog(config.logLevel)
  try {
    running = await startServer({ config, load, outside: realOutside, log, ...more })
  } catch (error) {
    if (error instanceof BadKnowledge) {
      printProblems(error.problems)
      process.exit(1)
    }
    if (error instanceof ConfigError || error instanceof NewerSchema) {
      console.error(error.message)
      process.exit(1)
    }
    throw error
  }
  console.log(greeting(running))

  for (const signal of ['SIGTERM', 'SIGINT'] as const) {
    process.once(signal, () => {
      log.info({ signal }, 'stopping')
      setTimeout(() => {
        log.error('could not stop in time')
        process.exit(1)
      }, STOP_MS).unref()
      running.stop().then(
        () => process.exit(0),
        (error) => {
          log.error({ err: error instanceof Error ? error.name : typeof error }, 'could not stop cleanly')
          process.exit(1)
        },
      )
    })
  }
  return running
}

export function printProblems(problems: readonly Problem[]) {
  for (const problem of problems) console.error(formatProblem(problem))
  console.error(
    `\n${problems.length} problem${problems.length === 1 ? '' : 's'} in rules/knowledge: mend ${problems.length === 1 ? 'it' : 'them'} and start again. "npm run lint:rules" lists them at any time.`,
  )
}

function greeting({ urls, signIn, deskSignIn }: Running): string {
  const lines = ['Benchlamp is ready.']
  for (const url of urls) lines.push(`  Counter  ${url}/`)
  for (const url of urls) lines.push(`  Bench    ${url}/bench`)
  for (const url of urls) lines.push(`  Desk     ${url}/desk`)
  if (urls[0]) lines.push(`  Embed    ${urls[0]}/embed`)
  if (signIn) {
    lines.push(
      '',
      'Technicians sign in at the bench with this link. It is shown only now; keep it private:',
      `  ${signIn}`,
    )
  } else lines.push('', 'Technicians sign in with their link or name. A new link: npm run sign-in')
  if (deskSignIn) {
    lines.push('', 'The dealer signs in at the desk with this one, and lets others sign in by name:', `  ${deskSignIn}`)
  }
  return lines.join('\n')
}

export function readConfigOrExit() {
  try {
    return readConfig(process.env)
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error
    console.error(error.message)
    process.exit(1)
  }
}
