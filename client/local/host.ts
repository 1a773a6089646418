import type { Role, ServerMessage } from '../../rules/protocol/index.ts'
import type { KeptCase } from './case-store.ts'
import type { Shop } from './shop.ts'

export interface LocalOptions {
  /** address of the socket of the server that the cases are for */
  server: string
  role: Role
  /** what the server said of its shop when it was last reached */
  shop?: { id: string; name: string; phone?: string; hours?: string }
}

/** Where a case went when it was handed up. */
export interface Handed {
  case: string
  code: string
  seq: number
  /** the customer's, as the server gave it; a technician's is not kept here */
  pass?: string
}

export interface Heard {
  messages(messages: readonly ServerMessage[]): void
  handed(to: Handed): void
}

/** The reasoning, wherever it runs. */
export interface Host {
  open(options: LocalOptions, heard: Heard): { send(text: string): void; end(): void }
  /** cases that wait to be handed up to a server's shop */
  waiting(server: string, shop: string): Promise<KeptCase[]>
  kept(id: string): Promise<KeptCase | undefined>
  /** remembers how far a case has been handed up */
  progress(id: string, sent: number, to: Handed): Promise<void>
  /** Lets go of a case whose first `sent` messages are on the server; false where there are more by now. */
  handOver(id: string, sent: number, to: Handed): Promise<boolean>
}

export type Call =
  | { call: number; name: 'waiting' | 'kept' | 'progress' | 'handOver'; args: unknown[] }
  | { session: number; open: LocalOptions }
  | { session: number; text: string }
  | { session: number; end: true }
export type Answer =
  | { call: number; result?: unknown; failed?: string }
  | { session: number; messages: readonly ServerMessage[] }
  | { session: number; handed: Handed }
  | { ready: true }

let host: Promise<Host> | undefined

/** One for a page; made when it is first asked for, again where that failed. */
export function hostOf(): Promise<Host> {
  host ??= inWorker()
    .catch(() => onThisThread())
    .catch((error) => {
      host = undefined
      throw error
    })
  return host
}

/** Only a page of the script's own origin may have a worker of it; a page may forbid it too. */
async function inWorker(): Promise<Host> {
  const worker = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'benchlamp' })
  const heard = new Map<number, Heard>()
  const calls = new Map<number, { done: (result: unknown) => void; failed: (error: Error) => void }>()
  let n = 0
  await new Promise<void>((ready, failed) => {
    worker.addEventListener('error', (e) => failed(new Error(e.message)), { once: true })
    worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => {
      if ('ready' in data) return ready()
      if ('call' in data) {
        const call = calls.get(data.call)
        calls.delete(data.call)
        if (data.failed === undefined) call?.done(data.result)
        else call?.failed(new Error(data.failed))
      } else if ('messages' in data) heard.get(data.session)?.messages(data.messages)
      else heard.get(data.session)?.handed(data.handed)
    })
  }).catch((error) => {
    worker.terminate()
    throw error
  })
  const post = (call: Call) => worker.postMessage(call)
  const call = <T>(name: Extract<Call, { call: number }>['name'], ...args: unknown[]) =>
    new Promise<T>((done, failed) => {
      calls.set(++n, { done: done as (result: unknown) => void, failed })
      post({ call: n, name, args })
    })
  return {
    open(open, listener) {
      const session = ++n
      heard.set(session, listener)
      post({ session, open })
      return {
        send: (text) => post({ session, text }),
        end() {
          heard.delete(session)
          post({ session, end: true })
        },
      }
    },
    waiting: (server, shop) => call('waiting', server, shop),
    kept: (id) => call('kept', id),
    progress: (id, sent, to) => call('progress', id, sent, to),
    handOver: (id, sent, to) => call('handOver', id, sent, to),
  }
}

async function onThisThread(): Promise<Host> {
  const { openShop } = await import('./shop.ts')
  const shop: Shop = await openShop()
  return {
    open: (options, heard) => shop.open(options, heard),
    waiting: (server, of) => shop.waiting(server, of),
    kept: (id) => shop.kept(id),
    progress: (id, sent, to) => shop.progress(id, sent, to),
    handOver: (id, sent, to) => shop.handOver(id, sent, to),
  }
}
