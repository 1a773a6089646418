import type { z } from 'zod'
import { clientMessage, serverMessage } from '../../rules/protocol/index.ts'
import { SOCKET_PATH } from '../transport/socket.ts'
import { schemaOf } from './openapi.ts'

type Option = z.ZodObject<{ type: z.ZodLiteral<string> }>

/** The socket, from the very schemas that its messages are checked against. */
export function asyncApi(): Record<string, unknown> {
  const messages: Record<string, unknown> = {}
  const refs = (options: readonly unknown[], io: 'input' | 'output', from: string) =>
    (options as readonly Option[]).map((option) => {
      const type = option.shape.type.value
      const name = `${from}-${type}`
      messages[name] = {
        name,
        title: type,
        contentType: 'application/json',
        payload: schemaOf(option, io),
      }
      return name
    })
  const fromClient = refs(clientMessage.options, 'input', 'client')
  const fromServer = refs(serverMessage.options, 'output', 'server')
  const inChannel = (name: string) => ({ $ref: `#/channels/converse/messages/${name}` })
  return {
    asyncapi: '3.0.0',
    info: {
      title: 'Benchlamp',
      version: '1',
      description:
        'One conversation about a case over a WebSocket: each text frame is one JSON object. The first is `open`. Replies carry the id of their message as `re`; a reply means: stored. The same id twice has the effect of once.',
      license: { name: 'MIT' },
    },
    defaultContentType: 'application/json',
    channels: {
      converse: {
        address: SOCKET_PATH,
        title: 'The conversation',
        messages: Object.fromEntries(
          [...fromClient, ...fromServer].map((name) => [name, { $ref: `#/components/messages/${name}` }]),
        ),
        bindings: { ws: { method: 'GET', bindingVersion: '0.1.0' } },
      },
    },
    // From the server's side, as AsyncAPI 3 has it: it receives what clients send.
    operations: {
      fromClient: {
        action: 'receive',
        channel: { $ref: '#/channels/converse' },
        summary: 'What a screen sends',
        messages: fromClient.map(inChannel),
        reply: { channel: { $ref: '#/channels/converse' }, messages: fromServer.map(inChannel) },
      },
      toFollowers: {
        action: 'send',
        channel: { $ref: '#/channels/converse' },
        summary: 'What a screen is sent after somebody else changed the case: without `re`',
        messages: fromServer.map(inChannel),
      },
    },
    components: { messages },
  }
}
