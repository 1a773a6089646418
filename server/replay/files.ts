import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Transcript, transcript } from '../../rules/protocol/transcript.ts'
import { jsonPath } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'

export const TRANSCRIPTS_FOLDER = fileURLToPath(new URL('../../transcripts-demo', import.meta.url))

export type ReadTranscript = { file: string; transcript: Transcript } | { file: string; problems: Problem[] }

/** Every *.json of a folder, in order of name; what is wrong with one is said, not thrown. No folder: none. */
export function readTranscripts(folder = TRANSCRIPTS_FOLDER): ReadTranscript[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .sort()
    .map((name) => readTranscript(join(folder, name)))
}

export function readTranscript(path: string): ReadTranscript {
  const file = basename(path)
  const problem = (at: string, what: string, mend: string): Problem => ({ file, path: at, what, mend })
  let json: unknown
  try {
    json = JSON.parse(readFileSync(path, 'utf8'))
  } catch (error) {
    return { file, problems: [problem('$', (error as Error).message, 'Mend the JSON, or the name of the file')] }
  }
  const result = transcript.safeParse(json)
  if (result.success) return { file, transcript: result.data }
  return {
    file,
    problems: result.error.issues.map((issue) =>
      problem(jsonPath(issue.path), issue.message, 'See rules/protocol/transcript.ts for the form'),
    ),
  }
}

/** As it is kept: a step on a few lines, so that a difference is easy to read. */
export function writeTranscript(t: Transcript): string {
  const { steps, ...head } = t
  const lines = Object.entries(head)
    .filter(([name, value]) => !(name === 'language' && value === 'en'))
    .map(([name, value]) => `  ${JSON.stringify(name)}: ${oneLine(value)},`)
  const each = steps.map((step) => {
    const parts = [
      `"from": ${JSON.stringify(step.from)}`,
      ...(step.remark === undefined ? [] : [`"remark": ${JSON.stringify(step.remark)}`]),
      `"send": ${oneLine(step.send)}`,
      `"expect": ${oneLine(step.expect)}`,
    ]
    return `    {\n      ${parts.join(',\n      ')}\n    }`
  })
  return `{\n${lines.join('\n')}\n  "steps": [\n${each.join(',\n')}\n  ]\n}\n`
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(', ')}]`
  if (value === null || typeof value !== 'object') return JSON.stringify(value)
  const parts = Object.entries(value)
    .filter(([, v]) => v !== undefined)
    .map(([k, v]) => `${JSON.stringify(k)}: ${oneLine(v)}`)
  return parts.length === 0 ? '{}' : `{ ${parts.join(', ')} }`
}
