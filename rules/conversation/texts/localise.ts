import type { Knowledge } from '../../schema/knowledge.ts'
import type { KnowledgeTexts, Text } from '../../schema/texts.ts'

/**
 * The knowledge as it is read in a language: the same things in the same order, their texts exchanged. A string that the
 * language lacks stays English. Phrases are the language's own, or none.
 */
export function localise(k: Knowledge, texts: KnowledgeTexts): Knowledge {
  const exchange = <T extends { id: string; text: object }>(list: readonly T[], own: Record<string, Text>): T[] =>
    list.map((x) => {
      const text = own[x.id]
      return text ? { ...x, text: laidOver(x.text, text) as T['text'] } : x
    })
  const spoken = <T extends { id: string; text: { phrases: string[] } }>(
    list: readonly T[],
    own: Record<string, Text>,
  ) =>
    exchange(
      list.map((x) => ({ ...x, text: { ...x.text, phrases: [] } })),
      own,
    )
  const t = texts.texts
  return {
    ...k,
    causes: exchange(k.causes, t.causes),
    observables: exchange(k.observables, t.observables),
    checks: exchange(k.checks, t.checks),
    complaints: spoken(k.complaints, t.complaints),
    circumstances: spoken(k.circumstances, t.circumstances),
    cautions: exchange(k.cautions, t.cautions),
    remedies: exchange(k.remedies, t.remedies).map((x) => ({
      ...x,
      part: { ...x.part, name: partIn(texts, x.part.name) },
    })),
    rootCauses: exchange(k.rootCauses, t['root-causes']),
    carFacts: {
      ...k.carFacts,
      facts: Object.fromEntries(
        Object.entries(k.carFacts.facts).map(([name, fact]) => [
          name,
          { ...fact, text: laidOver(fact.text, texts.facts[name] ?? {}) as typeof fact.text },
        ]),
      ),
    },
  }
}

/** What a part is called: "contactor 3" is looked up as such, else as "contactor {n}". */
export function partIn(texts: KnowledgeTexts | undefined, english: string): string {
  if (!texts) return english
  const whole = texts.parts[english]
  if (whole !== undefined) return whole
  const number = /\b\d+\b/.exec(english)?.[0]
  const numbered = texts.parts[english.replace(/\b\d+\b/, '{n}')]
  return numbered === undefined || number === undefined ? english : numbered.replace('{n}', number)
}

/** English with every string exchanged that the other has in the same place. */
function laidOver(english: unknown, own: unknown): unknown {
  if (own === undefined || own === null) return english
  if (Array.isArray(english)) {
    // Phrases begin empty here; lines of another count belong to another text.
    if (!Array.isArray(own)) return english
    return english.length === 0 || own.length === english.length ? own : english
  }
  if (typeof english === 'object' && english !== null) {
    if (typeof own !== 'object') return english
    const from = own as Record<string, unknown>
    return Object.fromEntries(Object.entries(english).map(([key, value]) => [key, laidOver(value, from[key])]))
  }
  return typeof own === typeof english ? own : english
}
