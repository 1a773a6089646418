import { pino } from 'pino'
import type { Conversation } from '../../rules/conversation/types.ts'
import { MESSAGE_TYPES } from '../../rules/protocol/frame.ts'
import {
  ERRORS,
  MAX_FRAME_BYTES,
  MAX_TEXT,
  PROTOCOL_VERSION,
  REFUSALS,
  type ServerMessage,
} from '../../rules/protocol/index.ts'
import { passId } from '../cases/passes.ts'
import { CaseService } from '../cases/service.ts'
import { Session } from '../cases/session.ts'
import { DEMO_SHOP } from '../demo.ts'
import { Shelf } from '../knowledge/shelf.ts'
import { countingOutside } from '../outside.ts'
import { openSqlite } from '../store/open.ts'
import { pretty } from './pretty.ts'

/** Lists longer than this are cut on the page. */
const SHOWN = 2
const TECHNICIAN = 'technicians-pass-from-the-sign-in-link'

/** The page rules/protocol/README.md: how the socket is spoken, and one conversation as it really went. */
export async function protocolPage(conversation: Conversation): Promise<string> {
  const outside = countingOutside()
  const store = await openSqlite(':memory:', outside.now())
  await store.putShop(DEMO_SHOP)
  await store.addPass({ id: passId(TECHNICIAN), shop: DEMO_SHOP.id, role: 'technician' }, outside.now())
  const service = new CaseService({
    store,
    shelf: new Shelf(conversation),
    outside,
    log: pino({ level: 'silent' }),
  })
  const parts: string[] = []
  const before = new Map<string, ServerMessage>()
  const heard: { who: string; message: ServerMessage }[] = []
  const screen = (who: string) =>
    new Session(service, { send: (messages) => heard.push(...messages.map((message) => ({ who, message }))) })
  const customer = screen('customer')
  const technician = screen('technician')
  let id = 0

  const chapter = (title: string, text: string) => parts.push(`### ${title}\n\n${text}`)
  const speak = async (who: 'customer' | 'technician', message: object | string): Promise<ServerMessage[]> => {
    const frame =
      typeof message === 'string' ? message : pretty({ v: PROTOCOL_VERSION, id: `${who[0]}${++id}`, ...message })
    parts.push(`**${who} →**\n\n\`\`\`json\n${frame}\n\`\`\``)
    await (who === 'customer' ? customer : technician).take(frame)
    const came = heard.splice(0)
    for (const { who: to, message: reply } of came) {
      const last = before.get(`${to} ${reply.type}`)
      before.set(`${to} ${reply.type}`, reply)
      const arrow = `**→ ${to}** \`${reply.type}\``
      const changed = last ? changedParts(last, reply) : {}
      const shown = last ? { ...changed, '…': 'the rest as before' } : reply
      parts.push(
        last && Object.keys(changed).length === 0
          ? `${arrow} as before`
          : `${arrow}\n\n\`\`\`jsonc\n${abridged(reply, shown)}\n\`\`\``,
      )
    }
    return came.filter((h) => h.who === who).map((h) => h.message)
  }
  const asked = (replies: readonly ServerMessage[]) => {
    const ask = replies.find((m) => m.type === 'ask')
    return ask?.type === 'ask' ? ask.ask : null
  }

  chapter(
    'A customer opens a case',
    'Without a pass a new case is made; its pass and its code come back. Keep the pass.',
  )
  const first = await speak('customer', {
    type: 'open',
    tag: '12',
    facts: { drive: 'resistor-contactor', packVolts: 36 },
  })
  const opened = first.find((m) => m.type === 'opened')
  if (opened?.type !== 'opened') throw new Error('The case did not open')

  chapter('says what is wrong', '`noted` to `ask` come after every message that changed the case.')
  let ask = asked(await speak('customer', { type: 'say', text: 'it jerks when I push the pedal' }))

  if (ask) {
    chapter('answers', 'With an outcome of the check, a reading, or the answer as it was typed.')
    const outcome = ask.outcomes.find((o) => o.id !== 'dont-know')?.id
    const check = ask.check
    await speak('customer', { type: 'answer', answers: [{ check, outcome }] })
    chapter('and takes it back', 'Any answer, in any order.')
    ask = asked(await speak('customer', { type: 'retract', check }))
  }

  chapter(
    'A technician goes on with the case',
    'The pass comes from the sign-in link, the code from the customer. What came after `since` is listed in `missed`. From now on both screens are told what the other changes, without `re`.',
  )
  ask = asked(await speak('technician', { type: 'open', pass: TECHNICIAN, code: opened.code, since: 0 }))

  if (ask) {
    chapter('asks why', 'Changes nothing, and nobody else is told.')
    await speak('technician', { type: 'why', check: ask.check })
    chapter('says how the car stands now', 'Some checks need it raised, switched on, or with its pack isolated.')
    ask = asked(await speak('technician', { type: 'car-state', state: { wheels: 'raised' } }))
  }
  chapter(
    'is refused',
    'A message that is well formed but can not be taken now: what was wrong, and what to do. The case is unharmed.',
  )
  await speak('technician', { type: 'pick', check: 'kick-the-tyres' })
  chapter('sends something that is no message', 'The same, as an `error`; the connection stays.')
  await speak(
    'technician',
    '{"v":1,"id":"t99","type":"answer","answers":[{"check":"measure-pack-volts-at-rest","reading":{"value":36.4}}]}',
  )
  chapter(
    'sends the same message again',
    'The same `id` has the effect of once and gets the same replies, also after a reconnect.',
  )
  await speak('technician', { id: 'again', type: 'tell', text: 'Car 12 stands in bay two.' })
  await speak('technician', { id: 'again', type: 'tell', text: 'Car 12 stands in bay two.' })
  chapter('lowers the car and closes the case', 'A closed case is shown to whoever opens it, and takes nothing more.')
  await speak('technician', { type: 'car-state', state: { wheels: 'on-ground' } })
  await speak('technician', { type: 'close' })
  await store.close()

  return `${INTRODUCTION}\n## One conversation\n\nAs it really went; \`npm run protocol:page\` writes this page, a test sees that\nits messages and their parts are still these; words and figures follow the knowledge of the day. Long lists are cut, and of a\nmessage that came before only what changed is shown (\`…\`).\n\n${parts.join('\n\n')}\n`
}

/** The parts of a message that are not as in the one before; what every message has is left out. */
function changedParts(before: ServerMessage, now: ServerMessage): object {
  const old = before as unknown as Record<string, unknown>
  return Object.fromEntries(
    Object.entries(now).filter(
      ([part, value]) =>
        !['v', 're', 'case', 'seq', 'type'].includes(part) && JSON.stringify(value) !== JSON.stringify(old[part]),
    ),
  )
}

/** JSON of the shown parts with long lists cut short. */
function abridged({ v, re, case: of, seq, type }: ServerMessage, shown: object): string {
  const cut = (value: unknown): unknown => {
    if (Array.isArray(value)) {
      const some = value.slice(0, SHOWN).map(cut)
      return value.length > SHOWN ? [...some, `… ${value.length - SHOWN} more`] : some
    }
    if (typeof value === 'number' && !Number.isInteger(value)) return Number(value.toPrecision(3))
    if (value !== null && typeof value === 'object') {
      return Object.fromEntries(Object.entries(value).map(([k, inner]) => [k, cut(inner)]))
    }
    return value
  }
  const ordered = { v, re, case: of, seq, type, ...shown }
  // The hash changes with every word of the knowledge.
  if ('knowledge' in ordered) ordered.knowledge = 'hash-of-the-knowledge'
  return pretty(cut(ordered))
}

const INTRODUCTION = `# The protocol

The one contract between a screen and the server: the schemas are in this folder, \`client.ts\` for what is sent to the
server, \`server.ts\` for what it sends, \`events.ts\` for what is kept of a case, \`transcript.ts\` for conversations as data.

- One WebSocket at \`/converse\`. Each text frame is one JSON object with \`"v": ${PROTOCOL_VERSION}\`, an \`id\` and a \`type\`.
- From the client: ${MESSAGE_TYPES.map((t) => `\`${t}\``).join(' ')}. The first is \`open\`.
- From the server: \`opened\` \`understood\` \`noted\` \`caution\` \`standing\` \`finding\` \`ask\` \`because\` \`meter\` \`refused\` \`error\`.
- Replies carry the \`id\` of their message as \`re\`. What another screen caused comes without. \`seq\` is the number of the
  case's newest event; a screen may drop what is older than what it shows.
- A reply means: stored, on the disk. Without a reply, connect again and send the same message with the same \`id\`:
  it has the effect of once, and gets the same replies. An \`id\` is unique in the case for its sender. An \`open\`
  that makes a case is repeatable where its \`id\` is random and at least 21 characters long.
- What could not be sent at once says so with \`ago\`, milliseconds since it was entered; its events bear that time. A case
  that began where there was no server is opened with the code it \`hadCode\`, and keeps it where it is free.
- The role is the pass's. A customer's pass opens one case; a technician's opens any case of its shop, by \`case\` or
  by \`code\`, or makes a new one. \`facts\` and \`tag\` of an \`open\` count only where it makes a case.
- At most ${MAX_FRAME_BYTES} bytes a frame and ${MAX_TEXT} characters a text. 60 messages in 10 seconds a connection.
- The server pings every 30 seconds. It closes with 1001 when it shuts down and with 1009 after a frame beyond 256 KiB.

The same over HTTP, for programs that hold no socket: \`POST /api/cases\` takes an \`open\`, \`POST /api/cases/<case>/messages\`
any other message, with \`Authorization: Bearer <pass>\` (and \`?shop=\` for another shop than the demo). Both give
\`{"replies": [...]}\`. A \`refused\` has status 409 (403 for the wrong role), an \`error\` 400, 401, 404, 413, 429 or 503.

- \`refused\`: ${REFUSALS.map((c) => `\`${c}\``).join(' ')}
- \`error\`: ${ERRORS.map((c) => `\`${c}\``).join(' ')}

Each has \`text\` (what was wrong), \`mend\` (what to do) and mostly \`field\` (where: \`answers[1].reading.unit\`).
`
