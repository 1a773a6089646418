import type { Caller, Conversation, StepResult } from '../../rules/conversation/types.ts'
import type { Role, ServerMessage, StoredEvent } from '../../rules/protocol/index.ts'
import { serverMessage } from '../../rules/protocol/index.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import { prepareKnowledge } from '../../server/knowledge/prepare.ts'

export type Of<T extends ServerMessage['type']> = Extract<ServerMessage, { type: T }>

let prepared: ReturnType<typeof prepareKnowledge> | undefined

/** The real knowledge, made ready once a test file. */
export async function realConversation(): Promise<Conversation> {
  prepared ??= prepareKnowledge(undefined, '.cache')
  const p = await prepared
  if (!p.conversation) throw new Error('the knowledge has problems: npm run lint:rules')
  return p.conversation
}

/** A case held in memory, spoken to as the socket would. Every reply is checked against its schema. */
export class Talk {
  events: StoredEvent[]
  words: Record<string, string> = {}
  private n = 0

  constructor(
    private readonly conversation: Conversation,
    public role: Role = 'technician',
    facts: CarFacts = { drive: 'resistor-contactor', packVolts: 36, cells: 'flooded-lead' },
  ) {
    this.events = conversation
      .open({
        shop: 'demo',
        language: 'en',
        code: 'A1-000',
        facts,
        caller: this.caller,
        messageId: 'open',
        outside: this.outside,
      })
      .map((e, i) => ({ ...e, seq: i + 1 }))
  }

  get caller(): Caller {
    return { role: this.role }
  }

  get outside() {
    return { now: '2026-05-04T09:00:00.000Z', newId: () => `w${++this.n}` }
  }

  get record() {
    return { id: 'case-1', events: this.events, words: this.words }
  }

  async raw(message: Record<string, unknown>): Promise<StepResult> {
    return this.conversation.step(
      this.record,
      this.caller,
      { v: 1, id: `m${++this.n}`, ...message } as Parameters<Conversation['step']>[2],
      this.outside,
    )
  }

  /** Sends and keeps what it wrote. */
  async send(message: Record<string, unknown>): Promise<Replies> {
    const result = await this.raw(message)
    for (const e of result.events) this.events.push({ ...e, seq: this.events.length + 1 })
    Object.assign(this.words, result.words)
    return new Replies(result.replies)
  }

  answer(check: string, given: Record<string, unknown> | string): Promise<Replies> {
    return this.send({
      type: 'answer',
      answers: [{ check, ...(typeof given === 'string' ? { outcome: given } : given) }],
    })
  }

  async view(): Promise<Replies> {
    return new Replies(await this.conversation.view(this.record, this.caller))
  }

  /** A yes to a repair, every question of why it failed answered, then the repair. */
  async agreeAndRepair(remedy: string): Promise<Replies> {
    await this.send({ type: 'approve', remedies: [remedy], upTo: 0, way: 'in-person', who: 'our own car' })
    const { toDo = [] } = (await this.view()).of('noted')
    for (const { root } of toDo.filter((x) => x.what === 'root-cause' && x.remedy === remedy)) {
      await this.send({ type: 'root-cause', root: root!, found: 'not-looked' })
    }
    return this.send({ type: 'repaired', remedy })
  }

  /** Acknowledges until nothing is held back. */
  async acknowledgeAll(): Promise<Replies> {
    let replies = await this.view()
    for (let i = 0; i < 12; i++) {
      const held = replies.of('caution').cautions.find((c) => c.acknowledge && !c.acknowledged)
      if (!held) break
      replies = await this.send({ type: 'acknowledge', caution: held.id })
    }
    return replies
  }
}

export class Replies {
  constructor(readonly all: ServerMessage[]) {
    for (const m of all) serverMessage.parse(m)
  }

  has(type: ServerMessage['type']): boolean {
    return this.all.some((m) => m.type === type)
  }

  of<T extends ServerMessage['type']>(type: T): Of<T> {
    const found = this.all.find((m) => m.type === type)
    if (!found) throw new Error(`no "${type}" among ${this.all.map((m) => m.type).join(', ')}`)
    return found as Of<T>
  }

  p(cause: string): number {
    return this.of('standing').rows.find((x) => x.cause === cause)?.p ?? 0
  }
}
