import type { IncomingMessage, Server } from 'node:http'
import type { Duplex } from 'node:stream'
import type { Logger } from 'pino'
import { type WebSocket, WebSocketServer } from 'ws'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import { errorMessage } from '../../rules/protocol/say.ts'
import type { CaseService } from '../cases/service.ts'
import { Session } from '../cases/session.ts'
import type { Limits } from './limits.ts'
import type { Origins } from './origins.ts'

export const SOCKET_PATH = '/converse'
/** A longer frame ends the connection (1009); one between the protocol's limit and this is answered with `too-large`. */
const HARD_FRAME_BYTES = 256 * 1024
/** A screen that does not read is let go; it comes back with `since`. */
const UNREAD_BYTES = 4 * 1024 * 1024
const HEARTBEAT_MS = 30_000

export interface Sockets {
  /** Ends every connection with 1001, going away. */
  close(): Promise<void>
}

/** The conversation over WebSocket at /converse. */
export function serveSockets(
  http: Server,
  parts: { service: CaseService; origins: Origins; limits: Limits; log: Logger; ownsUpgrades?: boolean },
): Sockets {
  const { service, origins, limits, log, ownsUpgrades = true } = parts
  const wss = new WebSocketServer({ noServer: true, maxPayload: HARD_FRAME_BYTES, perMessageDeflate: false })
  const alive = new WeakSet<WebSocket>()
  let connections = 0

  const onUpgrade = (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    const path = (request.url ?? '').split('?')[0]
    if (path !== SOCKET_PATH) {
      if (ownsUpgrades)
        refuse(socket, '404 Not Found', `There is no socket here; the conversation is at ${SOCKET_PATH}.`)
      return
    }
    socket.on('error', () => socket.destroy())
    try {
      // A page that may not talk to the shop is told so in reply to its "open": a refused upgrade tells a page nothing.
      wss.handleUpgrade(request, socket, head, (ws) => serve(ws, request))
    } catch (error) {
      log.error({ err: error instanceof Error ? error.name : typeof error }, 'a socket could not be opened')
      refuse(socket, '500 Internal Server Error', 'The server could not open the socket; try again.')
    }
  }
  http.on('upgrade', onUpgrade)

  function serve(ws: WebSocket, request: IncomingMessage) {
    const connection = `c${++connections}`
    const address = request.socket.remoteAddress ?? ''
    alive.add(ws)
    const send = (messages: readonly ServerMessage[]) => {
      if (ws.readyState !== ws.OPEN) return
      for (const message of messages) ws.send(JSON.stringify(message))
      if (ws.bufferedAmount > UNREAD_BYTES) ws.terminate()
    }
    const session = new Session(service, {
      send,
      mayReach: (shop) => origins.mayReach(request, shop),
      origin: request.headers.origin,
      mayMake: () => limits.mayMake(address),
      mayTake: () => limits.mayTake(connection),
    })
    ws.on('message', (data, isBinary) => {
      if (isBinary) {
        send([errorMessage('malformed', 'A binary frame came.', 'Send each message as JSON in a text frame.')])
        return
      }
      void session.take(data.toString())
    })
    ws.on('pong', () => alive.add(ws))
    // A broken frame: ws itself ends the connection with the fitting code.
    ws.on('error', () => log.debug({ connection }, 'a socket broke'))
    ws.on('close', (code) => {
      session.end()
      log.debug({ connection, code }, 'socket closed')
    })
    log.debug({ connection }, 'socket opened')
  }

  const heartbeat = setInterval(() => {
    for (const ws of wss.clients) {
      if (!alive.has(ws)) {
        ws.terminate()
        continue
      }
      alive.delete(ws)
      ws.ping()
    }
  }, HEARTBEAT_MS)
  heartbeat.unref()

  return {
    async close() {
      clearInterval(heartbeat)
      http.off('upgrade', onUpgrade)
      const closed = [...wss.clients].map(
        (ws) =>
          new Promise<void>((resolve) => {
            ws.once('close', () => resolve())
            ws.close(1001, 'The server is shutting down')
            setTimeout(() => ws.terminate(), 1000).unref()
          }),
      )
      await Promise.all(closed)
      await new Promise<void>((resolve) => wss.close(() => resolve()))
    },
  }
}

function refuse(socket: Duplex, status: string, text: string) {
  socket.end(
    `HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Type: text/plain; charset=utf-8\r\nContent-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`,
  )
}
