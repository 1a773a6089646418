import { compile } from '../../rules/reasoning/compile.ts'
import { hashOf } from '../../rules/reasoning/hash.ts'
import { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
import { formatProblem } from '../../rules/schema/problem.ts'

/** A small knowledge for tests, written as files, so that it takes the same way as the real one. */
export interface Small {
  causes: {
    id: string
    weight?: number
    remedy?: string
    when?: unknown
    effects: { observable: string; when?: unknown; states: Record<string, unknown> }[]
    complaints?: Record<string, unknown>
  }[]
  observables: { id: string; states: string[]; usual?: Record<string, unknown> }[]
  checks: {
    id: string
    observable?: string
    fact?: string
    outcomes: { id: string; shows: unknown }[]
    minutes?: number
    reliability?: number
    when?: unknown
  }[]
  remedies?: Record<string, { minutes: number; price: number }>
  facts?: Record<string, { values: unknown[]; weights: number[]; given?: unknown[] }>
  otherWeight?: number
}

export function smallFiles(small: Small): SourceFile[] {
  const files: SourceFile[] = []
  const put = (path: string, json: unknown) => files.push({ path, text: JSON.stringify(json) })
  const p = (value: number) => ({ p: value, source: 'test' })
  put('settings.json', {
    source: 'test',
    setUpMinutes: {},
    ratePerHour: 60,
    otherWeight: small.otherWeight ?? 1e-9,
    otherMinutes: 100,
    sureEnough: 0.8,
  })
  put('car-facts.json', {
    facts: Object.fromEntries(
      Object.entries(small.facts ?? {}).map(([name, f]) => [
        name,
        {
          ...f,
          source: 'test',
          text: { name, values: Object.fromEntries(f.values.map((v) => [String(v), `is ${v}`])) },
        },
      ]),
    ),
  })
  put('complaints/no-go-silent.json', {
    id: 'no-go-silent',
    base: 0.05,
    text: { name: 'Dead', plain: 'Dead', until: ['Wait.'], phrases: ['dead'] },
  })
  put('root-causes/age.json', { id: 'age', text: { name: 'Age', ask: 'How old?' } })
  const remedies = new Set(small.causes.map((c) => c.remedy ?? `mend-${c.id.replace('.', '-')}`))
  for (const id of remedies) {
    const cost = small.remedies?.[id] ?? { minutes: 30, price: 0 }
    put(`remedies/${id}.json`, {
      id,
      minutes: cost.minutes,
      part: { name: 'a part', low: cost.price, high: cost.price, source: 'test' },
      proof: { check: small.checks[0]!.id, outcome: small.checks[0]!.outcomes[0]!.id },
      stale: [],
      text: { name: `Do ${id}`, steps: ['Do it.'] },
    })
  }
  for (const c of small.causes) {
    put(`causes/${c.id}.json`, {
      id: c.id,
      weight: { times: c.weight ?? 1, source: 'test' },
      remedy: c.remedy ?? `mend-${c.id.replace('.', '-')}`,
      rootCauses: ['age'],
      complaints: c.complaints ?? {},
      effects: c.effects,
      ...(c.when ? { when: c.when } : {}),
      text: { name: c.id, plain: c.id },
    })
  }
  for (const o of small.observables) {
    put(`observables/${o.id}.json`, {
      id: o.id,
      states: o.states,
      usual: o.usual ?? { [o.states[0]!]: p(0.9) },
      text: { name: o.id },
    })
  }
  for (const c of small.checks) {
    put(`checks/${c.id}.json`, {
      id: c.id,
      ...(c.observable ? { observable: c.observable } : {}),
      ...(c.fact ? { fact: c.fact } : {}),
      ...(c.when ? { when: c.when } : {}),
      who: ['technician', 'customer'],
      way: 'look',
      minutes: c.minutes ?? 1,
      reliability: c.reliability ?? 0.95,
      outcomes: c.outcomes,
      text: {
        ask: `Ask ${c.id}?`,
        reason: 'it is so',
        outcomes: Object.fromEntries(c.outcomes.map((o) => [o.id, `it is ${o.id}`])),
      },
    })
  }
  return files
}

export async function smallReasoner(small: Small): Promise<Reasoner> {
  const files = smallFiles(small)
  const { knowledge, problems } = parseKnowledge(files)
  if (!knowledge) throw new Error(problems.map(formatProblem).join('\n'))
  return new Reasoner(await compile(knowledge, hashOf(files)), knowledge)
}

/** Three causes over two observables and three checks, two of which look at the same thing. */
export const THREE: Small = {
  causes: [
    {
      id: 'switch.open',
      weight: 2,
      effects: [{ observable: 'click', states: { absent: 'certain' } }],
      complaints: { 'no-go-silent': 'probable' },
    },
    {
      id: 'coil.open',
      weight: 1,
      effects: [
        { observable: 'click', states: { absent: 'probable' } },
        { observable: 'feed', states: { lit: 'certain' } },
      ],
      complaints: { 'no-go-silent': 'expected' },
    },
    { id: 'motor.open', weight: 1, effects: [{ observable: 'feed', states: { lit: 'expected' } }] },
  ],
  observables: [
    { id: 'click', states: ['present', 'absent'] },
    { id: 'feed', states: ['dark', 'lit'] },
  ],
  checks: [
    {
      id: 'listen-for-click',
      observable: 'click',
      outcomes: [
        { id: 'yes', shows: ['present'] },
        { id: 'no', shows: ['absent'] },
      ],
      reliability: 0.9,
    },
    {
      id: 'feel-for-click',
      observable: 'click',
      outcomes: [
        { id: 'yes', shows: ['present'] },
        { id: 'no', shows: ['absent'] },
      ],
      reliability: 0.8,
    },
    {
      id: 'lamp-on-feed',
      observable: 'feed',
      outcomes: [
        { id: 'lit', shows: ['lit'] },
        { id: 'dark', shows: ['dark'] },
      ],
    },
  ],
}
