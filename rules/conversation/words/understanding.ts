import MiniSearch from 'minisearch'
import type { Knowledge } from '../../schema/knowledge.ts'
import type { Scored, Understand, Understanding } from './types.ts'

const SURE = 0.5
const MARGIN = 0.12

/** Builds the index once; the returned function then reads one utterance. Pure. */
export function createUnderstanding(
  knowledge: Pick<Knowledge, 'complaints' | 'circumstances'>,
  _language: string,
): Understand {
  const complaints = phraseIndex(knowledge.complaints)
  const circumstances = phraseIndex(knowledge.circumstances)
  return (text): Understanding => {
    const ranked = complaints(text)
    const first = ranked[0]
    const sure = !!first && first.score >= SURE && first.score - (ranked[1]?.score ?? 0) >= MARGIN
    return {
      complaints: first ? [first] : [],
      circumstances: circumstances(text).filter((c) => c.score >= 0.6),
      sure,
      options: ranked.slice(0, 4).map((r) => r.id),
      domain: first ? 'in' : 'unsure',
      negated: [],
    }
  }
}

function phraseIndex(files: Knowledge['circumstances']) {
  const search = new MiniSearch<{ id: number; text: string }>({ fields: ['text'] })
  const owner: string[] = []
  for (const file of files) {
    for (const text of [file.text.name, file.text.plain, ...file.text.phrases]) {
      search.add({ id: owner.length, text })
      owner.push(file.id)
    }
  }
  return (text: string): Scored[] => {
    const best = new Map<string, number>()
    for (const hit of search.search(text, { fuzzy: 0.2, prefix: false })) {
      const id = owner[hit.id as number]!
      best.set(id, Math.max(best.get(id) ?? 0, hit.score))
    }
    const top = Math.max(8, ...best.values())
    return [...best]
      .map(([id, score]) => ({ id, score: score / top }))
      .sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1))
  }
}
