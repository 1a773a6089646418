import { resolve } from 'node:path'
import { build, type InlineConfig } from 'vite'

const client = resolve(import.meta.dirname, '../../client')

/**
 * What `npm start` builds and the server hands out. For a run of the tests it is built once, before any of them, by
 * build-once.ts: a test that built for itself would take away the files that another one's page is just fetching.
 */
export const BUILT = resolve(client, 'dist')

/** A build of a command's own. @returns its folder */
export async function buildClient(name: string): Promise<string> {
  const outDir = resolve(client, `.test-${name}/dist`)
  await buildAsShipped({ build: { outDir, emptyOutDir: true } })
  return outDir
}

/** The test runner's own NODE_ENV would take the development build of Lit, which is larger and warns. */
export async function buildAsShipped(config: InlineConfig): Promise<void> {
  const before = process.env['NODE_ENV']
  process.env['NODE_ENV'] = 'production'
  try {
    await build({ configFile: resolve(client, 'vite.config.ts'), logLevel: 'error', ...config })
  } finally {
    process.env['NODE_ENV'] = before
  }
}
