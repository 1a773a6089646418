import type { SourceFile } from '../../schema/parse.ts'
import type { Problem } from '../../schema/problem.ts'
import { type English, languagesOf, type Text, translationFile } from '../../schema/texts.ts'
import { inflesz, perspicuity } from './perspicuity.ts'

/** What a customer reads in Spanish is "bastante fácil" by the INFLESZ scale, over at least so many words. */
export const EASY = 65
const WORDS = 100
/** As many ways to say a complaint as the English ones have at least, and a circumstance. */
const PHRASES = { complaints: 25, circumstances: 12 } as const

export interface Readability {
  language: string
  pool: string
  score: number
  words: number
}

/** What customers read, pooled, since a score means nothing over one short line. Only languages with a scale of their own. */
export function readabilityOf(files: readonly SourceFile[]): Readability[] {
  return languagesOf(files)
    .filter((language) => language.startsWith('es'))
    .flatMap((language) =>
      [...poolsOf(files, language)].map(([pool, texts]) => ({ language, pool, ...perspicuity(texts) })),
    )
}

export function lintTranslatedWords(files: readonly SourceFile[]): Problem[] {
  const hard = readabilityOf(files)
    .filter((x) => x.words >= WORDS && x.score < EASY)
    .map((x) => ({
      file: `texts/${x.language}/${x.pool}/`,
      path: '$.text',
      what: `what a customer reads here scores ${x.score.toFixed(1)} (Szigriszt-Pazos; INFLESZ "${inflesz(x.score)}")`,
      mend: `Shorter sentences and words, to ${EASY} or above`,
    }))
  const few = languagesOf(files).flatMap((language) =>
    files.flatMap((file): Problem[] => {
      const [, folder] = new RegExp(`^texts/${language}/(complaints|circumstances)/`).exec(file.path) ?? []
      const phrases = folder && textOf(file)?.phrases
      const least = folder ? PHRASES[folder as keyof typeof PHRASES] : 0
      if (!Array.isArray(phrases) || phrases.length >= least) return []
      return [
        {
          file: file.path,
          path: '$.text.phrases',
          what: `only ${phrases.length} phrases`,
          mend: `Give at least ${least}, as different people would say it`,
        },
      ]
    }),
  )
  return [...hard, ...few]
}

function poolsOf(files: readonly SourceFile[], language: string): Map<string, string[]> {
  const root = `texts/${language}/`
  const english = new Map(files.map((f) => [f.path, f]))
  const pools = new Map<string, string[]>()
  const add = (pool: string, ...texts: unknown[]) => {
    const there = pools.get(pool) ?? []
    there.push(...texts.flat(2).filter((t): t is string => typeof t === 'string'))
    pools.set(pool, there)
  }
  for (const file of files) {
    if (!file.path.startsWith(root)) continue
    const path = file.path.slice(root.length)
    const text = textOf(file)
    if (!text) continue
    switch (path.split('/')[0]) {
      case 'checks': {
        const source = parsed(english.get(path)) as (English & { who?: string[] }) | undefined
        if (!source?.who?.includes('customer')) break
        const outcomes = Object.values((text.outcomes ?? {}) as Text).flatMap((o) =>
          typeof o === 'string' ? [o] : Object.values(o as Text),
        )
        add('checks', text.ask, text.hint, outcomes)
        break
      }
      case 'complaints':
        add('complaints', text.plain, text.until)
        break
      case 'causes':
      case 'cautions':
        add(path.split('/')[0]!, text.plain)
    }
  }
  return pools
}

const textOf = (file: SourceFile): Text | undefined => translationFile.safeParse(parsed(file)).data?.text

function parsed(file: SourceFile | undefined): unknown {
  if (!file) return undefined
  try {
    return JSON.parse(file.text)
  } catch {
    return undefined
  }
}
