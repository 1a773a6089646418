import type { Server } from 'node:http'
import { fileURLToPath } from 'node:url'
import type { RequestHandler } from 'express'

/** The client straight from its sources, updated in the browser as they change. For development only. */
export async function devPages(http: Server): Promise<RequestHandler> {
  const { createServer } = await import('vite')
  const vite = await createServer({
    root: fileURLToPath(new URL('../../client', import.meta.url)),
    appType: 'mpa',
    server: { middlewareMode: true, hmr: { server: http } },
  })
  return vite.middlewares
}
