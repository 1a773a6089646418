import type { Keep } from './queue.ts'

/** `localStorage`, or memory where the browser refuses it (a sandboxed frame, a private window, a full disk). */
export function browserKeep(): Keep {
  const memory = new Map<string, string>()
  const tried = <T>(storage: () => T, instead: T): T => {
    try {
      return storage()
    } catch {
      return instead
    }
  }
  return {
    get: (key) => memory.get(key) ?? tried(() => localStorage.getItem(key), null),
    set(key, value) {
      const stored = tried(() => {
        localStorage.setItem(key, value)
        return true
      }, false)
      // Only what could not be stored is held here, or another tab's newer word would be shadowed.
      if (stored) memory.delete(key)
      else memory.set(key, value)
    },
    remove(key) {
      memory.delete(key)
      tried(() => localStorage.removeItem(key), undefined)
    },
  }
}
