import Socket from 'partysocket/ws'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import type { Act, Opening } from '../state/messages.ts'
import type { Happening } from '../state/reduce.ts'
import { type Keep, Queue } from './queue.ts'

const VERSION = 1
/** Sent later than this after it was entered, a message says so, and its events bear the time at which it was entered. */
const AT_ONCE = 3_000
const MOST_AGO = 90 * 24 * 3_600_000
/** The server could not do it now; the same message is sent again a little later. */
const PASSING = new Set(['try-again', 'busy', 'too-many'])

/** What is kept of a case between visits of this browser. */
export interface Ticket {
  case: string
  pass?: string
  seq: number
}

/** What a conversation is held over: a socket, or the reasoning in this browser. */
export interface Channel {
  readonly readyState: number
  send(text: string): void
  close(): void
  reconnect(): void
  addEventListener(type: 'open' | 'close' | 'message', heard: (event: Event) => void): void
}

export interface ConnectionOptions {
  /** address of the socket, `wss://…/converse` */
  url: string
  keep: Keep
  /** where in `keep`: one for each element on a page and each server and shop */
  key: string
  /** what to open with; asked for at each connection, a kept ticket goes before it */
  opening: () => Opening
  newId: () => string
  happened: (happening: Happening) => void
  /** milliseconds until an unanswered message makes the line count as lost */
  patience?: number
  /** the longest wait between two tries, milliseconds */
  slowest?: number
  /** sent later than this after it was entered, a message says so, milliseconds; three seconds if not said */
  atOnce?: number
  /** in place of the socket */
  channel?: () => Channel
}

/** One conversation over one socket that comes back by itself. Nothing entered is lost, and each thing has its effect once. */
export class Connection {
  readonly queue: Queue
  #socket?: Channel
  #opened = false
  #openId?: string
  #ticket?: Ticket
  #sent = new Set<string>()
  #timers = new Set<ReturnType<typeof setTimeout>>()

  constructor(private readonly options: ConnectionOptions) {
    this.queue = new Queue(options.keep, `${options.key}.queue`)
    try {
      this.#ticket = JSON.parse(options.keep.get(`${options.key}.case`) ?? 'null') ?? undefined
    } catch {
      this.#ticket = undefined
    }
  }

  /** Is there a case to go on with, or something entered that the server has not got yet? */
  get started(): boolean {
    return this.#ticket !== undefined || this.queue.items.length > 0
  }

  get ticket(): Ticket | undefined {
    return this.#ticket
  }

  connect(): void {
    if (this.#socket) return
    this.options.happened({ type: 'line', line: 'connecting' })
    for (const { id, act } of this.queue.items) this.options.happened({ type: 'sent', id, act })
    const { url, channel, slowest = 8000 } = this.options
    this.#socket =
      channel?.() ??
      (new Socket(url, undefined, {
        minReconnectionDelay: 400,
        maxReconnectionDelay: slowest,
        reconnectionDelayGrowFactor: 1.6,
        minUptime: 2000,
        maxEnqueuedMessages: 0,
      }) as unknown as Channel)
    this.#socket.addEventListener('open', () => this.#open())
    this.#socket.addEventListener('close', () => this.#lost())
    this.#socket.addEventListener('message', (e) => this.#receive(String((e as MessageEvent).data)))
    globalThis.addEventListener?.('online', this.#online)
  }

  /** Queues an act; it leaves at once if the line is up and nothing goes before it. @returns its id */
  send(act: Act, id = this.options.newId()): string {
    this.queue.add({ id, act, at: Date.now() })
    this.options.happened({ type: 'sent', id, act })
    this.connect()
    if (this.queue.items.length === 1) this.#next()
    return id
  }

  /** One at a time: what comes after may rest on it, and the server may ask to be sent it again. */
  #next(): void {
    const [item] = this.queue.items
    if (!item || !this.#opened) return
    this.#transmit({ ...item.act, id: item.id, ...this.#agoOf(item.at) })
  }

  /** Takes back an act that has not left yet. @returns false if it may have left */
  drop(id: string): boolean {
    if (this.#sent.has(id) || !this.queue.settle(id)) return false
    this.options.happened({ type: 'dropped', id })
    return true
  }

  /** Forgets the case; the next `connect` opens another one. */
  leave(): void {
    this.close()
    this.queue.clear()
    this.#ticket = undefined
    this.#openId = undefined
    this.options.keep.remove(`${this.options.key}.case`)
    this.options.keep.remove(`${this.options.key}.open`)
    this.options.happened({ type: 'left' })
  }

  close(): void {
    globalThis.removeEventListener?.('online', this.#online)
    for (const t of this.#timers) clearTimeout(t)
    this.#timers.clear()
    const socket = this.#socket
    this.#socket = undefined
    this.#opened = false
    socket?.close()
    this.options.happened({ type: 'line', line: 'idle' })
  }

  #online = () => {
    if (!this.#opened) this.#socket?.reconnect()
  }

  #open(): void {
    const { keep, key, opening, newId } = this.options
    // Until the reply has come, the same id opens the same case, however often the line breaks or the page is loaded.
    this.#openId ??= (this.#ticket ? null : keep.get(`${key}.open`)) ?? newId()
    if (!this.#ticket) keep.set(`${key}.open`, this.#openId)
    const { case: asked, code, pass, ...rest } = opening()
    const where = this.#ticket
      ? { case: this.#ticket.case, pass: pass ?? this.#ticket.pass, since: this.#ticket.seq }
      : { case: asked, code, pass, ...this.#agoOf(this.queue.items[0]?.at) }
    this.#transmit({ type: 'open', id: this.#openId, ...where, ...rest })
  }

  #receive(data: string): void {
    let message: ServerMessage
    try {
      message = JSON.parse(data)
    } catch {
      return
    }
    if (message?.v !== VERSION) return
    if (message.type === 'error' && PASSING.has(message.code)) {
      this.options.happened({ type: 'received', message })
      this.#after(2500, () => this.#again(message.re))
      return
    }
    // Signed out in mid-work: what was entered stays queued, and goes out once the case is opened with a good pass.
    if (message.type === 'error' && message.code === 'bad-pass' && message.re !== this.#openId) {
      this.options.happened({ type: 'received', message })
      this.close()
      return
    }
    const settled = message.re !== undefined && this.queue.settle(message.re)
    if (message.re !== undefined) this.#sent.delete(message.re)
    if (message.type === 'opened') this.#welcome(message)
    else if ((message.type === 'error' || message.type === 'refused') && message.re === this.#openId) this.#turnedAway()
    else this.#seen(message.case, message.seq)
    this.options.happened({ type: 'received', message })
    if (settled) this.#next()
  }

  #welcome(message: Extract<ServerMessage, { type: 'opened' }>): void {
    const { keep, key } = this.options
    keep.remove(`${key}.open`)
    this.#openId = undefined
    const pass = message.pass ?? (this.#ticket?.case === message.case ? this.#ticket.pass : undefined)
    this.#ticket = { case: message.case, pass, seq: message.seq }
    this.#keepTicket()
    this.#opened = true
    this.options.happened({ type: 'line', line: 'open' })
    this.#next()
  }

  /** The case was not opened. Trying the same again would not help; what was entered stays until the person decides. */
  #turnedAway(): void {
    this.options.keep.remove(`${this.options.key}.open`)
    this.#openId = undefined
    this.close()
  }

  #seen(about: string | undefined, seq: number | undefined): void {
    if (!this.#ticket || about !== this.#ticket.case || seq === undefined || seq <= this.#ticket.seq) return
    this.#ticket.seq = seq
    this.#keepTicket()
  }

  #keepTicket(): void {
    this.options.keep.set(`${this.options.key}.case`, JSON.stringify(this.#ticket))
  }

  #again(id: string | undefined): void {
    if (id === this.#openId && !this.#opened) return void (this.#socket?.readyState === 1 && this.#open())
    if (id === this.queue.items[0]?.id) this.#next()
  }

  #transmit(message: { id: string; type: string }): void {
    this.#sent.add(message.id)
    this.#socket?.send(JSON.stringify({ v: VERSION, ...message }))
    this.#after(this.options.patience ?? 10_000, () => {
      const owed = message.id === this.#openId || this.queue.items.some((i) => i.id === message.id)
      if (owed && this.#socket?.readyState === 1) this.#socket.reconnect()
    })
  }

  #lost(): void {
    this.#opened = false
    if (this.#socket) this.options.happened({ type: 'line', line: 'lost' })
  }

  #agoOf(at = Date.now()): { ago?: number } {
    const ago = Math.min(MOST_AGO, Date.now() - at)
    return ago > (this.options.atOnce ?? AT_ONCE) ? { ago } : {}
  }

  #after(ms: number, act: () => void): void {
    const timer = setTimeout(() => {
      this.#timers.delete(timer)
      act()
    }, ms)
    this.#timers.add(timer)
  }
}
