import { rm } from 'node:fs/promises'
import type { TestProject } from 'vitest/node'
import { buildClient } from './built.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** folder of the pages, built for this run */
    built: string
  }
}

/**
 * Before the first of the browser tests; no other test needs the pages. Once, and in a folder of this run's own: a build
 * takes away the files that another page is just fetching.
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const name = `run-${process.pid}`
  const built = await buildClient(name)
  project.provide('built', built)
  return () => rm(`${built}/..`, { recursive: true, force: true })
}
