import type { Caller, CaseRecord, Conversation, StepResult } from '../../rules/conversation/types.ts'
import {
  type CaseEvent,
  PROTOCOL_VERSION,
  type RefusalCode,
  type ServerMessage,
  type StoredEvent,
} from '../../rules/protocol/index.ts'

/**
 * A conversation with no knowledge behind it, for tests of what surrounds it: five yes-or-no checks, asked in order.
 * It keeps the contract (pure, refuses in words) and fails on request: a `tell` of "throw" throws, "slow" takes a while.
 */
export function fakeConversation(options: { hash?: string; slow?: () => Promise<void> } = {}): Conversation {
  const hash = options.hash ?? 'fake-1'
  const state = (record: CaseRecord) => {
    const opened = record.events[0] as Extract<StoredEvent, { type: 'opened' }>
    const answers = new Map<string, StoredEvent & { type: 'answered' }>()
    let carState = {}
    let closed = false
    let bridged = 0
    for (const event of record.events) {
      if (event.type === 'answered') answers.set(event.check, event)
      if (event.type === 'retracted') answers.delete(event.check)
      if (event.type === 'car-state') {
        carState = event.state
        bridged = event.state.bridged?.length ?? 0
      }
      if (event.type === 'closed') closed = true
    }
    return { opened, answers, carState, closed, bridged }
  }
  const view = (record: CaseRecord, _caller: Caller, re?: string): ServerMessage[] => {
    const { opened, answers, carState, closed } = state(record)
    const envelope = {
      v: PROTOCOL_VERSION,
      ...(re === undefined ? {} : { re }),
      case: record.id,
      seq: record.events.at(-1)?.seq ?? 0,
    } as const
    const next = CHECKS.find((check) => !answers.has(check))
    return [
      {
        ...envelope,
        type: 'noted',
        trail: [...answers.values()].map((e) => ({
          check: e.check,
          question: `Is ${e.check} so?`,
          answer: e.outcome ?? '',
          by: e.by,
          seq: e.seq,
          at: e.at,
        })),
        facts: opened.facts,
        carState,
        reminders: [],
        repaired: [],
        notes: record.events.flatMap((e) =>
          e.type === 'told' ? [{ seq: e.seq, text: record.words[e.words] ?? '', by: e.by, at: e.at }] : [],
        ),
        status: closed ? 'closed' : 'open',
      },
      {
        ...envelope,
        type: 'standing',
        rows: [{ cause: 'part.bad', name: 'The part', p: answers.size / 10, remedy: 'replace-part' }],
        others: { count: 0, p: 0 },
        other: 1 - answers.size / 10,
        out: [],
        lamp: { brightness: answers.size / 10, say: `${answers.size} answered` },
        remaining: { checks: CHECKS.length - answers.size, minutes: 1 },
        estimate: { likely: 1, low: 1, high: 1 },
      },
      next === undefined || closed
        ? { ...envelope, type: 'ask', ask: null, because: 'Nothing is left to ask.' }
        : {
            ...envelope,
            type: 'ask',
            ask: {
              check: next,
              kind: 'check',
              way: 'ask',
              title: `Is ${next} so?`,
              how: [],
              reason: 'to test',
              minutes: 1,
              setUpMinutes: 0,
              setUp: [],
              tools: [],
              outcomes: [
                { id: 'yes', label: 'Yes' },
                { id: 'no', label: 'No' },
              ],
              cautions: [],
              carState: {},
              picked: false,
              others: [],
            },
          },
    ]
  }
  return {
    hash,
    open: ({ shop, language, code, facts, tag, caller, messageId, outside }) => [
      {
        type: 'opened',
        at: outside.now,
        by: caller.role,
        cause: messageId,
        code,
        shop,
        language,
        knowledge: hash,
        facts: facts ?? {},
        ...(tag === undefined ? {} : { tag }),
      },
    ],
    async step(record, caller, message, outside): Promise<StepResult> {
      if (message.type === 'tell' && message.text === 'throw') throw new Error('asked to fail')
      if (message.type === 'tell' && message.text === 'slow') await options.slow?.()
      const { answers, closed, bridged } = state(record)
      const seq = record.events.at(-1)?.seq ?? 0
      const refuse = (code: RefusalCode, text: string, field?: string): StepResult => ({
        events: [],
        words: {},
        replies: [
          {
            v: PROTOCOL_VERSION,
            re: message.id,
            case: record.id,
            seq,
            type: 'refused',
            code,
            text,
            mend: 'Do something else.',
            ...(field === undefined ? {} : { field }),
          },
        ],
      })
      const common = { at: outside.now, by: caller.role, cause: message.id }
      const events: CaseEvent[] = []
      const words: Record<string, string> = {}
      if (closed) return refuse('case-closed', 'The case is closed.')
      switch (message.type) {
        case 'say':
          events.push({ ...common, type: 'said', complaints: message.complaints ?? [], circumstances: [], sure: true })
          break
        case 'answer':
          for (const [i, item] of message.answers.entries()) {
            if (!CHECKS.includes(item.check))
              return refuse('unknown-check', `No check ${item.check}.`, `answers[${i}].check`)
            events.push({ ...common, type: 'answered', check: item.check, outcome: item.outcome ?? 'yes' })
          }
          break
        case 'retract':
          if (!answers.has(message.check)) return refuse('not-answered', 'That was not answered.')
          events.push({ ...common, type: 'retracted', check: message.check })
          break
        case 'car-state':
          events.push({ ...common, type: 'car-state', state: message.state })
          break
        case 'tell': {
          const key = outside.newId()
          words[key] = message.text
          events.push({ ...common, type: 'told', words: key })
          break
        }
        case 'facts':
          events.push({
            ...common,
            type: 'facts',
            facts: message.facts,
            ...(message.tag === undefined ? {} : { tag: message.tag }),
          })
          break
        case 'repaired':
          if (caller.role === 'customer') return refuse('not-your-role', 'A technician says what was repaired.')
          events.push({ ...common, type: 'repaired', remedy: message.remedy })
          break
        case 'close':
          if (bridged > 0) return refuse('bridged', 'A part is bridged.')
          events.push({ ...common, type: 'closed' })
          break
        case 'why':
          return {
            events,
            words,
            replies: [
              {
                v: PROTOCOL_VERSION,
                re: message.id,
                case: record.id,
                seq,
                type: 'because',
                say: ['Because of the test.'],
              },
            ],
          }
        default:
          return refuse('unknown-caution', 'The fake knows nothing of this.')
      }
      const after: CaseRecord = {
        ...record,
        events: [...record.events, ...events.map((event, i) => ({ ...event, seq: seq + 1 + i }))],
        words: { ...record.words, ...words },
      }
      return { events, words, replies: view(after, caller, message.id) }
    },
    view: async (record, caller, re) => view(record, caller, re),
    papers: async () => ({ car: [], cautions: [], repairs: [], sheet: [], pictures: { steps: [], repaired: false } }),
    catalogue: () => ({
      causes: [{ id: 'part.bad', name: 'The part' }],
      complaints: [{ id: 'jerks-on-acceleration', name: 'Jerks' }],
      circumstances: [],
      remedies: [{ id: 'replace-part', name: 'Replace the part', minutes: 30, part: 'Part', low: 10, high: 20 }],
      rootCauses: [],
    }),
    opening: (record, caller) => {
      const { opened, carState, closed } = state(record)
      return {
        type: 'opened',
        case: record.id,
        seq: record.events.at(-1)?.seq ?? 0,
        role: caller.role,
        code: opened.code,
        ...(opened.tag === undefined ? {} : { tag: opened.tag }),
        knowledge: hash,
        language: opened.language,
        facts: opened.facts,
        carState,
        status: closed ? 'closed' : 'open',
        complaints: [],
        factsToAsk: [],
      }
    },
  }
}

export const CHECKS = ['check-1', 'check-2', 'check-3', 'check-4', 'check-5']
