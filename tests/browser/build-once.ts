import { buildAsShipped } from './built.ts'

/** Before the first of the browser tests; no other test needs the pages. */
export default async function setup(): Promise<void> {
  await buildAsShipped({})
}
