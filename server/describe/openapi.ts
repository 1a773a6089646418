import { z } from 'zod'
import { clientMessage, open, serverMessage } from '../../rules/protocol/index.ts'
import { apiErrorBody, isBinary, isText, type Route } from '../transport/routes.ts'

type Schema = Record<string, unknown>

/** JSON Schema of a zod schema, as OpenAPI 3.1 and AsyncAPI 3 take it: draft 2020-12 in one piece. */
export function schemaOf(schema: z.ZodType, io: 'input' | 'output'): Schema {
  const { $schema: _, ...made } = z.toJSONSchema(schema, { io, unrepresentable: 'any' }) as Schema
  return made
}

const ALWAYS: Record<number, string> = {
  400: 'what was sent is not as it should be',
  429: 'too many requests in a short time',
  503: 'the server could not do it now: try again',
}

/** The HTTP side, from the very routes that it is made of. */
export function openApi(routes: readonly Route[]): Schema {
  const paths: Record<string, Record<string, unknown>> = {}
  for (const r of routes) {
    paths[r.path] ??= {}
    paths[r.path]![r.method] = operation(r)
  }
  for (const [path, operation] of Object.entries(conversation())) paths[path] = { post: operation }
  paths['/healthz'] = {
    get: {
      operationId: 'healthz',
      summary: 'Does it work?',
      responses: {
        200: json(
          'it does',
          schemaOf(z.object({ status: z.literal('ok'), knowledge: z.string(), store: z.string() }), 'output'),
        ),
        503: { description: 'the store can not be read' },
      },
    },
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Benchlamp',
      version: '1',
      description:
        'Cases of a repair shop for electric golf and utility cars. Times are ISO 8601, UTC. What goes wrong says what was wrong (`text`), what to do (`mend`) and where (`field`); `text` and `mend` in the language that `Accept-Language` asks for where the server has it, else in English.',
      license: { name: 'MIT', identifier: 'MIT' },
    },
    servers: [{ url: '/' }],
    paths,
    components: {
      securitySchemes: {
        pass: {
          type: 'http',
          scheme: 'bearer',
          description: "a customer's from opening a case, a technician's or dealer's from signing in or from a link",
        },
      },
      schemas: { Error: schemaOf(z.object({ error: apiErrorBody }), 'output') },
    },
  }
}

function operation(r: Route): Schema {
  const names = [...r.path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name!)
  const parameters: Schema[] = names.map((name) => ({ name, in: 'path', required: true, schema: { type: 'string' } }))
  if (r.query) {
    const { properties = {}, required = [] } = schemaOf(r.query, 'input') as {
      properties?: Record<string, Schema>
      required?: string[]
    }
    for (const [name, { description, ...schema }] of Object.entries(properties)) {
      parameters.push({
        name,
        in: 'query',
        required: required.includes(name),
        ...(description === undefined ? {} : { description }),
        schema,
      })
    }
  }
  const errors: Record<number, string> = { ...ALWAYS }
  if (r.body) errors[413] = 'the body is too long'
  if (r.who !== 'anyone') {
    errors[401] = 'no pass, or one that is good no more'
    errors[403] = `the pass is not of a ${r.who.join(' or ')}`
  }
  Object.assign(errors, r.errors)
  const responses: Record<string, unknown> = {
    200: isText(r.reply)
      ? { description: 'done', content: { [r.reply.text]: { schema: { type: 'string' } } } }
      : isBinary(r.reply)
        ? { description: 'done', content: Object.fromEntries(r.reply.binary.map((media) => [media, {}])) }
        : json('done', schemaOf(r.reply, 'output')),
  }
  for (const [status, description] of Object.entries(errors)) {
    responses[status] = json(description!, { $ref: '#/components/schemas/Error' })
  }
  return {
    operationId: `${r.method}${r.path.replace(/\W+(\w)/g, (_m, c: string) => c.toUpperCase()).replace(/\W/g, '')}`,
    summary: r.summary,
    ...(r.about === undefined ? {} : { description: r.about }),
    ...(parameters.length > 0 ? { parameters } : {}),
    ...(r.body
      ? {
          requestBody: {
            required: true,
            content: isText(r.body)
              ? { [r.body.text]: { schema: { type: 'string' } } }
              : isBinary(r.body)
                ? Object.fromEntries(r.body.binary.map((media) => [media, {}]))
                : { 'application/json': { schema: schemaOf(r.body, 'input') } },
          },
        }
      : {}),
    responses,
    security: r.who === 'anyone' ? [] : [{ pass: [] }],
    ...(r.who === 'anyone' ? {} : { 'x-roles': r.who }),
  }
}

/** The conversation over HTTP: the same messages as over the socket, one at a time. */
function conversation(): Record<string, Schema> {
  const replies = schemaOf(z.object({ replies: z.array(serverMessage) }), 'output')
  const errors = {
    400: json('the message is not as it should be', replies),
    401: json('the pass is not good', replies),
    403: json("refused: not this role's to do", replies),
    404: json('no such case for this pass', replies),
    409: json('refused: it can not be taken now; the case is unharmed', replies),
    413: json('the message is too long', replies),
    429: json('too many in a short time', replies),
    503: json('try again with the same id: it counts once', replies),
  }
  return {
    '/api/cases': {
      operationId: 'openCase',
      summary: 'Open a case, or make one',
      security: [{}, { pass: [] }],
      requestBody: { required: true, content: { 'application/json': { schema: schemaOf(open, 'input') } } },
      responses: { 200: json('all that a screen needs to show it', replies), ...errors },
    },
    '/api/cases/{case}/messages': {
      operationId: 'sendMessage',
      summary: 'One message about a case; the same id twice has the effect of once',
      security: [{ pass: [] }],
      parameters: [
        { name: 'case', in: 'path', required: true, schema: { type: 'string' } },
        { name: 'shop', in: 'query', required: false, schema: { type: 'string', default: 'demo' } },
      ],
      requestBody: { required: true, content: { 'application/json': { schema: schemaOf(clientMessage, 'input') } } },
      responses: { 200: json('its replies', replies), ...errors },
    },
  }
}

function json(description: string, schema: Schema): Schema {
  return { description, content: { 'application/json': { schema } } }
}
