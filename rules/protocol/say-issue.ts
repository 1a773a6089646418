import type { z } from 'zod'

export interface Said {
  text: string
  mend: string
}

/** `["answers", 1, "reading", "unit"]` to `answers[1].reading.unit`; undefined for the whole message. */
export function fieldName(path: readonly PropertyKey[]): string | undefined {
  if (path.length === 0) return undefined
  return path
    .map((key, i) => (typeof key === 'number' ? `[${key}]` : `${i > 0 ? '.' : ''}${String(key)}`))
    .join('')
    .slice(0, 200)
}

/**
 * What is wrong with a message, said so that whoever wrote the client, or typed the JSON, can mend it.
 *
 * @param message the message as it came
 * @param type    its type
 * @param parts   what a message of this type may have
 */
export function sayIssue(issue: z.core.$ZodIssue, message: unknown, type: string, parts: readonly string[]): Said {
  const field = fieldName(issue.path)
  const named = field === undefined ? `the "${type}" message` : `"${field}"`
  const value = at(message, issue.path)
  switch (issue.code) {
    case 'unrecognized_keys': {
      const keys = issue.keys.map((k) => `"${k.slice(0, 40)}"`).join(', ')
      const many = issue.keys.length > 1
      return {
        text: `${keys} ${many ? 'are' : 'is'} not part of ${field === undefined ? `a message of type "${type}"` : named}.`,
        mend: `Leave ${many ? 'them' : 'it'} out, or mend the spelling.${field === undefined ? ` It may have: ${parts.join(', ')}.` : ''}`,
      }
    }
    case 'invalid_type':
      if (value === undefined) {
        return { text: `${capital(named)} is missing.`, mend: `Give it as ${kind(issue.expected)}.` }
      }
      return {
        text: `${capital(named)} is ${kindOf(value)}, where ${kind(issue.expected)} belongs.`,
        mend: `Give it as ${kind(issue.expected)}.`,
      }
    case 'invalid_value':
      return oneOf(named, value, issue.values)
    case 'invalid_union': {
      const values = issue.errors.flatMap((errors) =>
        errors.flatMap((e) => (e.code === 'invalid_value' && e.path.length === 0 ? e.values : [])),
      )
      if (values.length > 0) return oneOf(named, value, values)
      return { text: `${capital(named)} has none of the forms that it may have.`, mend: DESCRIBED }
    }
    case 'too_small':
      if (issue.origin === 'string') {
        if (issue.minimum <= 1) return { text: `${capital(named)} is empty.`, mend: 'Write something in it.' }
        return { text: `${capital(named)} is too short.`, mend: `Write at least ${issue.minimum} characters.` }
      }
      if (issue.origin === 'array')
        return { text: `${capital(named)} has too few entries.`, mend: `Give at least ${issue.minimum}.` }
      return { text: `${capital(named)} is too small.`, mend: `Give ${issue.minimum} or more.` }
    case 'too_big':
      if (issue.origin === 'string')
        return { text: `${capital(named)} is too long.`, mend: `Shorten it to ${issue.maximum} characters.` }
      if (issue.origin === 'array')
        return {
          text: `${capital(named)} has too many entries.`,
          mend: `Send ${issue.maximum} or fewer in one message.`,
        }
      return { text: `${capital(named)} is too large.`, mend: `Give ${issue.maximum} or less.` }
    case 'invalid_format':
      return { text: `${capital(named)} is ${short(value)}, which does not fit there.`, mend: written(issue.message) }
    case 'invalid_key':
      return {
        text: `${capital(named)} has a name that does not fit there.`,
        mend: written(issue.issues[0]?.message ?? ''),
      }
    default:
      return { text: `${capital(named)} can't be taken: ${issue.message}.`, mend: 'Correct it, then send it again.' }
  }
}

/** Where no sentence could say more than what programs are told. */
const DESCRIBED = 'Write it as /api/openapi.json or /api/asyncapi.json describes it.'

/** Each pattern of ours says in its schema what is to be written; what the library says of any other is for programmers. */
const written = (form: string) => (form === '' || form.startsWith('Invalid') ? DESCRIBED : `Write ${form}.`)

function oneOf(named: string, value: unknown, values: readonly unknown[]): Said {
  const list = [...new Set(values.map(String))].join(', ')
  return value === undefined
    ? { text: `${capital(named)} is missing.`, mend: `Give one of ${list}.` }
    : { text: `${capital(named)} is ${short(value)}.`, mend: `Use one of ${list}.` }
}

const KINDS: Record<string, string> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
}
const kind = (expected: string) => KINDS[expected] ?? expected
function kindOf(value: unknown): string {
  if (value === null) return 'null'
  return kind(Array.isArray(value) ? 'array' : typeof value)
}

function short(value: unknown): string {
  const text = String(JSON.stringify(value))
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}

function at(value: unknown, path: readonly PropertyKey[]): unknown {
  let here = value
  for (const key of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, key)) return undefined
    here = (here as Record<PropertyKey, unknown>)[key]
  }
  return here
}

const capital = (text: string) => text[0]!.toUpperCase() + text.slice(1)
