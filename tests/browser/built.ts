import { resolve } from 'node:path'
import { build } from 'vite'

const client = resolve(import.meta.dirname, '../../client')
/** One folder a test file, so that files that run side by side do not build over each other. */
export async function buildClient(name: string): Promise<string> {
  const outDir = resolve(client, `.test-${name}/dist`)
  await build({
    configFile: resolve(client, 'vite.config.ts'),
    logLevel: 'error',
    build: { outDir, emptyOutDir: true },
  })
  return outDir
}

/** The folder that the server hands out, as `npm start` builds it. */
export async function buildServed(): Promise<void> {
  await build({ configFile: resolve(client, 'vite.config.ts'), logLevel: 'error' })
}
