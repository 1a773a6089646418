import type { z } from 'zod'
import { type ClientMessage, clientMessage, MAX_FRAME_BYTES, PROTOCOL_VERSION } from './client.ts'
import { errorMessage } from './say.ts'
import { fieldName, type Said, sayIssue } from './say-issue.ts'
import type { ServerMessage } from './server.ts'

type Frame =
  | { message: ClientMessage; re: string; error?: undefined }
  | { message?: undefined; re?: string; error: ServerMessage }

type Schema = z.ZodObject
const SCHEMAS = new Map<string, Schema>(
  clientMessage.options.map((schema) => [schema.shape.type.value, schema as unknown as Schema]),
)
export const MESSAGE_TYPES = [...SCHEMAS.keys()]

/**
 * One text frame to one message, or to an `error` that says what to mend. Never throws, whatever the text is; defaults
 * are filled in.
 */
export function readFrame(text: string): Frame {
  const bytes = new TextEncoder().encode(text).length
  if (bytes > MAX_FRAME_BYTES) {
    return {
      error: errorMessage(
        'too-large',
        `The message has ${bytes} bytes; ${MAX_FRAME_BYTES} is the most.`,
        'Send less at once: shorter words, or fewer answers a message.',
      ),
    }
  }
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    return {
      error: errorMessage('malformed', 'The message is not JSON.', 'Send one JSON object in one text frame.'),
    }
  }
  return readMessage(json)
}

/** The same for JSON that has been parsed. */
export function readMessage(json: unknown): Frame {
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    return {
      error: errorMessage(
        'malformed',
        `A message is a JSON object; this is ${json === null ? 'null' : Array.isArray(json) ? 'a list' : `a ${typeof json}`}.`,
        'Send one JSON object, such as {"v":1,"id":"a1","type":"open"}.',
      ),
    }
  }
  const given = json as Record<string, unknown>
  const re = typeof given.id === 'string' && given.id.length >= 1 && given.id.length <= 64 ? given.id : undefined
  if (given.v !== PROTOCOL_VERSION) {
    return {
      re,
      error: errorMessage(
        'unknown-version',
        given.v === undefined ? 'The message has no version.' : `Version ${show(given.v)} is not known here.`,
        `Send "v": ${PROTOCOL_VERSION}. If the page was open for long, load it again.`,
        { re, field: 'v' },
      ),
    }
  }
  const schema = typeof given.type === 'string' ? SCHEMAS.get(given.type) : undefined
  if (!schema) {
    return {
      re,
      error: errorMessage(
        'unknown-type',
        given.type === undefined ? 'The message has no type.' : `There is no message of type ${show(given.type)}.`,
        `Use one of ${MESSAGE_TYPES.join(', ')}.`,
        { re, field: 'type' },
      ),
    }
  }
  const result = schema.safeParse(given)
  if (result.success) return { message: result.data as ClientMessage, re: re! }
  const issue = result.error.issues[0]!
  const said: Said = sayIssue(issue, given, String(given.type), Object.keys(schema.shape))
  return { re, error: errorMessage('invalid', said.text, said.mend, { re, field: fieldName(issue.path) }) }
}

function show(value: unknown): string {
  const text = typeof value === 'string' ? JSON.stringify(value) : String(JSON.stringify(value))
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}
