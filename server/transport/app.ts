import express, { type Express, type NextFunction, type Request, type RequestHandler, type Response } from 'express'
import { rateLimit } from 'express-rate-limit'
import helmet from 'helmet'
import type { Logger } from 'pino'
import { readFrame } from '../../rules/protocol/frame.ts'
import { MAX_FRAME_BYTES, type ServerMessage } from '../../rules/protocol/index.ts'
import { errorMessage, refusedMessage } from '../../rules/protocol/say.ts'
import { inLanguage } from '../cases/in-language.ts'
import type { CaseService } from '../cases/service.ts'
import type { Shop } from '../store/store.ts'
import { languageOf } from './language.ts'
import type { LimitSettings, Limits } from './limits.ts'
import type { Origins } from './origins.ts'
import { frame, pageNames, pages } from './pages.ts'
import { ApiError, mount, type Route, sendError } from './routes.ts'

const STATUS: Record<string, number> = {
  malformed: 400,
  'too-large': 413,
  'unknown-version': 400,
  'unknown-type': 400,
  invalid: 400,
  'bad-pass': 401,
  'no-such-case': 404,
  'too-many': 429,
  'try-again': 503,
  busy: 503,
}

export interface AppParts {
  /** the shop's side: settings, cases, people, descriptions */
  routes: readonly Route[]
  shop: (id: string) => Promise<Shop | undefined>
  service: CaseService
  origins: Origins
  limits: Limits
  limitSettings: LimitSettings
  log: Logger
  /** folder of the built client */
  pages: string
  /** pages that may put ours into a frame */
  frameAncestors: readonly string[]
  health: () => Promise<{ knowledge: string; store: 'ok' }>
  /** pages made on the fly while the client is being written; without the headers that would stop them */
  devPages?: RequestHandler
}

/** Pages, health, and the conversation over HTTP for programs that hold no socket. */
export function makeApp(parts: AppParts): Express {
  const app = express()
  app.disable('x-powered-by')
  app.set('query parser', 'simple')
  app.use(
    helmet({
      contentSecurityPolicy: parts.devPages
        ? false
        : {
            useDefaults: false,
            directives: {
              'default-src': ["'self'"],
              'base-uri': ["'none'"],
              'object-src': ["'none'"],
              'form-action': ["'self'"],
              // Lit's styles are constructed, which needs no permission; inline style attributes do.
              'style-src': ["'self'", "'unsafe-inline'"],
              'img-src': ["'self'", 'data:', 'blob:'],
              // Older browsers do not count ws: as one's own origin.
              'connect-src': ["'self'", 'ws:', 'wss:'],
              'frame-ancestors': ["'self'", ...parts.frameAncestors],
            },
          },
      // frame-ancestors says it better, and this header knows no list.
      xFrameOptions: false,
      // The element's script is loaded by the shop's own pages.
      crossOriginResourcePolicy: { policy: 'cross-origin' },
      crossOriginOpenerPolicy: false,
      // For whoever ends TLS to say; over plain http on a workshop's network it would only do harm.
      strictTransportSecurity: false,
      referrerPolicy: { policy: 'no-referrer' },
    }),
  )

  app.get('/healthz', async (_request, response) => {
    response.set('Cache-Control', 'no-store')
    try {
      response.json({ status: 'ok', ...(await parts.health()) })
    } catch {
      response.status(503).json({ status: 'failing', store: 'can not be read', mend: "See the server's log" })
    }
  })

  const { requests } = parts.limitSettings
  app.use('/api', atMost(requests))
  // A page is twenty files, and a shop's screens share one address.
  app.use(atMost(requests * FILES_TO_ONE))

  app.use('/api', fromHere(parts.origins))
  app.use(mount(parts.routes, { passOf: (request) => passOf(parts.service, request), shop: parts.shop }))
  app.use('/api', api(parts))
  app.get('/frame', frame(parts))
  if (parts.devPages) app.use(pageNames, parts.devPages)
  else app.use(pages(parts.pages))
  app.use((request: Request, response: Response) => {
    response
      .status(404)
      .type('text/plain')
      .send(
        `There is nothing at ${request.path}. The counter page is at /, the bench page at /bench, the desk at /desk.\n`,
      )
  })
  app.use(failed(parts.log))
  return app
}

/** So many files may be fetched for each request of the API. */
const FILES_TO_ONE = 20

/** @param limit requests of one address in a minute */
function atMost(limit: number): RequestHandler {
  return rateLimit({
    windowMs: 60_000,
    limit,
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    handler: (request, response) => {
      sayNo(request, response, 'too-many', 'Too many requests in a short time.', 'Wait a minute, then go on.')
    },
  })
}

/** Nothing of the API is kept by a browser, and only pages that may talk to the server reach it. */
function fromHere(origins: Origins): RequestHandler {
  return async (request, response, next) => {
    response.set('Cache-Control', 'no-store')
    if (await origins.mayConnect(request)) next()
    else {
      sayNo(
        request,
        response,
        'bad-pass',
        'This page may not talk to the server.',
        "Add it to the shop's allowed origins.",
      )
    }
  }
}

/** What is wrong with any request, in the form of its address: the shop's side says one `error`, the conversation `replies`. */
function sayNo(request: Request, response: Response, code: 'bad-pass' | 'too-many', text: string, mend: string): void {
  if (isShopSide(request)) sendError(request, response, new ApiError(STATUS[code]!, code, text, mend))
  else reply(request, response, [errorMessage(code, text, mend)])
}

const isShopSide = (request: Request) => /^\/api\/(shop\/|cases\/[^/]+\/photos)/.test(request.baseUrl + request.path)

async function passOf(service: CaseService, request: Request) {
  const pass = bearer(request)
  if (pass === undefined) {
    throw new ApiError(401, 'bad-pass', 'This needs a pass.', 'Sign in, and send it as: Authorization: Bearer <pass>')
  }
  const known = await service.passOf(pass)
  if (!known) {
    throw new ApiError(401, 'bad-pass', 'You are signed out, or your session is over.', 'Sign in again.')
  }
  return known
}

function api({ service, origins, limits }: AppParts) {
  const router = express.Router()
  router.use(express.text({ limit: MAX_FRAME_BYTES, type: () => true }))

  /** One `open`, its replies: makes a case or shows one. */
  router.post('/cases', async (request, response) => {
    const frame = readFrame(bodyOf(request))
    if (!frame.message) return reply(request, response, [frame.error])
    if (frame.message.type !== 'open') return reply(request, response, [openFirst(frame.message.type, frame.re)])
    const message = { ...frame.message, pass: frame.message.pass ?? bearer(request) }
    const address = request.socket.remoteAddress ?? ''
    if (!(await origins.mayReach(request, message.shop))) {
      return reply(request, response, [
        errorMessage('bad-pass', 'This page may not talk to this shop.', 'Add it to its origins.'),
      ])
    }
    const opening = await service.open(message, { mayMake: () => limits.mayMake(address) })
    reply(request, response, opening.replies)
  })

  /** One message about a case, its replies; the same step as over the socket, and as often as you like with the same id. */
  router.post('/cases/:case/messages', async (request, response) => {
    const frame = readFrame(bodyOf(request))
    if (!frame.message) return reply(request, response, [frame.error])
    const message = frame.message
    if (message.type === 'open') {
      return reply(request, response, [
        errorMessage('invalid', '"open" does not belong here.', 'Post it to /api/cases.', {
          re: message.id,
          field: 'type',
        }),
      ])
    }
    const shop = typeof request.query.shop === 'string' ? request.query.shop : 'demo'
    const known = await service.find(shop, bearer(request), request.params.case, message.id)
    reply(request, response, known.ok ? await service.take(known.key, known.pass, message) : known.replies)
  })

  router.use((request, response) => {
    reply(
      request,
      response,
      [errorMessage('invalid', 'There is no such address.', 'Every address is listed in /api/openapi.json.')],
      404,
    )
  })
  return router
}

function bodyOf(request: Request): string {
  return typeof request.body === 'string' ? request.body : ''
}

function bearer(request: Request): string | undefined {
  return /^Bearer ([^\s]{1,400})$/i.exec(request.headers.authorization ?? '')?.[1]
}

function openFirst(type: string, re?: string): ServerMessage {
  return refusedMessage(
    'open-first',
    `"${type}" needs an open case.`,
    'Post "open" here; "pass" and "case" come back.',
    {
      re,
    },
  )
}

function reply(request: Request, response: Response, replies: readonly ServerMessage[], status?: number): void {
  const language = languageOf(request, response)
  const last = replies.at(-1)
  const fitting =
    last?.type === 'error'
      ? STATUS[last.code]!
      : last?.type === 'refused'
        ? last.code === 'not-your-role'
          ? 403
          : 409
        : 200
  response.status(status ?? fitting).json({ replies: replies.map((message) => inLanguage(message, language)) })
}

function failed(log: Logger) {
  return (error: unknown, request: Request, response: Response, next: NextFunction) => {
    if (response.headersSent) return next(error)
    const type = (error as { type?: string }).type
    if (isShopSide(request)) {
      const wrong =
        type === 'entity.too.large'
          ? new ApiError(413, 'too-large', 'That is too much at once.', 'Send less.')
          : type?.startsWith('entity.') || type?.startsWith('encoding.') || type?.startsWith('charset.')
            ? new ApiError(
                400,
                'malformed',
                'The body can not be read.',
                'Send it in UTF-8, not compressed in a way of its own.',
              )
            : new ApiError(
                503,
                'try-again',
                'The server could not do this just now; nothing of it was kept.',
                'Try again.',
              )
      if (wrong.status === 503) {
        log.error({ err: error instanceof Error ? error.name : typeof error }, 'a request failed')
      }
      return sendError(request, response, wrong)
    }
    if (type === 'entity.too.large') {
      return reply(request, response, [
        errorMessage('too-large', `${MAX_FRAME_BYTES} bytes is the most.`, 'Send less at once, or fewer answers.'),
      ])
    }
    if (type?.startsWith('entity.') || type?.startsWith('encoding.') || type?.startsWith('charset.')) {
      return reply(request, response, [
        errorMessage('malformed', 'The body is not JSON.', 'Send one JSON object in UTF-8.'),
      ])
    }
    const status = (error as { status?: number }).status
    if (typeof status === 'number' && status >= 400 && status < 500) {
      response.status(status).type('text/plain').send('The request could not be read: mend its address or headers.\n')
      return
    }
    log.error({ err: error instanceof Error ? error.name : typeof error }, 'a request failed')
    reply(request, response, [errorMessage('try-again', 'The server could not do this.', 'Try again.')])
  }
}
