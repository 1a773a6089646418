import { resolve } from 'node:path'
import { build } from 'vite'

const client = resolve(import.meta.dirname, '../../client')

/** The pages as `npm start` builds them, in a folder of their own. @returns the folder */
export async function buildClient(name: string): Promise<string> {
  const outDir = resolve(client, `.test-${name}/dist`)
  // The test runner's own NODE_ENV would take the development build of Lit, which is larger and warns.
  const before = process.env['NODE_ENV']
  process.env['NODE_ENV'] = 'production'
  try {
    await build({
      configFile: resolve(client, 'vite.config.ts'),
      logLevel: 'error',
      build: { outDir, emptyOutDir: true },
    })
  } finally {
    process.env['NODE_ENV'] = before
  }
  return outDir
}
