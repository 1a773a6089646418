import type { Role, ServerMessage } from '../../rules/protocol/index.ts'
import type { HandUp } from '../local/hand-up.ts'
import type { Handed, LocalOptions } from '../local/host.ts'
import type { Act } from '../state/messages.ts'
import type { Happening } from '../state/reduce.ts'
import type { Problem } from '../state/view.ts'
import { Connection, type ConnectionOptions } from './connection.ts'
import { LocalChannel } from './local-channel.ts'

/** `server`: on the server. `local`: in this browser, handed up when it can be. `auto`: on the server where it is there for a new case. */
export type Mode = 'server' | 'auto' | 'local'

/** A case is held in this browser, and what keeps it from going to the server, where that is more than the line. */
export interface Here {
  problem?: Problem
}

export interface TalkOptions extends Omit<ConnectionOptions, 'channel' | 'slowest'> {
  mode: () => Mode
  role: () => Role
  note: (act: Act, why: string) => string
  /** undefined: the case is the server's */
  here: (here: Here | undefined) => void
  handedUp: (code: string, before: string | undefined) => void
}

/** What a screen needs to show a case. */
const SHOWN = new Set<ServerMessage['type']>(['opened', 'noted', 'caution', 'standing', 'finding', 'ask'])
const OVER = new Set(['no-such-case', 'bad-pass', 'not-your-role'])
/** For a new case the server is waited for this long, milliseconds. */
const WAIT = 4_000

/** One conversation, wherever it is held; for the element the same as a connection. */
export class Talk {
  #at: Connection
  #here: boolean
  #code?: string
  #why: Here = {}
  #opened = false
  #showing = false
  readonly #shown = new Map<string, ServerMessage>()
  #wait?: ReturnType<typeof setTimeout>
  #handUp?: Promise<HandUp>
  #closed = false

  constructor(private readonly options: TalkOptions) {
    const { keep, key, mode } = options
    const kept =
      (mode() !== 'server' && ['case', 'queue'].some((x) => keep.get(`${key} here.${x}`))) || mode() === 'local'
    this.#here = kept && !keep.get(`${key}.case`)
    this.#at = this.#connection()
  }

  get started(): boolean {
    return this.#at.started
  }

  connect(): void {
    this.#closed = false
    this.#restore()
    if (this.#mayMove) {
      this.#wait ??= setTimeout(() => {
        this.#wait = undefined
        if (this.#mayMove) this.#move(true)
      }, WAIT)
    }
    this.#at.connect()
    if (this.#here) this.options.here(this.#why)
    this.#up()
  }

  send(act: Act): string {
    this.connect()
    return this.#at.send(act)
  }

  drop(id: string): boolean {
    return this.#at.drop(id)
  }

  leave(): void {
    this.#wait = void clearTimeout(this.#wait)
    this.#forget()
    this.#at.leave()
    this.#here = this.options.mode() === 'local'
    this.#at = this.#connection()
    this.options.here(undefined)
  }

  close(): void {
    this.#closed = true
    this.#wait = void clearTimeout(this.#wait)
    this.#at.close()
    void this.#handUp?.then((h) => h.end())
    this.#handUp = undefined
  }

  #connection(): Connection {
    const { options } = this
    const here = this.#here
    const connection: Connection = new Connection({
      ...options,
      key: here ? `${options.key} here` : options.key,
      happened: (h) => this.#at === connection && this.#happened(h),
      ...(here && {
        channel: () => new LocalChannel(this.#local(), (to) => this.#at === connection && this.#moved(to)),
      }),
    })
    return connection
  }

  #local(): LocalOptions {
    const shop = this.options.keep.get(this.#name('shop'))
    return { server: this.options.url, role: this.options.role(), ...(shop && { shop: JSON.parse(shop) }) }
  }

  #name(what: string): string {
    return `benchlamp ${what} ${this.options.url} ${this.options.opening().shop}`
  }

  /** A new case that the server has not opened yet may begin here instead. */
  get #mayMove(): boolean {
    return !this.#closed && !this.#here && this.options.mode() === 'auto' && !this.#at.ticket
  }

  #happened(h: Happening): void {
    const { keep, happened } = this.options
    if (h.type === 'line' && h.line === 'lost' && this.#mayMove) {
      this.#move(true)
      return
    }
    if (h.type === 'received' && this.#showing && !this.#opened && 'code' in h.message && OVER.has(h.message.code)) {
      // It is not to be seen any more, or not by whoever is here now.
      this.#forget()
      happened({ type: 'left' })
    }
    happened(h)
    if (h.type !== 'received') return
    const { message } = h
    this.#remember(message)
    if (message.type === 'opened') {
      this.#opened = true
      this.#wait = void clearTimeout(this.#wait)
      this.#code = message.code
      if (this.#here) keep.set(this.#name('kept'), '1')
      else keep.set(this.#name('shop'), JSON.stringify(message.shop))
    }
    // At the end of a turn there may be more to hand up.
    if (message.type === 'ask' && message.re !== undefined) this.#up()
  }

  /** The server's last word on the case, to be shown after a reload until it speaks again. */
  #remember(message: ServerMessage): void {
    if (this.#here || !SHOWN.has(message.type)) return
    this.#shown.set(message.type, message)
    if (message.type === 'ask')
      this.options.keep.set(`${this.options.key}.shown`, JSON.stringify([...this.#shown.values()]))
  }

  #restore(): void {
    if (this.#here || this.#showing || this.#opened || !this.#at.ticket) return
    this.#showing = true
    try {
      const messages: ServerMessage[] = JSON.parse(this.options.keep.get(`${this.options.key}.shown`) ?? '[]')
      // What was said in reply to the last thing done is no longer news.
      for (const { re: _, ...message } of messages)
        this.options.happened({ type: 'received', message: { ...message, say: undefined } as ServerMessage })
    } catch {
      // Nothing that can be read: the server will say.
    }
  }

  #forget(): void {
    this.#shown.clear()
    this.#showing = false
    this.#opened = false
    this.options.keep.remove(`${this.options.key}.shown`)
  }

  /** Goes on elsewhere with all that was entered and has no reply; the same ids, so that it counts once. */
  #move(here: boolean, ticket?: object): void {
    const { keep, key, happened } = this.options
    this.#wait = void clearTimeout(this.#wait)
    const from = this.#at
    const [old, now] = here ? [key, `${key} here`] : [`${key} here`, key]
    const items = [...from.queue.items]
    const open = keep.get(`${old}.open`)
    this.#here = here
    // From here on nobody listens to the old one.
    if (items.length > 0) keep.set(`${now}.queue`, JSON.stringify(items))
    if (ticket) keep.set(`${now}.case`, JSON.stringify(ticket))
    else if (open) keep.set(`${now}.open`, open)
    this.#at = this.#connection()
    from.leave()
    for (const { id } of items) happened({ type: 'dropped', id })
    this.#why = {}
    this.connect()
  }

  #moved({ case: id, code, seq, pass }: Handed): void {
    const before = this.#code
    this.options.here(undefined)
    this.#move(false, { case: id, seq, ...(this.options.role() === 'customer' && { pass }) })
    this.options.handedUp(code, before)
  }

  /** What is kept in this browser goes to the server whenever that can be reached, also from cases before this one. */
  #up(): void {
    const { keep, mode, url, opening, note, here } = this.options
    if (mode() === 'server' || this.#closed || !keep.get(this.#name('kept'))) return
    this.#handUp ??= import('../local/hand-up.ts').then(
      ({ HandUp }) =>
        new HandUp({
          url,
          shop: opening().shop ?? 'demo',
          pass: () => opening().pass,
          note,
          told: ({ waiting, problem }) => {
            if (!waiting && !this.#here) keep.remove(this.#name('kept'))
            this.#why = { ...(problem && { problem }) }
            if (this.#here) here(this.#why)
          },
        }),
    )
    this.#handUp.then(
      (h) => h.start(),
      // Its part could not be fetched: with the next turn again.
      () => (this.#handUp = undefined),
    )
  }
}
