import { createServer, type Server } from 'node:http'
import { join } from 'node:path'
import type { RequestHandler } from 'express'
import type { Logger } from 'pino'
import type { Problem } from '../rules/schema/problem.ts'
import { CaseService } from './cases/service.ts'
import { type Config, ConfigError } from './config.ts'
import { DEMO_SHOP } from './demo.ts'
import { descriptionRoutes } from './describe/routes.ts'
import type { Loader } from './knowledge/loader.ts'
import { checkApart, type OverlayCheck, Overlays } from './knowledge/overlays.ts'
import { Shelf } from './knowledge/shelf.ts'
import type { ServerOutside } from './outside.ts'
import { caseRoutes } from './shop/cases.ts'
import { keepErasing } from './shop/erase.ts'
import { overlayRoutes } from './shop/overlay.ts'
import { peopleRoutes } from './shop/people.ts'
import { photoRoutes } from './shop/photos.ts'
import { settingsRoutes } from './shop/settings.ts'
import { addresses, type LinkRole, newLinkPass, signInLink } from './sign-in.ts'
import { openStore } from './store/open.ts'
import type { Store } from './store/store.ts'
import { makeApp } from './transport/app.ts'
import { LIMITS, type LimitSettings, Limits } from './transport/limits.ts'
import { Origins } from './transport/origins.ts'
import { serveSockets } from './transport/socket.ts'

export const BUILT_PAGES = join(import.meta.dirname, '../client/dist')

export interface StartParts {
  config: Config
  load: Loader
  outside: ServerOutside
  log: Logger
  /** one that is open already; closed at the end all the same */
  store?: Store
  pages?: string
  limits?: LimitSettings
  /** the linter for shops' own knowledge; by default in a process of its own */
  overlayCheck?: OverlayCheck
  /** pages made on the fly; given the server, for its own sockets */
  devPages?: (http: Server) => Promise<RequestHandler>
}

export interface Running {
  port: number
  /** the first is for this computer */
  urls: string[]
  /** at first start only: it can't be shown again */
  signIn?: string
  /** the dealer's, likewise */
  deskSignIn?: string
  /** Reads the knowledge again. Bad knowledge never replaces good: its problems come back and nothing changes. */
  reload(): Promise<{ problems: Problem[]; changed: boolean }>
  /** Finishes what was taken, ends the sockets with 1001, folds the log into the database. */
  stop(): Promise<void>
}

/** The knowledge has problems at start, when there is none to go on with. */
export class BadKnowledge extends Error {
  override name = 'BadKnowledge'
  readonly problems: Problem[]
  constructor(problems: Problem[]) {
    super(`The knowledge has ${problems.length} problem${problems.length === 1 ? '' : 's'}`)
    this.problems = problems
  }
}

/**
 * Starts everything, in the order in which it can fail.
 *
 * @throws BadKnowledge, ConfigError (port in use, folder not writable), NewerSchema
 */
export async function startServer(parts: StartParts): Promise<Running> {
  const { config, outside, log } = parts
  const loaded = await parts.load()
  if (!loaded.conversation) throw new BadKnowledge(loaded.problems)
  const shelf = new Shelf(loaded.conversation)

  const store = parts.store ?? (await openStore(config, outside.now()))
  try {
    if (!(await store.shop(DEMO_SHOP.id))) await store.putShop(DEMO_SHOP)
    const service = new CaseService({ store, shelf, outside, log })
    const origins = new Origins(store, config.origins)
    const limitSettings = parts.limits ?? LIMITS
    const limits = new Limits(limitSettings)

    const http = createServer()
    const overlays = new Overlays({
      store,
      shelf,
      load: parts.load,
      check: parts.overlayCheck ?? checkApart,
      outside,
      log,
    })
    await overlays.start()
    const routes = [
      ...peopleRoutes({ store, outside, limits }),
      ...settingsRoutes({ store, shelf, outside }),
      ...caseRoutes({ store, shelf, outside, service }),
      ...photoRoutes({ store, service }),
      ...overlayRoutes({ store, overlays }),
    ]
    routes.push(...descriptionRoutes(routes))
    const devPages = await parts.devPages?.(http)
    http.on(
      'request',
      makeApp({
        routes,
        shop: (id) => store.shop(id),
        service,
        origins,
        limits,
        limitSettings,
        log,
        pages: parts.pages ?? config.pagesDir ?? BUILT_PAGES,
        frameAncestors: config.origins,
        health: async () => {
          await store.shops()
          return { knowledge: shelf.current.hash, store: 'ok' }
        },
        devPages,
      }),
    )
    const sockets = serveSockets(http, { service, origins, limits, log, ownsUpgrades: !devPages })
    await listen(http, config)
    // After it answers, so that a start is not slower; before the first words, so that they need not wait.
    // One after another, so that whoever comes in between is not kept waiting for both.
    for (const [i, language] of ['en', ...(shelf.current.languages ?? [])].entries())
      setTimeout(() => shelf.current.warm?.(language), 50 + 1_000 * i).unref()
    const address = http.address()
    const port = typeof address === 'object' && address ? address.port : config.port
    const urls = addresses(config.host, port)

    const firstLink = async (role: LinkRole) => {
      if (await store.hasPasses(DEMO_SHOP.id, role)) return undefined
      const pass = await newLinkPass(store, outside, { shop: DEMO_SHOP.id, role })
      return signInLink(urls[0]!, pass, DEMO_SHOP.id, role)
    }
    const signIn = await firstLink('technician')
    const deskSignIn = await firstLink('dealer')
    const stopErasing = keepErasing({ store, outside, log })
    log.info({ port, knowledge: shelf.current.hash }, 'ready')

    let stopped: Promise<void> | undefined
    return {
      port,
      urls,
      signIn,
      deskSignIn,
      async reload() {
        const again = await parts.load()
        if (!again.conversation) {
          log.warn({ problems: again.problems.length }, 'the knowledge has problems; going on with what was good')
          return { problems: again.problems, changed: false }
        }
        const changed = shelf.put(again.conversation)
        if (changed) await overlays.again()
        if (changed) log.info({ knowledge: shelf.current.hash }, 'new cases use the new knowledge')
        return { problems: [], changed }
      },
      stop() {
        stopped ??= (async () => {
          const closed = new Promise<void>((resolve) => http.close(() => resolve()))
          await service.stop()
          await sockets.close()
          http.closeAllConnections()
          await closed
          await stopErasing()
          overlays.stop()
          await store.close()
          log.info('stopped')
        })()
        return stopped
      },
    }
  } catch (error) {
    await store.close()
    throw error
  }
}

function listen(http: Server, { host, port }: Config): Promise<void> {
  return new Promise((resolve, reject) => {
    http.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        reject(new ConfigError(`PORT=${port} is in use by another program. Set PORT to a free one, or to 0.`))
      else if (error.code === 'EACCES')
        reject(new ConfigError(`PORT=${port} may not be used. Set PORT to one above 1023.`))
      else if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND')
        reject(new ConfigError(`HOST=${host} is no address of this computer. Set HOST to 127.0.0.1 or 0.0.0.0.`))
      else reject(error)
    })
    http.listen(port, host, () => resolve())
  })
}
