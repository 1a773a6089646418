import { fingerprintOf, readable } from '../../schema/fingerprint.ts'
import { jsonPath, type SourceFile } from '../../schema/parse.ts'
import type { Problem } from '../../schema/problem.ts'
import { writeOut } from '../../schema/siblings.ts'
import {
  type English,
  languageFile,
  languagesOf,
  partsFile,
  TEXT_FOLDERS,
  type TranslationFile,
  translationFile,
} from '../../schema/texts.ts'

/** Longest strings, as in the English schemas: a line, and a line of steps. */
const LINE = 300
const STEP = 400
const LONG = new Set(['how', 'act', 'steps', 'until', 'plain', 'note'])
const NOTE = 600

/** Everything wrong with the translations of one language; `missing` are remarks until the language calls itself complete. */
export interface TranslationReport {
  language: string
  name: string
  complete: boolean
  problems: Problem[]
  /** what is not translated yet, or no longer */
  missing: Problem[]
  /** files that have a translation of today's English, of all that need one */
  done: number
  all: number
}

export function lintTranslations(files: readonly SourceFile[]): TranslationReport[] {
  return languagesOf(files).map((language) => lintLanguage(files, language))
}

function lintLanguage(files: readonly SourceFile[], language: string): TranslationReport {
  const root = `texts/${language}/`
  const problems: Problem[] = []
  const missing: Problem[] = []
  const english = new Map(files.filter(isEnglish).map((f) => [f.path, f]))
  const own = new Map(files.filter((f) => f.path.startsWith(root)).map((f) => [f.path.slice(root.length), f]))
  let done = 0

  const said = languageFile.safeParse(parsed(own.get('language.json')?.text))
  if (!said.success) {
    problems.push({
      file: `${root}language.json`,
      path: '$',
      what: own.has('language.json') ? said.error.issues[0]!.message : 'the file is missing',
      mend: 'Write { "name": "<what its speakers call it>", "complete": false }',
    })
  }
  for (const [path, source] of english) {
    const file = own.get(path)
    if (!file) {
      missing.push({ file: root + path, path: '$', what: `${path} is not translated`, mend: 'Add the file' })
      continue
    }
    const from = translated(files, path)
    const to = parsed(file.text)
    // A broken English file is reported where it stands.
    if (from === undefined) continue
    if (to === undefined) {
      problems.push({ file: file.path, path: '$', what: 'not valid JSON', mend: 'Look for a missing comma or quote' })
      continue
    }
    const wrong = lintTranslation(path, from, to, language)
    problems.push(...wrong)
    if (wrong.length > 0) continue
    const { of } = to as TranslationFile
    if (of === fingerprintOf(parsed(source.text))) done++
    else {
      missing.push({
        file: file.path,
        path: '$.of',
        what: of === '' ? 'it was never stamped' : `${path} has changed since it was translated`,
        mend: `Compare the two, mend the translation, then run: npm run texts -- ${language} ${path}`,
      })
    }
  }
  for (const [path, file] of own) {
    if (english.has(path) || /^(words|parts|language)\.json$/.test(path)) continue
    problems.push({
      file: file.path,
      path: '$',
      what: `there is no English ${path}`,
      mend: 'Take it out, or mend its name',
    })
  }
  lintParts(files, own.get('parts.json'), root, problems, missing)
  return {
    language,
    name: said.data?.name ?? language,
    complete: said.data?.complete ?? false,
    problems,
    missing,
    done,
    all: english.size,
  }
}

const WIRING = 'netlists/names.json'
const SINGLE = ['car-facts.json', WIRING]

const isEnglish = (file: SourceFile): boolean =>
  SINGLE.includes(file.path) || (TEXT_FOLDERS as readonly string[]).includes(file.path.split('/')[0]!)

/** An English file as it is to be translated: what a controller waits for is said in the netlists, named beside the rest. */
export function translated(files: readonly SourceFile[], path: string): unknown {
  const source = parsed(files.find((f) => f.path === path)?.text) as { text?: object } | undefined
  if (path !== WIRING || !source) return source
  const waits: string[] = []
  const look = (value: unknown) => {
    if (value === null || typeof value !== 'object') return
    for (const [key, item] of Object.entries(value)) {
      if (key === 'needs' && Array.isArray(item)) waits.push(...item.map((x: { why: string }) => x.why))
      else look(item)
    }
  }
  for (const f of files) if (/^netlists\/[^/]+\.json$/.test(f.path)) look(parsed(f.text))
  return { ...source, text: { ...source.text, why: Object.fromEntries([...new Set(waits)].sort().map((x) => [x, x])) } }
}

/** Where a translated file is not the English one in other words: its shape, its placeholders, its numbers. */
export function lintTranslation(path: string, source: unknown, content: unknown, language: string): Problem[] {
  const problems: Problem[] = []
  const file = `texts/${language}/${path}`
  const say = (at: readonly PropertyKey[], what: string, mend: string) =>
    problems.push({ file, path: jsonPath(at), what, mend })
  const read = translationFile.safeParse(content)
  if (!read.success) {
    for (const issue of read.error.issues) say(issue.path, issue.message, 'Write { "of": "", "text": { … } }')
    return problems
  }
  const { text, for: own } = read.data
  const { phrases, ...rest } = text
  const needed = readable(source)
  const spoken = /^(complaints|circumstances)\//.test(path)
  if (phrases !== undefined && !spoken) say(['text', 'phrases'], 'phrases do not belong here', 'Take them out')
  if (spoken && !(Array.isArray(phrases) && phrases.every((p) => typeof p === 'string' && p.length >= 2)))
    say(['text', 'phrases'], 'the phrases are missing', 'Give a list of how people say it in this language')
  compare(needed, rest, ['text'], say)
  lintSiblings(source as English, own, JSON.stringify(needed), say)
  return problems
}

type Say = (at: readonly PropertyKey[], what: string, mend: string) => void

function compare(from: unknown, to: unknown, at: readonly PropertyKey[], say: Say): void {
  if (typeof from === 'string') {
    if (typeof to === 'string') compareLines(from, to, at, say)
    else say(at, 'a line of text belongs here', `Translate: ${from}`)
  } else if (Array.isArray(from)) {
    if (!Array.isArray(to)) say(at, 'a list of lines belongs here', `Give ${from.length} lines`)
    else if (to.length !== from.length)
      say(at, `${to.length} lines where the English has ${from.length}`, 'Translate line by line')
    else from.forEach((line, i) => compare(line, to[i], [...at, i], say))
  } else if (from !== null && typeof from === 'object') {
    if (to === null || typeof to !== 'object' || Array.isArray(to)) {
      say(at, 'the English has parts here', `Give ${Object.keys(from).join(', ')}`)
      return
    }
    for (const [key, value] of Object.entries(from)) {
      const own = (to as Record<string, unknown>)[key]
      if (own === undefined) say([...at, key], 'it is missing', `Translate: ${JSON.stringify(value)}`)
      else compare(value, own, [...at, key], say)
    }
    for (const key of Object.keys(to)) {
      if (!(key in from)) say([...at, key], 'the English has no such text', 'Take it out, or mend the spelling')
    }
  }
}

const placeholders = (text: string) => [...text.matchAll(/\{\w+\}/g)].map((m) => m[0]).sort()
/** Numbers as written, signs and points with them; a comma between digits is a decimal point elsewhere. */
const numbers = (text: string) =>
  [...text.replace(/\{\w+\}/g, ' ').matchAll(/\d+(?:[.,]\d+)*/g)].map((m) => m[0]).sort()

function compareLines(from: string, to: string, at: readonly PropertyKey[], say: Say): void {
  // Short names on a drawing, or none.
  if (to.trim().length < Math.min(2, from.trim().length)) {
    say(at, 'the line is empty', `Translate: ${from}`)
    return
  }
  const long = at.find((key) => typeof key === 'string' && LONG.has(key))
  const most = long === 'note' ? NOTE : long === undefined ? LINE : STEP
  if (to.length > most) say(at, `${to.length} characters; no more than ${most} are shown well`, 'Say it shorter')
  if (placeholders(from).join() !== placeholders(to).join())
    say(
      at,
      `the English has ${placeholders(from).join(' ') || 'no placeholder'}, this has ${placeholders(to).join(' ') || 'none'}`,
      'Keep each {placeholder} as it is',
    )
  if (numbers(from).join(' ') !== numbers(to).join(' '))
    say(
      at,
      `the English has the numbers ${numbers(from).join(' ') || '(none)'}, this has ${numbers(to).join(' ') || '(none)'}`,
      'Keep every figure as it is, with a point',
    )
}

/** Values of siblings that are English words would stand in the middle of the other language. */
function lintSiblings(source: English, own: TranslationFile['for'], needed: string, say: Say): void {
  const entries = source.for ?? []
  if (own && own.length !== entries.length) {
    say(['for'], `${own.length} entries where the English has ${entries.length}`, 'Give one for each, in order')
    return
  }
  entries.forEach((entry, i) => {
    for (const [name, value] of Object.entries(entry)) {
      if (typeof value !== 'string' || !/[a-z]{3}/.test(value) || !needed.includes(`{${name}}`)) continue
      if (own?.[i]?.[name] === undefined)
        say(['for', i, name], `"${value}" would be read in English`, `Add "for" with what {${name}} is called`)
    }
  })
}

/** Names of parts are made of their ids in English; another language needs each said. */
function lintParts(
  files: readonly SourceFile[],
  file: SourceFile | undefined,
  root: string,
  problems: Problem[],
  missing: Problem[],
): void {
  const read = partsFile.safeParse(parsed(file?.text))
  if (file && !read.success)
    problems.push({ file: file.path, path: '$', what: read.error.issues[0]!.message, mend: 'See the guide' })
  const known = read.data?.parts ?? {}
  for (const [name, where] of partsNamed(files)) {
    if (known[name] === undefined && known[name.replace(/\b\d+\b/, '{n}')] === undefined)
      missing.push({
        file: `${root}parts.json`,
        path: '$.parts',
        what: `"${name}" has no name (${where})`,
        mend: 'Add it; {n} may stand for its number',
      })
  }
  for (const [name, own] of Object.entries(known)) {
    if (name.includes('{n}') !== own.includes('{n}'))
      problems.push({
        file: `${root}parts.json`,
        path: `$.parts["${name}"]`,
        what: 'only one of the two has {n}',
        mend: 'Write {n} in both, where the number stands',
      })
  }
}

/** Every part that people are shown by name: what a remedy fits, what is lifted, bridged or ruled out, where probes go. */
export function partsNamed(files: readonly SourceFile[]): Map<string, string> {
  const found = new Map<string, string>()
  const add = (name: unknown, where: string) => {
    if (typeof name === 'string' && !found.has(name)) found.set(name, where)
  }
  const words = (id: unknown) => (typeof id === 'string' ? id.replace(/[-.]/g, ' ') : undefined)
  for (const file of files) {
    const folder = file.path.split('/')[0]
    if (folder !== 'causes' && folder !== 'checks' && folder !== 'remedies') continue
    for (const one of written(parsed(file.text))) {
      if (folder === 'remedies') add((one.part as { name?: string } | undefined)?.name, file.path)
      if (folder === 'causes') {
        const component = String(one.id).split('.')[0]!
        add(words(component), file.path)
        // Those with a number are ruled out together: "contactor".
        add(words(component.replace(/-\d+$/, '')), file.path)
      }
      const state = one.carState as Record<string, unknown> | undefined
      for (const list of [state?.lifted, state?.bridged])
        for (const part of Array.isArray(list) ? list : []) add(words(part), file.path)
      for (const node of Object.values((one.probes as Record<string, string> | undefined) ?? {}))
        add(words(node), file.path)
    }
  }
  return found
}

function written(json: unknown): Record<string, unknown>[] {
  if (json === null || typeof json !== 'object') return []
  return writeOut(json as { for?: Record<string, string | number>[] }) as Record<string, unknown>[]
}

function parsed(text: string | undefined): unknown {
  if (text === undefined) return undefined
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
