import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { constants } from 'node:zlib'
import compression from 'compression'
import express, { type NextFunction, type Request, type RequestHandler, type Response, type Router } from 'express'
import type { Shop } from '../store/store.ts'
import { notAllowed } from './not-allowed.ts'
import type { Origins } from './origins.ts'

/** Address of a page -> its file in the built client. */
const PAGES: Record<string, string> = {
  '/': 'index.html',
  '/bench': 'bench.html',
  '/desk': 'desk.html',
  '/embed': 'embed.html',
  '/frame': 'frame.html',
  '/work-order': 'work-order.html',
}

/** `/bench` is bench.html. */
export function pageNames(request: Request, _response: Response, next: NextFunction) {
  const page = PAGES[request.path]
  if (page && request.method === 'GET') request.url = `/${page}`
  next()
}

/** The built client, compressed on its way. */
export function pages(folder: string): Router {
  const router = express.Router()
  // Brotli's own default for this would be slower and larger; measured on the element's script.
  router.use(compression({ brotli: { params: { [constants.BROTLI_PARAM_QUALITY]: 5 } } }))
  for (const [path, file] of Object.entries(PAGES)) {
    router.get(path, (_request, response, next) => {
      if (!existsSync(join(folder, file))) {
        if (path === '/') {
          response.status(503).type('text/plain').send('The pages are not built yet. Run: npm run build\n')
        } else next()
        return
      }
      // The page is asked for anew each time, what it loads carries a hash in its name.
      response.sendFile(file, { root: folder, headers: { 'Cache-Control': 'no-cache' } })
    })
  }
  router.use(
    express.static(folder, {
      index: false,
      dotfiles: 'ignore',
      setHeaders: (response, path) => {
        response.setHeader('Access-Control-Allow-Origin', '*')
        response.setHeader(
          'Cache-Control',
          /[\\/]assets[\\/]/.test(path) ? 'public, max-age=31536000, immutable' : 'public, max-age=300',
        )
      },
    }),
  )
  return router
}

/**
 * The counter page for a frame on somebody's page: framed by the origins that its shop allows, too. A browser shows a frame
 * that is forbidden as broken and says nothing; so where it tells which page asks, that page is answered in words.
 */
export function frame(parts: {
  origins: Origins
  shop: (id: string) => Promise<Shop | undefined>
  frameAncestors: readonly string[]
}): RequestHandler {
  return async (request, response, next) => {
    const id = typeof request.query['shop'] === 'string' ? request.query['shop'] : 'demo'
    const origins = (await parts.shop(id))?.origins ?? []
    const policy = String(response.getHeader('Content-Security-Policy') ?? '')
    const framedBy = (who: string) =>
      response.setHeader('Content-Security-Policy', policy.replace(/frame-ancestors [^;]*/, `frame-ancestors ${who}`))
    const { referer, host } = request.headers
    const page = referer && URL.canParse(referer) ? new URL(referer).origin : undefined
    const embedded = request.headers['sec-fetch-dest'] === 'iframe'
    if (policy && embedded && page && !(await parts.origins.mayReach({ headers: { origin: page, host } }, id))) {
      framedBy('*')
      response.status(403).set('Cache-Control', 'no-store').type('html').send(notAllowed(page, request.query['lang']))
      return
    }
    if (policy) framedBy(["'self'", ...parts.frameAncestors, ...origins].join(' '))
    next()
  }
}
