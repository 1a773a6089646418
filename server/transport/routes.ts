import express, { type Request, type Response, type Router } from 'express'
import { z } from 'zod'
import type { Role } from '../../rules/protocol/index.ts'
import { fieldName, sayIssue } from '../../rules/protocol/say-issue.ts'
import { saidIn } from '../cases/in-language.ts'
import type { Pass, Shop } from '../store/store.ts'
import { languageOf } from './language.ts'

/** What goes wrong over HTTP: a status, what was wrong, what to do, and where. */
export class ApiError extends Error {
  override name = 'ApiError'
  readonly body: ApiErrorBody

  constructor(
    readonly status: number,
    code: ApiErrorBody['code'],
    text: string,
    mend: string,
    more: Pick<ApiErrorBody, 'field' | 'problems'> = {},
  ) {
    super(text)
    this.body = { code, text, mend, ...more }
  }
}

/** The answer to what went wrong, in the language that was asked for. */
export function sendError(request: Request, response: Response, { status, body }: ApiError): void {
  const said = saidIn(languageOf(request, response))
  const { text, mend, problems, ...rest } = body
  const error: ApiErrorBody = {
    ...rest,
    text: said(text),
    mend: said(mend),
    ...(problems && { problems: problems.map((p) => ({ ...p, what: said(p.what), mend: said(p.mend) })) }),
  }
  response.status(status).json({ error })
}

export const API_ERRORS = [
  'malformed',
  'too-large',
  'invalid',
  'bad-pass',
  'not-your-role',
  'not-found',
  'conflict',
  'too-many',
  'try-again',
] as const

export const apiErrorBody = z.object({
  code: z.enum(API_ERRORS),
  text: z.string().describe('what was wrong'),
  mend: z.string().describe('what to do'),
  field: z.string().optional().describe('where'),
  problems: z
    .array(
      z.object({
        line: z.number().int().optional(),
        column: z.string().optional(),
        path: z.string().optional(),
        what: z.string(),
        mend: z.string(),
      }),
    )
    .optional()
    .describe('everything that is wrong with a file; nothing of it was taken'),
})
export type ApiErrorBody = z.infer<typeof apiErrorBody>

/** A body or reply that is not JSON. */
export interface TextOf {
  text: 'text/csv' | 'application/json'
}

/** Pictures, as they are. */
export interface BinaryOf {
  binary: readonly string[]
}

export interface RouteInput {
  params: Record<string, string>
  query: Record<string, unknown>
  body: unknown
  /** the shop of the pass; for anyone, that of `?shop=` */
  shop: Shop
  /** set but for routes that are for anyone */
  pass: Pass
  address: string
  /** what the reader reads, of what the server has sentences in */
  language: string
}

/** Whom a route is for; for each list that leaves somebody out there is a sentence below that says so. */
type Who = readonly ['dealer'] | readonly ['technician', 'dealer'] | readonly ['customer', 'technician', 'dealer']

export interface Route {
  method: 'get' | 'post' | 'put' | 'patch' | 'delete'
  /** as OpenAPI writes it: `/api/shop/cases/{case}` */
  path: string
  /** whose pass it takes */
  who: 'anyone' | Who
  summary: string
  about?: string
  query?: z.ZodObject
  body?: z.ZodType | TextOf | BinaryOf
  /** longest body, bytes */
  most?: number
  reply: z.ZodType | TextOf | BinaryOf
  /** the file's name, for what is downloaded */
  file?: string
  /** what can go wrong besides what always can */
  errors?: Partial<Record<number, string>>
  run(input: RouteInput): Promise<unknown>
}

export const isText = (of: Route['reply'] | undefined): of is TextOf => of !== undefined && 'text' in of
export const isBinary = (of: Route['reply'] | undefined): of is BinaryOf => of !== undefined && 'binary' in of

/** A route whose body and query are typed by their schemas. */
export function route<Q extends z.ZodObject, B extends z.ZodType>(
  made: Omit<Route, 'run' | 'query' | 'body'> & {
    query?: Q
    body?: B | TextOf | BinaryOf
    run(input: Omit<RouteInput, 'query' | 'body'> & { query: z.output<Q>; body: z.output<B> }): Promise<unknown>
  },
): Route {
  return made as unknown as Route
}

/** The longest body where a route says nothing else, bytes. */
export const BODY_BYTES = 16_384

export interface Doorkeeper {
  /** the pass that a request carries; throws ApiError where there is none that is good */
  passOf(request: Request): Promise<Pass>
  shop(id: string): Promise<Shop | undefined>
}

/** Express for a list of routes: roles, bodies and queries are checked here, for each of them. */
export function mount(routes: readonly Route[], door: Doorkeeper): Router {
  const router = express.Router()
  for (const r of routes) {
    const path = r.path.replace(/\{(\w+)\}/g, ':$1')
    const limit = r.most ?? BODY_BYTES
    const read = isBinary(r.body) ? express.raw({ limit, type: () => true }) : express.text({ limit, type: () => true })
    router[r.method](path, read, async (request, response) => {
      try {
        const shopOf = async (id: string) => {
          const shop = await door.shop(id)
          if (!shop) throw new ApiError(404, 'not-found', `There is no shop "${id.slice(0, 80)}".`, 'Mend the id.')
          return shop
        }
        let pass: Pass | undefined
        if (r.who !== 'anyone') {
          pass = await door.passOf(request)
          if (!(r.who as readonly Role[]).includes(pass.role)) {
            throw new ApiError(
              403,
              'not-your-role',
              r.who.length > 1 ? 'This is for a technician or a dealer.' : 'This is for a dealer.',
              'Sign in as one, or ask one.',
            )
          }
        }
        const query = r.query ? check(r.query, request.query, 'query') : {}
        const asked = typeof request.query.shop === 'string' ? request.query.shop : 'demo'
        const shop = await shopOf(pass?.shop ?? asked)
        const body = isBinary(r.body)
          ? request.body
          : isText(r.body)
            ? textOf(request)
            : r.body
              ? check(r.body, jsonOf(request), 'body')
              : undefined
        const result = await r.run({
          params: request.params as Record<string, string>,
          query: query as Record<string, unknown>,
          body,
          shop,
          pass: pass!,
          address: request.socket.remoteAddress ?? '',
          language: languageOf(request, response),
        })
        send(response, r, result)
      } catch (error) {
        if (!(error instanceof ApiError)) throw error
        sendError(request, response, error)
      }
    })
  }
  return router
}

function send(response: Response, r: Route, result: unknown) {
  if (r.file) response.attachment(r.file)
  if (isText(r.reply)) {
    // As it stands: an export must not be written anew.
    response.set('Content-Type', r.reply.text === 'text/csv' ? 'text/csv; charset=utf-8; header=present' : r.reply.text)
    response.end(String(result), 'utf8')
    return
  }
  if (isBinary(r.reply)) {
    const { media, bytes } = result as { media: string; bytes: Buffer }
    response.set('Content-Type', media)
    response.end(bytes)
    return
  }
  response.json(result)
}

function textOf(request: Request): string {
  return typeof request.body === 'string' ? request.body : ''
}

function jsonOf(request: Request): unknown {
  const text = textOf(request)
  try {
    return JSON.parse(text)
  } catch {
    throw new ApiError(400, 'malformed', 'The body is not JSON.', 'Send one JSON object in UTF-8.')
  }
}

function check(schema: z.ZodType, value: unknown, what: string): unknown {
  const result = schema.safeParse(value)
  if (result.success) return result.data
  const issue = result.error.issues[0]!
  const parts = schema instanceof z.ZodObject ? Object.keys(schema.shape) : []
  const said = sayIssue(issue, value, what, parts)
  const field = fieldName(issue.path)
  throw new ApiError(400, 'invalid', said.text, said.mend, field === undefined ? {} : { field })
}
