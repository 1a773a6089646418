import type { Caller, CaseRecord, Conversation } from '../../rules/conversation/types.ts'
import { PROTOCOL_VERSION, type ServerMessage, type StepMessage } from '../../rules/protocol/index.ts'
import type { Expectation, Transcript, TranscriptStep } from '../../rules/protocol/transcript.ts'
import { countingOutside, type ServerOutside } from '../outside.ts'

export interface ReplayedStep {
  step: TranscriptStep
  message: StepMessage
  replies: ServerMessage[]
  /** what came of it, in the words of an expectation, complete */
  happened: Expectation
  /** one sentence each; none: as expected */
  differences: string[]
}

export interface Replayed {
  opened: ServerMessage[]
  steps: ReplayedStep[]
  record: CaseRecord
}

/** Plays a transcript through a conversation, with no server and no disk; the same every time. */
export async function replay(
  conversation: Conversation,
  transcript: Transcript,
  outside: ServerOutside = countingOutside(),
): Promise<Replayed> {
  const now = outside.now()
  const first: Caller = { role: transcript.steps[0]!.from }
  const events = conversation.open({
    shop: 'demo',
    language: transcript.language,
    code: outside.code(),
    facts: transcript.facts,
    tag: transcript.tag,
    caller: first,
    messageId: 'open',
    outside: { now, newId: outside.newId },
  })
  let record: CaseRecord = {
    id: 'case-1',
    events: events.map((event, i) => ({ ...event, seq: i + 1 })),
    words: {},
  }
  const opened = await conversation.view(record, first, 'open')
  const steps: ReplayedStep[] = []
  for (const [i, step] of transcript.steps.entries()) {
    const message = { v: PROTOCOL_VERSION, id: `step-${i + 1}`, ...step.send } as StepMessage
    const result = await conversation.step(record, { role: step.from }, message, {
      now: outside.now(),
      newId: outside.newId,
    })
    const seq = record.events.at(-1)?.seq ?? 0
    record = {
      ...record,
      events: [...record.events, ...result.events.map((event, n) => ({ ...event, seq: seq + 1 + n }))],
      words: { ...record.words, ...result.words },
    }
    const happened = whatHappened(result.replies)
    steps.push({ step, message, replies: result.replies, happened, differences: differences(step.expect, happened) })
  }
  return { opened, steps, record }
}

/** Replies to an expectation that holds everything an author may want to write down. */
export function whatHappened(replies: readonly ServerMessage[]): Expectation {
  const happened: Expectation = {}
  for (const reply of replies) {
    switch (reply.type) {
      case 'ask':
        happened.ask = reply.ask === null ? null : reply.ask.kind === 'complaint' ? 'complaint' : reply.ask.check
        break
      case 'standing': {
        const top = reply.rows[0]
        if (top) happened.standing = { top: top.cause, atLeast: top.p }
        break
      }
      case 'finding': {
        const causes = reply.finding?.causes.map((c) => c.cause) ?? []
        happened.finding = reply.finding === null ? null : causes.length === 1 ? causes[0]! : causes
        if (reply.finding && causes.length === 0) happened.finding = reply.finding.kind
        break
      }
      case 'refused':
        happened.refused = reply.code
        break
      case 'understood':
        happened.understood = {
          sure: reply.sure,
          complaints: reply.complaints.map((c) => c.id),
          circumstances: reply.circumstances.map((c) => c.id),
          options: reply.options.map((o) => o.id),
        }
        break
      case 'caution':
        happened.cautions = reply.cautions.map((c) => c.id)
        happened.stop = reply.stop
        break
      case 'noted':
        happened.status = reply.status
        happened.reminders = reply.reminders.length
        break
    }
  }
  return happened
}

/** What is worth writing down of what happened: all that says something, figures rounded down so that they may grow. */
export function asExpectation(happened: Expectation): Expectation {
  const { ask, standing, finding, refused, understood, cautions, stop, reminders, status } = happened
  return {
    ...(ask === undefined ? {} : { ask }),
    ...(standing ? { standing: { top: standing.top, atLeast: Math.floor(standing.atLeast * 20) / 20 } } : {}),
    ...(finding === undefined || finding === null ? {} : { finding }),
    ...(refused ? { refused } : {}),
    ...(understood
      ? {
          understood: {
            sure: understood.sure,
            ...(understood.complaints?.length ? { complaints: understood.complaints } : {}),
            ...(understood.circumstances?.length ? { circumstances: understood.circumstances } : {}),
            ...(understood.options?.length ? { options: understood.options.slice(0, 3) } : {}),
          },
        }
      : {}),
    ...(cautions?.length ? { cautions } : {}),
    ...(stop ? { stop } : {}),
    ...(reminders ? { reminders } : {}),
    ...(status === 'closed' ? { status } : {}),
  }
}

export function differences(expected: Expectation, happened: Expectation): string[] {
  const found: string[] = []
  const say = (part: string, wanted: unknown, got: unknown) =>
    found.push(`${part}: expected ${show(wanted)}, got ${show(got)}`)
  const same = (part: string, wanted: unknown, got: unknown) => {
    if (wanted !== undefined && show(wanted) !== show(got)) say(part, wanted, got)
  }
  const asSet = (list: readonly string[] | undefined) => (list ? [...list].sort() : undefined)
  same('ask', expected.ask, happened.ask)
  if (expected.standing) {
    const { top, atLeast } = expected.standing
    const got = happened.standing
    if (got?.top !== top) say('standing, likeliest', top, got && `${got.top} (${got.atLeast.toFixed(3)})`)
    else if (got.atLeast < atLeast) say(`standing of ${top}`, `at least ${atLeast}`, got.atLeast.toFixed(3))
  }
  same(
    'finding',
    Array.isArray(expected.finding) ? asSet(expected.finding) : expected.finding,
    Array.isArray(happened.finding) ? asSet(happened.finding) : happened.finding,
  )
  same('refused', expected.refused, happened.refused)
  // A step that nobody expects to be refused must not be, whatever else is left open.
  if (happened.refused && expected.refused === undefined) say('refused', undefined, happened.refused)
  if (expected.understood) {
    const { sure, complaints, circumstances, options } = expected.understood
    const got = happened.understood
    same('understood, sure', sure, got?.sure)
    same('understood, complaints', asSet(complaints), asSet(got?.complaints))
    same('understood, circumstances', asSet(circumstances), asSet(got?.circumstances))
    const missing = options?.filter((o) => !got?.options?.includes(o)) ?? []
    if (missing.length > 0) say('understood, options', options, got?.options)
  }
  same('cautions', asSet(expected.cautions), asSet(happened.cautions))
  same('stop', expected.stop, happened.stop)
  same('reminders', expected.reminders, happened.reminders)
  same('status', expected.status, happened.status)
  return found
}

function show(value: unknown): string {
  return value === undefined
    ? 'nothing'
    : value === null
      ? 'none'
      : typeof value === 'string'
        ? value
        : JSON.stringify(value)
}
