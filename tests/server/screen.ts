import { WebSocket } from 'ws'
import {
  type ClientMessageInput,
  PROTOCOL_VERSION,
  type ServerMessage,
  serverMessage,
} from '../../rules/protocol/index.ts'

type Sent = ClientMessageInput extends infer M
  ? M extends { v: unknown }
    ? Omit<M, 'v' | 'id'> & { id?: string }
    : never
  : never
type Of<T extends ServerMessage['type']> = Extract<ServerMessage, { type: T }>

/** A screen for tests. Everything that the server sends is checked against the protocol's own schema. */
export class Screen {
  readonly received: ServerMessage[] = []
  readonly ws: WebSocket
  closed: { code: number } | undefined
  #read = 0
  #wake: (() => void)[] = []
  static #ids = 0

  private constructor(ws: WebSocket) {
    this.ws = ws
    ws.on('message', (data) => {
      this.received.push(serverMessage.parse(JSON.parse(data.toString())))
      this.#rouse()
    })
    ws.on('close', (code) => {
      this.closed = { code }
      this.#rouse()
    })
    ws.on('error', () => undefined)
  }

  static async connect(port: number, headers: Record<string, string> = {}): Promise<Screen> {
    const ws = new WebSocket(`ws://127.0.0.1:${port}/converse`, { headers })
    const screen = new Screen(ws)
    await new Promise<void>((resolve, reject) => {
      ws.once('open', () => resolve())
      ws.once('error', reject)
      ws.once('unexpected-response', (_request, response) => reject(new Error(`HTTP ${response.statusCode}`)))
    })
    return screen
  }

  static id(): string {
    return `m${++Screen.#ids}`
  }

  raw(data: string | Buffer): void {
    this.ws.send(data)
  }

  send(message: Sent): string {
    const id = message.id ?? Screen.id()
    this.raw(JSON.stringify({ v: PROTOCOL_VERSION, ...message, id }))
    return id
  }

  /** The replies to one message: all with its `re`, up to `ask`, `because`, or what says no. */
  async ask(message: Sent): Promise<ServerMessage[]> {
    const id = this.send(message)
    const last = await this.until(
      (m) => m.re === id && ['ask', 'because', 'refused', 'error'].includes(m.type),
      `a reply to ${message.type}`,
    )
    return this.received.slice(0, this.received.indexOf(last) + 1).filter((m) => m.re === id)
  }

  async open(message: Omit<Extract<Sent, { type: 'open' }>, 'type'> = {}): Promise<Of<'opened'>> {
    const replies = await this.ask({ type: 'open', ...message })
    return one(replies, 'opened')
  }

  /** The next unread message for which `fits`. */
  async until(fits: (m: ServerMessage) => boolean, what: string): Promise<ServerMessage> {
    for (;;) {
      while (this.#read < this.received.length) {
        const message = this.received[this.#read++]!
        if (fits(message)) return message
      }
      if (this.closed) throw new Error(`The socket was closed (${this.closed.code}) before ${what}`)
      await new Promise<void>((resolve) => this.#wake.push(resolve))
    }
  }

  async untilClosed(): Promise<number> {
    while (!this.closed) await new Promise<void>((resolve) => this.#wake.push(resolve))
    return this.closed.code
  }

  #rouse() {
    for (const wake of this.#wake.splice(0)) wake()
  }

  close(): void {
    this.ws.terminate()
  }
}

export function one<T extends ServerMessage['type']>(messages: readonly ServerMessage[], type: T): Of<T> {
  const found = messages.filter((m): m is Of<T> => m.type === type)
  if (found.length !== 1) {
    throw new Error(
      `Expected one "${type}", got ${messages.map((m) => m.type).join(', ')}: ${JSON.stringify(messages).slice(0, 400)}`,
    )
  }
  return found[0]!
}
