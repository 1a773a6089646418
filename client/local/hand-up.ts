import { nanoid } from 'nanoid'
import type { Role, ServerMessage, StepMessage } from '../../rules/protocol/index.ts'
import { Connection } from '../connection/connection.ts'
import type { Keep } from '../connection/queue.ts'
import type { Act } from '../state/messages.ts'
import type { Problem } from '../state/view.ts'
import type { KeptCase } from './case-store.ts'
import { type Handed, type Host, hostOf } from './host.ts'
import { inTurn } from './in-turn.ts'

/** Nobody waits for it: between two tries at most this long, milliseconds. A device that says it is online is tried at once. */
const SLOWEST = 20_000

export interface HandUpOptions {
  /** address of the socket */
  url: string
  shop: string
  /** a technician's; without one their cases stay here */
  pass: () => string | undefined
  /** what to note of a message that the server will not take any more */
  note: (act: Act, why: string) => string
  /** nothing waits here any more, or why something does */
  told: (state: { waiting: boolean; problem?: Problem }) => void
}

/** The server will not open the case for us. */
class TurnedAway extends Error {
  constructor(readonly problem: Problem) {
    super(problem.text)
  }
}

/**
 * Hands the cases that began in this browser up to the server: the same messages with the same ids, each saying how long ago it
 * was entered, so that they have their effect once and bear their own times. Goes on until there is nothing left; people may
 * go on working meanwhile.
 */
export class HandUp {
  #running = false
  #connection?: Connection
  #ended = false

  constructor(private readonly options: HandUpOptions) {}

  /** There may be something; harmless if there is not. */
  async start(): Promise<void> {
    if (this.#running || this.#ended) return
    this.#running = true
    const { url, shop, told } = this.options
    try {
      const host = await hostOf()
      // One tab at a time; what another one did in between is no longer there.
      await inTurn(`hand-up ${url} ${shop}`, async () => {
        for (let kept = await this.#first(host); kept && !this.#ended; kept = await this.#first(host)) {
          await this.#handUp(host, kept)
        }
      })
      if (!this.#ended) told({ waiting: (await host.waiting(url, shop)).length > 0 })
    } catch (error) {
      if (this.#ended) return
      told({ waiting: true, ...(error instanceof TurnedAway && { problem: error.problem }) })
    } finally {
      this.#running = false
    }
  }

  end(): void {
    this.#ended = true
    this.#connection?.close()
  }

  /** The oldest that may be handed up from here. */
  async #first(host: Host): Promise<KeptCase | undefined> {
    const { url, shop, pass } = this.options
    const all = await host.waiting(url, shop)
    return all.find((c) => pass() !== undefined || rolesOf(c).every((role) => role === 'customer'))
  }

  async #handUp(host: Host, { id }: KeptCase): Promise<void> {
    for (;;) {
      const kept = await host.kept(id)
      if (!kept || kept.gone || this.#ended) return
      const todo = kept.log.slice(kept.sent)
      if (todo.length === 0 && kept.handed) {
        if (await host.handOver(id, kept.sent, kept.handed)) return
        continue
      }
      // Whoever opened the case opens it there too; then the messages of each person in turn.
      const by = kept.handed ? todo[0]!.by : kept.by
      const other = todo.findIndex((l) => l.by !== by)
      await this.#segment(host, kept, by, other < 0 ? todo : todo.slice(0, other))
    }
  }

  #segment(host: Host, kept: KeptCase, by: Role, messages: KeptCase['log']): Promise<void> {
    const { url, note } = this.options
    const pass = by === 'customer' ? kept.handed?.pass : this.options.pass()
    const { handed } = kept
    const { type: _t, v: _v, id, ...open } = kept.open
    return new Promise((done, failed) => {
      let to: Handed | undefined = handed
      let { sent } = kept
      let told = Promise.resolve()
      const left = new Set(messages.map((l) => l.message.id))
      const acts = new Map(messages.map(({ message }) => [message.id, actOf(message)]))
      const finish = (error?: unknown) => {
        this.#connection = undefined
        connection.close()
        told.then(() => (error ? failed(error) : done()), failed)
      }
      const happened = (message: ServerMessage) => {
        if (message.type === 'opened') {
          // Opened again after the line broke, no pass is said: the one from before goes on.
          const customers = (by === 'customer' ? message.pass : undefined) ?? to?.pass
          to = { case: message.case, code: message.code, seq: message.seq, ...(customers && { pass: customers }) }
          told = told.then(() => host.progress(kept.id, sent, to!))
        }
        const passing = message.type === 'error' && PASSING.has(message.code)
        const barred = message.type === 'error' && BARRED.has(message.code)
        if (barred || (!to && !passing && (message.type === 'error' || message.type === 'refused')))
          return finish(new TurnedAway(message))
        if (!to) return
        to = { ...to, seq: Math.max(to.seq, message.seq ?? 0) }
        const act = message.re === undefined ? undefined : acts.get(message.re)
        if (act && left.has(message.re!) && !passing) {
          left.delete(message.re!)
          // Taken here and refused there, where the knowledge is another: what was entered is kept as a note.
          if ((message.type === 'refused' || message.type === 'error') && act.type !== 'tell')
            connection.send({ type: 'tell', text: note(act, message.text) }, `${message.re!.slice(0, 60)}-n`)
          sent++
          const so = { ...to }
          const now = sent
          told = told.then(() => host.progress(kept.id, now, so))
        }
        if (left.size === 0 && connection.queue.items.length === 0) finish()
      }
      const connection = new Connection({
        url,
        keep: memory({
          ...(handed && {
            'up.case': JSON.stringify({ case: handed.case, pass, seq: handed.seq }),
          }),
          ...(!handed && { 'up.open': id }),
          'up.queue': JSON.stringify(
            messages.map(({ at, message }) => ({ id: message.id, act: actOf(message), at: Date.parse(at) })),
          ),
        }),
        key: 'up',
        newId: nanoid,
        slowest: SLOWEST,
        // However soon the line came back, what is handed up was not entered just now.
        atOnce: 0,
        opening: () =>
          handed
            ? { shop: kept.shop, pass, ...(open.language && { language: open.language }) }
            : { ...open, pass, hadCode: kept.code, ago: Math.max(0, Date.now() - Date.parse(kept.at)) },
        happened: (h) => {
          if (h.type === 'received') queueMicrotask(() => happened(h.message))
        },
      })
      this.#connection = connection
      connection.connect()
    })
  }
}

const PASSING = new Set<string>(['try-again', 'busy', 'too-many'])
/** Nothing that is sent would be taken: all of it stays here. */
const BARRED = new Set<string>(['bad-pass', 'no-such-case'])

const rolesOf = (c: KeptCase): Role[] => [c.by, ...c.log.slice(c.sent).map((l) => l.by)]

function actOf({ v: _v, id: _i, ...act }: StepMessage): Act {
  return act as Act
}

function memory(entries: Record<string, string>): Keep {
  const map = new Map(Object.entries(entries))
  return { get: (k) => map.get(k) ?? null, set: (k, v) => void map.set(k, v), remove: (k) => void map.delete(k) }
}
