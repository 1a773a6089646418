import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Conversation } from '../../rules/conversation/types.ts'
import { readConfig } from '../../server/config.ts'
import type { Loader } from '../../server/knowledge/loader.ts'
import { makeLog } from '../../server/log.ts'
import { realOutside } from '../../server/outside.ts'
import { type Running, type StartParts, startServer } from '../../server/start.ts'
import { fakeConversation } from './fake-conversation.ts'

export interface Harness extends Running {
  dataDir: string
  /** the technician's pass of the first start */
  pass: string
  /** the dealer's, likewise */
  dealerPass: string
  base: string
}

/** A whole server in this process, on a free port and a folder of its own. */
export async function startHarness(
  options: {
    conversation?: Conversation
    load?: Loader
    dataDir?: string
    env?: Record<string, string>
  } & Partial<StartParts> = {},
): Promise<Harness> {
  const { conversation, load, dataDir = temporaryFolder(), env, ...more } = options
  const running = await startServer({
    config: readConfig({ PORT: '0', DATA_DIR: dataDir, LOG_LEVEL: 'silent', ...env }),
    load: load ?? (async () => ({ conversation: conversation ?? fakeConversation(), problems: [] })),
    outside: realOutside,
    log: makeLog('silent'),
    ...more,
  })
  return {
    ...running,
    dataDir,
    base: `http://127.0.0.1:${running.port}`,
    pass: passIn(running.signIn),
    dealerPass: passIn(running.deskSignIn),
  }
}

const passIn = (link?: string) => (link ? new URLSearchParams(new URL(link).hash.slice(1)).get('pass')! : '')

const folders: string[] = []
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'benchlamp-test-'))
  folders.push(folder)
  return folder
}
export function removeFolders() {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
}
