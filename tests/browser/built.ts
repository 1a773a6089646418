import { resolve } from 'node:path'
import { build, type InlineConfig } from 'vite'

const client = resolve(import.meta.dirname, '../../client')

/** One folder a test file, so that files that run side by side do not build over each other. @returns the folder */
export async function buildClient(name: string): Promise<string> {
  const outDir = resolve(client, `.test-${name}/dist`)
  await asShipped({ build: { outDir, emptyOutDir: true } })
  return outDir
}

/** The folder that the server hands out, as `npm start` builds it. */
export async function buildServed(): Promise<void> {
  await asShipped({})
}

/** The test runner's own NODE_ENV would take the development build of Lit, which is larger and warns. */
async function asShipped(config: InlineConfig): Promise<void> {
  const before = process.env['NODE_ENV']
  process.env['NODE_ENV'] = 'production'
  try {
    await build({ configFile: resolve(client, 'vite.config.ts'), logLevel: 'error', ...config })
  } finally {
    process.env['NODE_ENV'] = before
  }
}
