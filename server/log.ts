import { type Logger, pino } from 'pino'
import type { Config } from './config.ts'

/**
 * Structured lines on standard error, one JSON object each. Never a person's words, a name, a pass or an address: cases
 * by id, what happened, and how it failed.
 */
export function makeLog(level: Config['logLevel']): Logger {
  return pino({ level, base: undefined }, pino.destination({ dest: 2, sync: true }))
}
