import { createStore, del, get, set, values } from 'idb-keyval'
import type { OpenMessage, Role, StepMessage, StoredEvent } from '../../rules/protocol/index.ts'
import type { Handed } from './host.ts'

/** A case that began in this browser. */
export interface KeptCase {
  id: string
  /** address of the socket of the server that it is for */
  server: string
  shop: string
  code: string
  /** who opened it, when, and with what; the pass is not kept */
  by: Role
  at: string
  open: Omit<OpenMessage, 'pass'>
  events: StoredEvent[]
  words: Record<string, string>
  /** what was sent and taken, in order: all that is handed up */
  log: { by: Role; at: string; message: StepMessage }[]
  /** how many of those are on the server already, and where */
  sent: number
  handed?: Handed
  /** it lives on the server now; only where it went is kept */
  gone?: true
  changedAt: string
}

export interface CaseStore {
  get(id: string): Promise<KeptCase | undefined>
  put(kept: KeptCase): Promise<void>
  all(): Promise<KeptCase[]>
  remove(id: string): Promise<void>
}

/** IndexedDB, or memory where the browser refuses it: a sandboxed frame, a private window. */
export async function openCaseStore(): Promise<CaseStore> {
  try {
    const db = createStore('benchlamp', 'cases')
    await values(db)
    return {
      get: (id) => get<KeptCase>(id, db),
      put: (kept) => set(kept.id, kept, db),
      all: () => values<KeptCase>(db),
      remove: (id) => del(id, db),
    }
  } catch {
    const memory = new Map<string, KeptCase>()
    return {
      get: async (id) => structuredClone(memory.get(id)),
      put: async (kept) => void memory.set(kept.id, structuredClone(kept)),
      all: async () => structuredClone([...memory.values()]),
      remove: async (id) => void memory.delete(id),
    }
  }
}
