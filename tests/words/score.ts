import { readFileSync } from 'node:fs'
import type { Understand } from '../../rules/conversation/words/index.ts'

export interface Line {
  id: string
  text: string
  complaints: string[]
  circumstances?: string[]
  /** other ids that a fair reader would accept as the first */
  also?: string[]
  domain: 'in' | 'out'
}

export interface WordsScore {
  lines: number
  inDomain: number
  outOfDomain: number
  /** share of in-domain lines whose likeliest complaint is right */
  topOne: number
  topThree: number
  /** share of out-of-domain lines for which no complaint is taken or offered */
  refused: number
  /** share of in-domain lines taken for something else */
  turnedAway: number
  /** share of in-domain lines taken without asking, and how many of those are wrong */
  sure: number
  sureButWrong: number
  /** circumstances: of those said, found; of those found, said */
  circumstancesFound: number
  circumstancesRight: number
}

export interface Verdict {
  line: Line
  options: string[]
  circumstances: string[]
  domain: string
  sure: boolean
  topOne: boolean
  topThree: boolean
}

/** `paraphrases…` are held out: only their figures may be looked at. `tuning.json` may be read. */
export function readLines(file: 'paraphrases.json' | 'paraphrases.es.json' | 'tuning.json'): Line[] {
  return JSON.parse(readFileSync(new URL(file, import.meta.url), 'utf8')) as Line[]
}

export function judge(lines: readonly Line[], understand: Understand): Verdict[] {
  return lines.map((line) => {
    const { options, domain, sure, circumstances } = understand(line.text)
    const right = new Set([...line.complaints.slice(0, 1), ...(line.also ?? [])])
    const offered = domain === 'in' ? options : []
    return {
      line,
      options,
      circumstances: circumstances.map((c) => c.id),
      domain,
      sure,
      topOne: offered[0] !== undefined && right.has(offered[0]),
      topThree: offered.slice(0, 3).some((id) => right.has(id)),
    }
  })
}

/** Figures of a set of lines; all shares 0..1. */
export function scoreWords(lines: readonly Line[], understand: Understand): WordsScore {
  const verdicts = judge(lines, understand)
  const inside = verdicts.filter((v) => v.line.domain === 'in')
  const outside = verdicts.filter((v) => v.line.domain === 'out')
  const sure = inside.filter((v) => v.sure)
  const share = (part: number, whole: number) => (whole ? part / whole : 0)
  const said = inside.flatMap((v) => (v.line.circumstances ?? []).map((c) => ({ v, c })))
  const found = inside.flatMap((v) => v.circumstances.map((c) => ({ v, c })))
  return {
    lines: lines.length,
    inDomain: inside.length,
    outOfDomain: outside.length,
    topOne: share(inside.filter((v) => v.topOne).length, inside.length),
    topThree: share(inside.filter((v) => v.topThree).length, inside.length),
    refused: share(outside.filter((v) => v.domain !== 'in').length, outside.length),
    turnedAway: share(inside.filter((v) => v.domain !== 'in').length, inside.length),
    sure: share(sure.length, inside.length),
    sureButWrong: share(sure.filter((v) => !v.topOne).length, sure.length),
    circumstancesFound: share(said.filter(({ v, c }) => v.circumstances.includes(c)).length, said.length),
    circumstancesRight: share(found.filter(({ v, c }) => v.line.circumstances?.includes(c)).length, found.length),
  }
}
