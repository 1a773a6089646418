import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { Logger } from 'pino'
import type { SourceFile } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'
import type { ServerOutside } from '../outside.ts'
import type { Overlay, Store } from '../store/store.ts'
import type { Loader } from './loader.ts'
import type { Shelf } from './shelf.ts'

/** Where a shop may add or replace files. Cautions and the rules that stop people are not a shop's to change. */
export const OVERLAY_FOLDERS = ['causes', 'checks', 'observables', 'remedies', 'root-causes', 'inseparable'] as const

/** Everything that the linter has against a knowledge with these files in it, beside what it has against ours alone. */
export type OverlayCheck = (files: readonly SourceFile[], signal?: AbortSignal) => Promise<Problem[]>

const CHECKER = fileURLToPath(new URL('check-overlay.ts', import.meta.url))

/** The linter takes a minute of one core: in a process of its own, so that conversations go on meanwhile. */
export const checkApart: OverlayCheck = (files, signal) =>
  new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['--import', 'tsx', CHECKER], {
      stdio: ['pipe', 'pipe', 'ignore'],
      ...(signal ? { signal } : {}),
    })
    let out = ''
    child.stdout.on('data', (data) => (out += data))
    child.stdin.on('error', () => undefined)
    child.once('error', reject)
    child.once('close', (code) => {
      if (code === 0) resolve(JSON.parse(out) as Problem[])
      else reject(new Error(`The check ended with ${code}`))
    })
    child.stdin.end(JSON.stringify(files))
  })

export interface OverlayParts {
  store: Store
  shelf: Shelf
  load: Loader
  check: OverlayCheck
  outside: ServerOutside
  log: Logger
}

/**
 * A shop's own causes and checks, laid over the common knowledge: staged, checked by the linter, then put in use or not,
 * and taken back again. What does not pass never reaches a conversation.
 */
export class Overlays {
  readonly #parts: OverlayParts
  /** why a shop's live overlay can not be used with today's knowledge */
  readonly #failing = new Map<string, Problem[]>()
  readonly #stopping = new AbortController()
  readonly #unlisten: () => void

  constructor(parts: OverlayParts) {
    this.#parts = parts
    this.#unlisten = parts.store.onChange((key) => {
      // Another server changed a shop's overlay.
      if (key?.case === '') void this.use(key.shop).catch(() => undefined)
    })
  }

  /** Puts every shop's live overlay in use; checks again what was being checked when the server ended. */
  async start(): Promise<void> {
    for (const { id } of await this.#parts.store.shops()) {
      await this.use(id)
      const staged = await this.#parts.store.overlay(id, 'staged')
      if (staged?.status === 'checking') this.#checkLater(id, staged)
    }
  }

  /** Loads what is live for a shop; the common knowledge where nothing is, or where it fails. */
  async use(shop: string): Promise<void> {
    const { store, shelf, load, log } = this.#parts
    const live = await store.overlay(shop, 'live')
    if (!live) {
      shelf.putFor(shop, undefined)
      this.#failing.delete(shop)
      return
    }
    const loaded = await load(live.files)
    if (loaded.conversation) {
      shelf.putFor(shop, loaded.conversation)
      this.#failing.delete(shop)
      log.info(
        { shop, overlay: live.version, knowledge: loaded.conversation.hash },
        "the shop's own knowledge is in use",
      )
      return
    }
    shelf.putFor(shop, undefined)
    this.#failing.set(shop, loaded.problems)
    log.warn(
      { shop, overlay: live.version, problems: loaded.problems.length },
      "the shop's own knowledge can't be used",
    )
  }

  failing(shop: string): Problem[] {
    return this.#failing.get(shop) ?? []
  }

  /** Keeps files aside and checks them; the result is read with `store.overlay`. */
  async stage(shop: string, who: string, files: readonly SourceFile[]): Promise<Overlay> {
    const { store, outside } = this.#parts
    const staged = await store.stageOverlay(shop, { at: outside.now(), who, files: [...files] })
    this.#checkLater(shop, staged)
    return staged
  }

  #checkLater(shop: string, staged: Overlay): void {
    const { store, check, log } = this.#parts
    void (async () => {
      let problems: Problem[]
      try {
        problems = await check(staged.files, this.#stopping.signal)
      } catch (error) {
        // At the next start it is checked again.
        if (this.#stopping.signal.aborted) return
        log.error({ shop, err: error instanceof Error ? error.name : typeof error }, 'an overlay could not be checked')
        problems = [
          { file: '', path: '$', what: 'The check itself did not come to an end', mend: 'Send the same files again' },
        ]
      }
      await store.overlayChecked(shop, staged, problems)
    })().catch(() => undefined)
  }

  /** @returns false where the staged one has not passed */
  async goLive(shop: string): Promise<boolean> {
    const { store, outside } = this.#parts
    if (!(await store.overlayLive(shop, outside.now()))) return false
    await this.use(shop)
    return true
  }

  /** Drops what is staged; else takes back what is live. @returns false where there is neither */
  async undo(shop: string): Promise<boolean> {
    if (!(await this.#parts.store.undoOverlay(shop))) return false
    await this.use(shop)
    return true
  }

  /** The common knowledge has changed: every overlay is laid over the new one. */
  async again(): Promise<void> {
    for (const { id } of await this.#parts.store.shops()) await this.use(id)
  }

  stop(): void {
    this.#unlisten()
    this.#stopping.abort()
  }
}

/** The common files with a shop's own among them; one of the same path is replaced. */
export function laidOver(base: readonly SourceFile[], own: readonly SourceFile[]): SourceFile[] {
  const replaced = new Set(own.map((f) => f.path))
  return [...base.filter((f) => !replaced.has(f.path)), ...own].sort((a, b) => (a.path < b.path ? -1 : 1))
}
