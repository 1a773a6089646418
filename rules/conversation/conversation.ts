import { PROTOCOL_VERSION } from '../protocol/client.ts'
import type { CaseEvent, ServerMessage, StepMessage, StoredEvent } from '../protocol/index.ts'
import type { Compiled } from '../reasoning/compiled.ts'
import { Reasoner } from '../reasoning/reasoner.ts'
import { CAR_FACT_NAMES } from '../schema/car.ts'
import type { Knowledge } from '../schema/knowledge.ts'
import type { KnowledgeTexts } from '../schema/texts.ts'
import { type CaseState, foldCase } from './case-state.ts'
import { askBody } from './compose/ask.ts'
import { cautionBody, holdingBack } from './compose/caution.ts'
import { findingBody } from './compose/finding.ts'
import { type Names, namesOf } from './compose/names.ts'
import { notedBody } from './compose/noted.ts'
import { papersOf } from './compose/papers.ts'
import { standingBody } from './compose/standing.ts'
import { answer } from './steps/answer.ts'
import { carState } from './steps/car-state.ts'
import { meter } from './steps/meter.ts'
import { option, say } from './steps/say.ts'
import { acknowledge, close, facts, pick, repaired, retract, tell } from './steps/simple.ts'
import type { Decision, StepInput, Unsent } from './steps/types.ts'
import { why } from './steps/why.ts'
import { approve, contact, decline, handBack, rootCause, signOff } from './steps/work.ts'
import { type TextKey, textsOf } from './texts/index.ts'
import { type Turn, turnerOf } from './turn.ts'
import type { Caller, CaseRecord, Conversation } from './types.ts'
import { createUnderstanding, type Understand } from './words/index.ts'

const HANDLERS: { [T in StepMessage['type']]: (input: StepInput) => Promise<Decision> } = {
  facts,
  say,
  answer,
  retract,
  pick,
  why,
  acknowledge,
  'car-state': carState,
  tell,
  repaired,
  close,
  contact,
  approve,
  decline,
  'root-cause': rootCause,
  'hand-back': handBack,
  'sign-off': signOff,
  meter,
}

/** What changes something or asks to: refused once a case is closed. */
const READS_ONLY = new Set<StepMessage['type']>(['why', 'meter'])

export interface ConversationOptions {
  /** language -> the knowledge's texts in it; English is the knowledge itself */
  texts?: Readonly<Record<string, KnowledgeTexts>>
  /** what a case is pinned to, where it is more than what the tables were made from */
  hash?: string
}

/** A conversation over one knowledge; see types.ts for what its steps promise. */
export function createConversation(
  compiled: Compiled,
  knowledge: Knowledge,
  options: ConversationOptions = {},
): Conversation {
  const r = new Reasoner(compiled, knowledge)
  const makeTurn = turnerOf(r)
  const names = new Map<string, Names>()
  const understanding = new Map<string, Understand>()
  const textsFor = (language: string) => options.texts?.[language] ?? options.texts?.[language.slice(0, 2)]
  /** A language that there is nothing of is not claimed to be spoken: a screen reader would read English by its rules. */
  const spoken = (language: string) => (language.startsWith('en') || textsFor(language) ? language : 'en')
  // Words and phrases belong together: without words of its own a language is read as English.
  const understandingOf = (language: string) => {
    const { words, knowledge: own } = namesFor(language)
    return words ? createUnderstanding(own, language, words) : createUnderstanding(knowledge, 'en')
  }
  const namesFor = (language: string) => {
    const found = names.get(language) ?? namesOf(knowledge, textsOf(language), language, textsFor(language))
    names.set(language, found)
    return found
  }
  const understandFor = (language: string) => {
    const found = understanding.get(language) ?? understandingOf(language)
    understanding.set(language, found)
    return found
  }

  async function show(record: CaseRecord, caller: Caller, said?: string): Promise<{ unsent: Unsent[]; turn: Turn }> {
    const state = foldCase(record, r)
    const turn = await makeTurn(state, caller)
    const n = namesFor(spoken(caller.language ?? state.language))
    const { t } = n
    const held = turn.stops.length > 0 ? [] : holdingBack(turn.cautions, state.acknowledged)
    const ask = held.length > 0 ? null : askBody(r, turn, n)
    const why: TextKey | undefined =
      held.length > 0 ? 'because.caution' : turn.why ? (`because.${turn.why}` as TextKey) : undefined
    return {
      turn,
      unsent: [
        notedBody(r, turn, n, record, said),
        {
          type: 'caution',
          stop: turn.stops.length > 0,
          cautions: turn.cautions.map((c) => cautionBody(n.caution(c), caller.role, state.acknowledged)),
        },
        standingBody(r, turn, n),
        { type: 'finding', finding: findingBody(r, turn, n) },
        { type: 'ask', ask, ...(ask === null && why ? { because: t(why) } : {}) },
      ],
    }
  }

  const seal = (messages: Unsent[], record: CaseRecord, seq: number, re?: string): ServerMessage[] =>
    messages.map(
      (m) =>
        ({ v: PROTOCOL_VERSION, ...(re === undefined ? {} : { re }), case: record.id, seq, ...m }) as ServerMessage,
    )

  return {
    hash: options.hash ?? compiled.hash,
    languages: Object.keys(options.texts ?? {}),

    warm(language) {
      understandFor(language)
    },

    open(input) {
      const stamp = { at: input.outside.now, by: input.caller.role, cause: input.messageId }
      return [
        {
          ...stamp,
          type: 'opened',
          code: input.code,
          shop: input.shop,
          language: input.language,
          knowledge: options.hash ?? compiled.hash,
          facts: input.facts ?? {},
          ...(input.tag === undefined ? {} : { tag: input.tag }),
        },
      ]
    },

    async step(record, caller, message, outside) {
      const state = foldCase(record, r)
      const language = spoken(caller.language ?? state.language)
      const n = namesFor(language)
      let before: Promise<Turn> | undefined
      const input: StepInput = {
        message,
        state,
        caller,
        outside,
        r,
        names: n,
        understand: (text) => understandFor(language)(text),
        turn: () => {
          before ??= makeTurn(state, caller)
          return before
        },
      }
      if (state.status === 'closed' && !READS_ONLY.has(message.type)) {
        const refusal: Unsent = {
          type: 'refused',
          code: 'case-closed',
          text: n.t('refuse.case-closed'),
          mend: n.t('refuse.case-closed.mend'),
        }
        return { events: [], words: {}, replies: seal([refusal], record, state.seq, message.id) }
      }
      const decision = await HANDLERS[message.type](input)
      if ('refuse' in decision) {
        return {
          events: [],
          words: {},
          replies: seal([{ type: 'refused', ...decision.refuse }], record, state.seq, message.id),
        }
      }
      const words = decision.words ?? {}
      const next = append(record, decision.events, words)
      // What only reads gets its own reply and nothing else: the screen already shows the rest.
      if (decision.events.length === 0 && (decision.replies?.length ?? 0) > 0) {
        return { events: [], words: {}, replies: seal(decision.replies!, record, state.seq, message.id) }
      }
      const shown = await show(next, caller)
      const said = await whatItDid(decision, input, shown.turn, n)
      if (said) {
        const noted = shown.unsent.find((m) => m.type === 'noted')
        if (noted && noted.type === 'noted') noted.say = said
      }
      const events = [...decision.events]
      const put = shownEvent(shown.unsent, input)
      if (put && !sameShown(put, state.shown)) events.push(put)
      const seq = state.seq + events.length
      return { events, words, replies: seal([...(decision.replies ?? []), ...shown.unsent], record, seq, message.id) }
    },

    async view(record, caller, re) {
      const { unsent, turn } = await show(record, caller)
      return seal(unsent, record, turn.state.seq, re)
    },

    papers(record, caller) {
      const language = spoken(caller.language ?? foldCase(record, r).language)
      return papersOf(r, makeTurn, namesFor(language), record, caller)
    },

    catalogue(language = 'en') {
      const n = namesFor(language)
      return {
        causes: knowledge.causes.map((c) => ({ id: c.id, name: n.cause(c.id, 'technician') })),
        complaints: knowledge.complaints.map((c) => ({ id: c.id, name: n.complaint(c.id) })),
        circumstances: knowledge.circumstances.map((c) => ({ id: c.id, name: n.circumstance(c.id) })),
        remedies: n.knowledge.remedies.map((x) => ({
          id: x.id,
          name: x.text.name,
          minutes: x.minutes,
          part: x.part.name,
          low: x.part.low,
          high: x.part.high,
        })),
        rootCauses: n.knowledge.rootCauses.map((x) => ({ id: x.id, name: x.text.name })),
      }
    },

    opening(record, caller) {
      const state = foldCase(record, r)
      const names = namesFor(spoken(caller.language ?? state.language))
      const texts = names.knowledge.carFacts.facts
      return {
        case: record.id,
        seq: state.seq,
        type: 'opened',
        role: caller.role,
        code: state.code,
        ...(state.tag === undefined ? {} : { tag: state.tag }),
        knowledge: state.hash,
        language: names.language,
        facts: state.facts,
        carState: state.setUp.carState,
        status: state.status,
        complaints: knowledge.complaints.map((c) => option({ names }, c.id)),
        factsToAsk: CAR_FACT_NAMES.flatMap((fact) => {
          const file = texts[fact]
          if (!file) return []
          return [
            {
              fact,
              name: file.text.name,
              values: file.values.map((value) => ({ value, label: file.text.values[String(value)] ?? String(value) })),
            },
          ]
        }),
      }
    },
  }
}

function append(record: CaseRecord, events: readonly CaseEvent[], words: Record<string, string>): CaseRecord {
  let seq = record.events.at(-1)?.seq ?? 0
  return {
    ...record,
    events: [...record.events, ...events.map((e): StoredEvent => ({ ...e, seq: ++seq }))],
    words: { ...record.words, ...words },
  }
}

/** One line on what the message did to the standing. */
async function whatItDid(decision: Decision, input: StepInput, after: Turn, n: Names): Promise<string | undefined> {
  if ('refuse' in decision) return undefined
  if (!decision.compare) return decision.say
  const { t } = n
  if (input.state.unproved && !after.state.unproved) return t(after.state.proved ? 'noted.proved' : 'noted.not-proved')
  if (input.caller.role === 'customer' && decision.compare === 'answered') return decision.say
  const before = await input.turn()
  const possible = (turn: Turn) => new Set(turn.ranked.filter((x) => x.p >= 0.005).map((x) => x.id))
  const was = possible(before)
  const is = possible(after)
  if (decision.compare === 'answered') {
    const moved = after.ranked.some((x) => Math.abs(x.p - (before.ranked.find((y) => y.id === x.id)?.p ?? 0)) > 1e-6)
    const did = moved
      ? t('noted.answered', { count: [...was].filter((id) => !is.has(id)).length })
      : t('noted.unchanged')
    return decision.say ? `${decision.say} ${did}` : did
  }
  const given = input.state.given.find((g) => g.check === decision.retracted)!
  return t('noted.retracted', { question: n.question(given), count: [...is].filter((id) => !was.has(id)).length })
}

type Shown = Extract<CaseEvent, { type: 'shown' }>

function shownEvent(unsent: readonly Unsent[], input: StepInput): Shown | undefined {
  const ask = unsent.find((m) => m.type === 'ask')
  const caution = unsent.find((m) => m.type === 'caution')
  const finding = unsent.find((m) => m.type === 'finding')
  if (ask?.type !== 'ask' || caution?.type !== 'caution' || finding?.type !== 'finding') return undefined
  return {
    at: input.outside.now,
    by: input.caller.role,
    cause: input.message.id,
    ...(input.caller.id === undefined ? {} : { who: input.caller.id }),
    type: 'shown',
    ask: ask.ask?.check ?? null,
    cautions: caution.cautions.map((c) => c.id),
    finding: finding.finding?.causes.map((c) => c.cause) ?? [],
  }
}

function sameShown(a: Shown, b: CaseState['shown']): boolean {
  return (
    b !== undefined &&
    a.by === b.by &&
    a.ask === b.ask &&
    a.cautions.join() === b.cautions.join() &&
    a.finding.join() === b.finding.join()
  )
}
