import type { z } from 'zod'
import {
  type CarFactsFile,
  FOLDERS,
  type Folder,
  type Knowledge,
  type SettingsFile,
  SINGLE_FILES,
} from './knowledge.ts'
import type { Problem } from './problem.ts'
import { checkReferences } from './references.ts'
import { writeOut } from './siblings.ts'

/** A file of rules/knowledge: its path below that folder, with `/`, and its text. */
export interface SourceFile {
  path: string
  text: string
}

export type Parsed = { knowledge: Knowledge; problems: [] } | { knowledge?: undefined; problems: Problem[] }

/** Folders below rules/knowledge that are read by others. */
const NOT_HERE = /^(texts|netlists|schema)\//

/**
 * All the files of rules/knowledge to one checked object. Every problem found is returned, not only the first; knowledge
 * is returned only when there is none, so that a bad file never replaces good knowledge.
 */
export function parseKnowledge(files: readonly SourceFile[]): Parsed {
  const problems: Problem[] = []
  const lists = Object.fromEntries(Object.keys(FOLDERS).map((folder) => [folder, [] as unknown[]])) as Record<
    Folder,
    { id: string }[]
  >
  const single: Record<string, unknown> = {}
  const origin = new Map<string, string>()
  const familyOf = new Map<string, string>()

  for (const file of [...files].sort((a, b) => (a.path < b.path ? -1 : 1))) {
    if (!file.path.endsWith('.json') || NOT_HERE.test(file.path)) continue
    const json = parseJson(file, problems)
    if (json === undefined) continue
    if (file.path in SINGLE_FILES) {
      const parsed = validate<unknown>(file, SINGLE_FILES[file.path as keyof typeof SINGLE_FILES], json, problems)
      if (parsed) single[file.path] = parsed
      continue
    }
    const folder = file.path.split('/')[0] as Folder
    const schema = FOLDERS[folder]
    if (!schema) {
      problems.push({
        file: file.path,
        path: '$',
        what: `there is no folder "${folder}" for knowledge`,
        mend: `Put the file into one of ${Object.keys(FOLDERS).join(', ')}`,
      })
      continue
    }
    const parsed = validate(
      file,
      schema as z.ZodType<{ id: string; for?: Record<string, string | number>[] }>,
      json,
      problems,
    )
    if (!parsed) continue
    const name = file.path
      .split('/')
      .pop()!
      .replace(/\.json$/, '')
    if (name !== parsed.id.replace(/[{}]/g, '')) {
      problems.push({
        file: file.path,
        path: '$.id',
        what: `the id "${parsed.id}" is not the file's name`,
        mend: `Name the file ${parsed.id.replace(/[{}]/g, '')}.json, or mend the id (braces are left out of file names)`,
      })
    }
    for (const one of writeOut(parsed)) {
      const key = `${folder}/${one.id}`
      const left = /\{\w+\}/.exec(JSON.stringify(one))?.[0]
      if (left) {
        problems.push({
          file: file.path,
          path: '$',
          what: `the placeholder ${left} is left in "${one.id}"`,
          mend: 'Give it a value in every entry of "for"',
        })
      }
      const before = origin.get(key)
      if (before) {
        problems.push({
          file: file.path,
          path: '$.id',
          what: `"${one.id}" stands already in ${before}`,
          mend: 'Give one of them another id',
        })
        continue
      }
      origin.set(key, file.path)
      if (folder === 'causes') familyOf.set(one.id, parsed.id)
      lists[folder].push(one)
    }
  }
  for (const path of Object.keys(SINGLE_FILES)) {
    if (!single[path] && !problems.some((p) => p.file === path)) {
      problems.push({ file: path, path: '$', what: 'the file is missing', mend: 'Put it back' })
    }
  }
  if (problems.length > 0) return { problems }
  for (const list of Object.values(lists)) list.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
  const knowledge = {
    causes: lists.causes,
    observables: lists.observables,
    checks: lists.checks,
    complaints: lists.complaints,
    circumstances: lists.circumstances,
    cautions: lists.cautions,
    remedies: lists.remedies,
    rootCauses: lists['root-causes'],
    caseRules: lists['case-rules'],
    inseparable: lists.inseparable,
    explained: lists.explained,
    carFacts: single['car-facts.json'] as CarFactsFile,
    settings: single['settings.json'] as SettingsFile,
    familyOf,
  } as unknown as Knowledge
  const broken = checkReferences(knowledge, (folder, id) => origin.get(`${folder}/${id}`) ?? `${folder}/${id}.json`)
  return broken.length > 0 ? { problems: broken } : { knowledge, problems: [] }
}

function parseJson(file: SourceFile, problems: Problem[]): unknown {
  try {
    return JSON.parse(file.text)
  } catch (error) {
    problems.push({
      file: file.path,
      path: '$',
      what: `not valid JSON (${(error as Error).message})`,
      mend: 'Look for a missing comma, quote or bracket near that place',
    })
    return undefined
  }
}

function validate<T>(file: SourceFile, schema: z.ZodType<T>, json: unknown, problems: Problem[]): T | undefined {
  const result = schema.safeParse(json)
  if (result.success) return result.data
  for (const issue of result.error.issues) {
    problems.push({
      file: file.path,
      path: jsonPath(issue.path),
      what: issue.message,
      mend: mendFor(issue),
    })
  }
  return undefined
}

export function jsonPath(path: readonly PropertyKey[]): string {
  return path.reduce<string>((out, key) => out + (typeof key === 'number' ? `[${key}]` : `.${String(key)}`), '$')
}

function mendFor(issue: z.core.$ZodIssue): string {
  if (issue.code === 'unrecognized_keys')
    return `Take out ${issue.keys.map((k) => `"${k}"`).join(', ')}, or mend the spelling`
  if (issue.code === 'invalid_value') return `Use one of ${issue.values.map(String).join(', ')}`
  if (issue.code === 'invalid_union') {
    return 'Write it in one of the forms that the guide beside the folder shows (a word of the scale, a number with its source, a condition with fact, operator and value)'
  }
  return 'See the guide beside the folder for what belongs there'
}
