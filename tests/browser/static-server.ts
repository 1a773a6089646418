import { createReadStream, existsSync, statSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import { extname, join, normalize } from 'node:path'

const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
}

/** Hands out the files of a folder and pages of its own, and knows nothing else: no conversation, no socket. */
export class StaticServer {
  #http?: Server
  #port = 0

  constructor(
    private readonly folder: string,
    private readonly pages: Readonly<Record<string, string>> = {},
  ) {}

  get url(): string {
    return `http://127.0.0.1:${this.#port}`
  }

  async start(): Promise<void> {
    const http = createServer((request, response) => {
      const path = new URL(request.url ?? '/', 'http://x').pathname
      const page = this.pages[path]
      const file = join(this.folder, normalize(path === '/' ? 'index.html' : path))
      const there = page !== undefined || (file.startsWith(this.folder) && existsSync(file) && statSync(file).isFile())
      response.writeHead(there ? 200 : 404, {
        'content-type': page === undefined ? (TYPES[extname(file)] ?? 'application/octet-stream') : TYPES['.html'],
        'access-control-allow-origin': '*',
      })
      if (page !== undefined || !there) response.end(page)
      else createReadStream(file).pipe(response)
    })
    this.#http = http
    await new Promise<void>((done) => http.listen(this.#port, '127.0.0.1', done))
    this.#port = (http.address() as { port: number }).port
  }

  async stop(): Promise<void> {
    this.#http?.closeAllConnections()
    await new Promise((done) => this.#http?.close(done))
  }
}
