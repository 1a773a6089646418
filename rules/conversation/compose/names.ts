import type { Role } from '../../protocol/index.ts'
import type { CautionFile, CheckFile, Knowledge } from '../../schema/knowledge.ts'
import type { KnowledgeTexts } from '../../schema/texts.ts'
import { learnWiringNames, type WiringText, wiringNames } from '../../wiring/names.ts'
import type { Given } from '../case-state.ts'
import type { Translate } from '../texts/index.ts'
import { localise, partIn } from '../texts/localise.ts'
import type { WordsFile } from '../words/index.ts'

/** Looks up what things are called, one for a language; what it lacks is called as in English. */
export interface Names {
  t: Translate
  language: string
  /** the knowledge with the texts of the language: whatever is read by a person is taken from here */
  knowledge: Knowledge
  /** the words that people say in it; English where it has none */
  words?: WordsFile | undefined
  check(id: string): CheckFile | undefined
  question(given: Pick<Given, 'check'>): string
  answer(given: Pick<Given, 'check' | 'outcome' | 'reading' | 'blocks'>): string
  outcome(check: CheckFile, outcome: string): { label: string; small?: string }
  cause(id: string, role: Role): string
  complaint(id: string): string
  circumstance(id: string): string
  caution(c: CautionFile): CautionFile
  part(component: string): string
  /** a place that a probe is put on */
  place(node: string): string
  number(value: number): string
}

/** @param texts the language's own, where it has some */
export function namesOf(english: Knowledge, t: Translate, language: string, texts?: KnowledgeTexts): Names {
  const k = texts ? localise(english, texts) : english
  const by = <T extends { id: string }>(list: readonly T[]) => new Map(list.map((x) => [x.id, x]))
  const checks = by(k.checks)
  const causes = by(k.causes)
  const complaints = by(k.complaints)
  const circumstances = by(k.circumstances)
  const cautions = by(k.cautions)
  if (texts?.wiring) learnWiringNames(language, texts.wiring as WiringText)
  const wiring = wiringNames(language)
  const format = new Intl.NumberFormat(language, { maximumFractionDigits: 3, useGrouping: false })
  const names: Names = {
    t,
    language,
    knowledge: k,
    words: texts?.words as WordsFile | undefined,
    check: (id) => checks.get(id),
    question({ check }) {
      if (check.startsWith('complaint.')) return t('question.complaint')
      if (check.startsWith('circumstance.')) return t('question.circumstance')
      return checks.get(check)?.text.ask ?? check
    },
    answer({ check, outcome, reading, blocks }) {
      if (check.startsWith('complaint.')) return names.complaint(check.slice(10))
      if (check.startsWith('circumstance.')) return names.circumstance(check.slice(13))
      if (reading) return `${format.format(reading.value)} ${reading.unit}`
      if (blocks) return `${blocks.map((v) => format.format(v)).join(', ')} V`
      const file = checks.get(check)
      if (!file || outcome === undefined) return outcome ?? ''
      return names.outcome(file, outcome).label
    },
    outcome(check, outcome) {
      if (outcome === 'dont-know') return { label: t('answer.dont-know') }
      const text = check.text.outcomes[outcome]
      if (text === undefined) return { label: outcome }
      return typeof text === 'string' ? { label: text } : text
    },
    cause(id, role) {
      if (id === 'other') return t(role === 'customer' ? 'other.plain' : 'other.name')
      const text = causes.get(id)?.text
      return (role === 'customer' ? text?.plain : text?.name) ?? id
    },
    complaint: (id) => complaints.get(id)?.text.name ?? id,
    circumstance: (id) => circumstances.get(id)?.text.name ?? id,
    caution: (c) => cautions.get(c.id) ?? c,
    // Parts in the car state are component ids; what the wiring has no name for reads as words without the dashes.
    part: (component) => {
      return wiring.knows(component) ? wiring.part(component) : partIn(texts, component.replace(/[-.]/g, ' '))
    },
    place: (node) => (wiring.knows(node) ? wiring.node(node) : partIn(texts, node.replace(/[-.]/g, ' '))),
    number: (value) => format.format(value),
  }
  return names
}
