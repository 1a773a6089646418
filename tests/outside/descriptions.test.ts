import { Parser } from '@asyncapi/parser'
import { Validator } from '@seriousme/openapi-schema-validator'
import { Ajv2020 } from 'ajv/dist/2020.js'
import request from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { clientMessage, serverMessage } from '../../rules/protocol/index.ts'
import { type Harness, removeFolders, startHarness } from '../server/harness.ts'
import { Screen } from '../server/screen.ts'

/** What the server says of itself, held against the validators of OpenAPI and AsyncAPI and against what it does. */
let server: Harness
// biome-ignore lint/suspicious/noExplicitAny: documents of others' making
let openapi: any
// biome-ignore lint/suspicious/noExplicitAny: documents of others' making
let asyncapi: any
beforeAll(async () => {
  server = await startHarness()
  openapi = (await request(server.base).get('/api/openapi.json').expect(200)).body
  asyncapi = (await request(server.base).get('/api/asyncapi.json').expect(200)).body
})
afterAll(async () => {
  await server.stop()
  removeFolders()
})

const ajv = () => new Ajv2020({ strict: false, allErrors: true })

/** The smallest whole PNG: one pixel. */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
)

describe('OpenAPI', () => {
  it('is valid by the schema of OpenAPI 3.1', async () => {
    const validator = new Validator()
    const result = await validator.validate(structuredClone(openapi))
    expect(result.errors ?? []).toEqual([])
    expect(result.valid).toBe(true)
    expect(validator.version).toBe('3.1')
    // The validator does find faults.
    const broken = structuredClone(openapi)
    broken.paths['/api/shop/cases'].get.responses = 'none'
    expect((await new Validator().validate(broken)).valid).toBe(false)
  })

  it('names every operation once, and every schema in it compiles', () => {
    const operations = Object.values(openapi.paths).flatMap((path) => Object.values(path as object))
    const ids = operations.map((o) => o.operationId)
    expect(new Set(ids).size).toBe(ids.length)
    expect(ids.length).toBeGreaterThan(25)
    for (const operation of operations) {
      const bodies = [operation.requestBody, ...Object.values(operation.responses)]
      for (const body of bodies) {
        const schema = (body as { content?: Record<string, { schema: object }> })?.content?.['application/json']?.schema
        if (schema && !('$ref' in schema)) expect(() => ajv().compile(schema)).not.toThrow()
      }
    }
  })

  it('what is served is as described', async () => {
    const pass = { Authorization: `Bearer ${server.dealerPass}` }
    const opened = await request(server.base)
      .post('/api/cases')
      .send({ v: 1, id: 'open-for-the-description', type: 'open', tag: '12' })
    const id = opened.body.replies[0].case
    const { body: made } = await request(server.base)
      .post(`/api/cases/${id}/photos?id=1`)
      .set(pass)
      .send(PNG)
      .expect(200)
    const gets = Object.entries<Record<string, { responses: Record<string, unknown> }>>(openapi.paths).flatMap(
      ([path, methods]) => (methods.get ? [[path, methods.get] as const] : []),
    )
    for (const [path, { responses }] of gets) {
      const { status, body } = await request(server.base)
        .get(path.replace('{case}', id).replace('{photo}', made.photo))
        .set(pass)
      expect([path, status]).toEqual([path, 200])
      const ok = responses[200] as { content: Record<string, { schema: object }> }
      const schema = ok.content['application/json']?.schema
      if (!schema || (schema as { type?: string }).type === 'string') continue
      const validate = ajv().compile(schema)
      expect(validate(body), `${path}: ${JSON.stringify(validate.errors)?.slice(0, 400)}`).toBe(true)
    }
    expect(gets.length).toBeGreaterThan(10)
    const error = await request(server.base).get('/api/shop/cases').expect(401)
    expect(ajv().compile(openapi.components.schemas.Error)(error.body)).toBe(true)
  })
})

describe('AsyncAPI', () => {
  it('is valid by its own parser', async () => {
    const parser = new Parser()
    const { document, diagnostics } = await parser.parse(JSON.stringify(asyncapi))
    // 0 is an error, 1 a warning; that a newer version is out is said as information.
    expect(diagnostics.filter((d) => d.severity <= 0)).toEqual([])
    expect(
      document
        ?.channels()
        .all()
        .map((c) => c.address()),
    ).toEqual(['/converse'])
    const broken = { ...asyncapi, channels: { converse: { address: 7 } } }
    const found = await parser.parse(JSON.stringify(broken))
    expect(found.diagnostics.some((d) => d.severity === 0)).toBe(true)
  })

  it('has every message of the protocol, each with its schema', () => {
    const names = Object.keys(asyncapi.components.messages).sort()
    const types = (options: readonly { shape: { type: { value: string } } }[]) => options.map((o) => o.shape.type.value)
    expect(names).toEqual(
      [
        ...types(clientMessage.options).map((t) => `client-${t}`),
        ...types(serverMessage.options as never).map((t) => `server-${t}`),
      ].sort(),
    )
  })

  it('what goes over the socket is as described', async () => {
    const validate = Object.fromEntries(
      Object.entries<{ payload: object }>(asyncapi.components.messages).map(([name, { payload }]) => [
        name,
        ajv().compile(payload),
      ]),
    )
    const screen = await Screen.connect(server.port)
    const sent = [
      { type: 'open', tag: '12', facts: { packVolts: 36 } },
      { type: 'answer', answers: [{ check: 'check-1', outcome: 'yes' }] },
      { type: 'tell', text: 'squeals' },
      { type: 'why' },
      { type: 'retract', check: 'check-9' },
    ] as const
    for (const message of sent) {
      expect(validate[`client-${message.type}`]!({ v: 1, id: 'x', ...message }), message.type).toBe(true)
      await screen.ask(message as Parameters<Screen['ask']>[0])
    }
    screen.close()
    for (const message of screen.received) {
      const check = validate[`server-${message.type}`]!
      expect(check(message), `${message.type}: ${JSON.stringify(check.errors)}`).toBe(true)
    }
    expect(new Set(screen.received.map((m) => m.type)).size).toBeGreaterThanOrEqual(5)
    expect(validate['client-answer']!({ v: 1, id: 'x', type: 'answer', answers: [] })).toBe(false)
  })
})
