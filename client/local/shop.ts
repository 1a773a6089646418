import { nanoid } from 'nanoid'
import { enteredAt } from '../../rules/conversation/entered.ts'
import type { Caller, CaseRecord } from '../../rules/conversation/types.ts'
import { readFrame } from '../../rules/protocol/frame.ts'
import {
  type OpenMessage,
  PROTOCOL_VERSION,
  type Role,
  type ServerMessage,
  type StepMessage,
} from '../../rules/protocol/index.ts'
import { errorMessage, refusedMessage } from '../../rules/protocol/say.ts'
import { type LocalConversation, loadConversation } from './assets.ts'
import { type CaseStore, type KeptCase, openCaseStore } from './case-store.ts'
import type { Handed, Heard, LocalOptions } from './host.ts'
import { inTurn } from './in-turn.ts'

/** What is left of a case that was handed up is forgotten after this, milliseconds: other tabs have gone after it by then. */
const FORGET_AFTER = 7 * 24 * 3_600_000
/** Milliseconds. */
const WARM_AFTER = 300
const CODE_LETTERS = 'ABCDEFGHJKLMNPQRSTUVWXYZ'

interface Session {
  options: LocalOptions
  heard: Heard
  at?: string
  language?: string | undefined
}

/** What other tabs, and other elements of this one, are told. */
type News = { case: string; handed?: Handed }

/** @throws where the knowledge can't be fetched */
export async function openShop(): Promise<Shop> {
  const [loaded, store] = await Promise.all([loadConversation(), openCaseStore()])
  return new Shop(loaded, store)
}

/**
 * What the server does for a conversation, for one browser: takes messages one after the other, keeps before it replies, gives
 * the same id the effect of once, tells other screens. Who may do what is not its business: all that is here is on this
 * device already, and the server decides about what it is handed.
 */
export class Shop {
  readonly #sessions = new Set<Session>()
  readonly #channel = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('benchlamp')

  constructor(
    private readonly loaded: LocalConversation,
    private readonly store: CaseStore,
  ) {
    this.#channel?.addEventListener('message', ({ data }: MessageEvent<News>) => void this.#hear(data))
    void this.#tidy().catch(() => undefined)
  }

  open(options: LocalOptions, heard: Heard): { send(text: string): void; end(): void } {
    const session: Session = { options, heard }
    this.#sessions.add(session)
    let tail = Promise.resolve()
    return {
      send: (text) => {
        tail = tail.then(() => this.#take(session, text))
      },
      end: () => void this.#sessions.delete(session),
    }
  }

  async #take(session: Session, text: string): Promise<void> {
    const say = (...messages: ServerMessage[]) => session.heard.messages(messages)
    const frame = readFrame(text)
    if (!frame.message) return say(frame.error)
    const { message } = frame
    try {
      if (message.type === 'open') return say(...(await this.#open(session, message)))
      const at = session.at
      if (at === undefined)
        return say(refusedMessage('open-first', 'No case is open.', 'Open one first.', { re: message.id }))
      const changed = await inTurn(at, () => this.#step(session, at, message, say))
      if (changed) await this.#tell({ case: at }, session)
    } catch {
      say(
        errorMessage(
          'try-again',
          'This could not be kept on this device just now.',
          'Free some space on it; it is tried again by itself.',
          { re: message.id },
        ),
      )
    }
  }

  async #open(session: Session, message: OpenMessage): Promise<ServerMessage[]> {
    const { id: re, language, since } = message
    const { role } = session.options
    if (language) await this.loaded.learn(language.slice(0, 2))
    const all = (await this.store.all()).filter((c) => c.server === session.options.server && c.shop === message.shop)
    const bare = (code: string) => code.toUpperCase().replace(/[^A-Z0-9]/g, '')
    const wanted =
      message.case !== undefined
        ? all.find((c) => c.id === message.case)
        : message.code !== undefined
          ? all.find((c) => !c.gone && bare(c.code) === bare(message.code!))
          : (all.find((c) => c.open.id === re && c.by === role) ?? (await this.#make(session, message, all)))
    if (!wanted) {
      return [
        errorMessage(
          'no-such-case',
          message.code === undefined
            ? 'This job is not kept on this device.'
            : `No job with the code ${message.code} is kept on this device.`,
          'The shop’s own jobs open once there is a connection.',
          { re },
        ),
      ]
    }
    session.at = wanted.id
    session.language = language
    if (wanted.gone) {
      session.heard.handed(wanted.handed!)
      return []
    }
    if (language === undefined) await this.loaded.learn(wanted.open.language?.slice(0, 2) ?? 'en')
    const { conversation } = this.loaded
    const record = recordOf(wanted)
    const caller = callerOf(session)
    const opened = {
      ...conversation.opening(record, caller),
      v: PROTOCOL_VERSION,
      re,
      shop: session.options.shop ?? { id: wanted.shop, name: '' },
      ...(since === undefined
        ? {}
        : {
            missed: record.events.filter((e) => e.seq > since).map(({ seq, type, at, by }) => ({ seq, type, at, by })),
          }),
    } as ServerMessage
    // The first words need an index, which takes a while to make: not while somebody waits.
    setTimeout(() => conversation.warm?.(caller.language ?? wanted.open.language ?? 'en'), WARM_AFTER)
    return [opened, ...(await conversation.view(record, caller, re))]
  }

  async #make(session: Session, message: OpenMessage, others: readonly KeptCase[]): Promise<KeptCase> {
    const { pass: _, ...open } = message
    const at = enteredAt(new Date().toISOString(), message.ago)
    const codes = new Set(others.map((c) => c.code))
    let code = newCode()
    while (codes.has(code)) code = newCode()
    const events = this.loaded.conversation.open({
      shop: message.shop,
      language: message.language ?? 'en',
      code,
      ...(message.facts && { facts: message.facts }),
      ...(message.tag !== undefined && { tag: message.tag }),
      caller: callerOf(session),
      messageId: message.id,
      outside: { now: at, newId: nanoid },
    })
    const made: KeptCase = {
      id: `local-${nanoid()}`,
      server: session.options.server,
      shop: message.shop,
      code,
      by: session.options.role,
      at,
      open,
      events: events.map((event, i) => ({ ...event, seq: i + 1 })),
      words: {},
      log: [],
      sent: 0,
      changedAt: at,
    }
    await this.store.put(made)
    return made
  }

  /** @returns whether the case changed */
  async #step(
    session: Session,
    at: string,
    message: StepMessage,
    say: (...messages: ServerMessage[]) => void,
  ): Promise<boolean> {
    const kept = await this.store.get(at)
    if (!kept || kept.gone) {
      // The message stays with whoever sent it, and goes where the case went.
      if (kept) session.heard.handed(kept.handed!)
      say(
        kept
          ? errorMessage('busy', 'The job has just gone to the shop.', 'It is sent there by itself.', {
              re: message.id,
            })
          : errorMessage('no-such-case', 'This job is no longer kept on this device.', 'Start a new one.', {
              re: message.id,
            }),
      )
      return false
    }
    const { conversation } = this.loaded
    const caller = callerOf(session)
    const record = recordOf(kept)
    const by = session.options.role
    if (kept.log.some((l) => l.message.id === message.id && l.by === by)) {
      say(...(await conversation.view(record, caller, message.id)))
      return false
    }
    const now = enteredAt(new Date().toISOString(), message.ago, kept.events.at(-1)?.at)
    const { events, words, replies } = await conversation.step(record, caller, message, { now, newId: nanoid })
    if (events.length > 0) {
      const last = kept.events.at(-1)!.seq
      const { ago: _, ...bare } = message
      await this.store.put({
        ...kept,
        events: [...kept.events, ...events.map((event, i) => ({ ...event, seq: last + 1 + i }))],
        words: { ...kept.words, ...words },
        log: [...kept.log, { by, at: now, message: bare as StepMessage }],
        changedAt: now,
      })
    }
    say(...replies)
    return events.length > 0
  }

  // ---- handing up

  async waiting(server: string, shop: string): Promise<KeptCase[]> {
    const all = await this.store.all()
    return all
      .filter((c) => !c.gone && c.log.length > 0 && c.server === server && c.shop === shop)
      .sort((a, b) => (a.at < b.at ? -1 : 1))
  }

  kept(id: string): Promise<KeptCase | undefined> {
    return this.store.get(id)
  }

  progress(id: string, sent: number, to: Handed): Promise<void> {
    return inTurn(id, async () => {
      const kept = await this.store.get(id)
      if (kept && !kept.gone) await this.store.put({ ...kept, sent, handed: to })
    })
  }

  async handOver(id: string, sent: number, to: Handed): Promise<boolean> {
    const done = await inTurn(id, async () => {
      const kept = await this.store.get(id)
      if (!kept || kept.log.length > sent) return false
      if (!kept.gone) {
        const changedAt = new Date().toISOString()
        await this.store.put({ ...kept, sent, handed: to, gone: true, changedAt, events: [], words: {}, log: [] })
      }
      return true
    })
    if (done) await this.#tell({ case: id, handed: to })
    return done
  }

  // ---- other screens

  async #tell(news: News, origin?: Session): Promise<void> {
    this.#channel?.postMessage(news)
    await this.#hear(news, origin)
  }

  async #hear({ case: changed, handed }: News, origin?: Session): Promise<void> {
    for (const session of this.#sessions) {
      if (session === origin || session.at !== changed) continue
      if (handed) session.heard.handed(handed)
      else {
        const kept = await this.store.get(changed)
        if (kept && !kept.gone)
          session.heard.messages(await this.loaded.conversation.view(recordOf(kept), callerOf(session)))
      }
    }
  }

  async #tidy(): Promise<void> {
    const before = new Date(Date.now() - FORGET_AFTER).toISOString()
    for (const kept of await this.store.all()) {
      // Opened and left with nothing said, or gone up long ago.
      if (kept.changedAt < before && (kept.gone || kept.log.length === 0)) await this.store.remove(kept.id)
    }
  }
}

const recordOf = ({ id, events, words }: KeptCase): CaseRecord => ({ id, events, words })

const callerOf = ({ options, language }: Session): Caller => ({
  role: options.role as Role,
  ...(language === undefined ? {} : { language }),
})

function newCode(): string {
  const [letter, digit, number] = crypto.getRandomValues(new Uint32Array(3))
  return `${CODE_LETTERS[letter! % CODE_LETTERS.length]}${digit! % 10}-${String(number! % 1000).padStart(3, '0')}`
}
