import { type FSWatcher, watch } from 'node:fs'
import { KNOWLEDGE_FOLDER } from './load.ts'

/** An editor writes a file in several steps. */
const SETTLE_MS = 150

/** Calls `changed` once things have settled after a change below the folder; never while it still runs. */
export function watchKnowledge(changed: () => Promise<void>, folder = KNOWLEDGE_FOLDER): FSWatcher {
  let timer: NodeJS.Timeout | undefined
  let running: Promise<void> | undefined
  let again = false
  const run = () => {
    if (running) {
      again = true
      return
    }
    running = changed().finally(() => {
      running = undefined
      if (again) {
        again = false
        run()
      }
    })
  }
  return watch(folder, { recursive: true }, () => {
    clearTimeout(timer)
    timer = setTimeout(run, SETTLE_MS)
  })
}
