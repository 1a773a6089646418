import type { Pass } from '../store/store.ts'

/** Stands for somebody in the record: an id, never a name. Customers have none. */
export const whoIs = (pass: Pass): string => pass.person ?? `pass-${pass.id.slice(0, 8)}`
