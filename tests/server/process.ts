import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface ServerProcess {
  child: ChildProcess
  port: number
  out: () => string
  err: () => string
  /** the technician's pass, where one was printed */
  pass?: string
  /** @returns exit code or signal */
  exited: Promise<number | string>
}

/** A server as a process of its own, which is the very process that a signal reaches. */
export async function spawnServer(
  entry: string,
  env: Record<string, string>,
  args: string[] = [],
): Promise<ServerProcess> {
  const spawned = spawnNode([entry, ...args], { PORT: '0', LOG_LEVEL: 'info', ...env })
  await new Promise<void>((resolve, reject) => {
    const look = () => {
      if (/npm run sign-in|#pass=/.test(spawned.out())) resolve()
    }
    spawned.child.stdout!.on('data', look)
    void spawned.exited.then((code) => reject(new Error(`ended with ${code}: ${spawned.out()}${spawned.err()}`)))
  })
  const port = Number(/http:\/\/[^:]+:(\d+)\//.exec(spawned.out())?.[1])
  const pass = /#pass=([\w-]+)/.exec(spawned.out())?.[1]
  return { ...spawned, port, ...(pass === undefined ? {} : { pass }) }
}

/** A TypeScript file of ours, or of the tests, in a Node of its own. */
export function spawnNode(args: string[], env: Record<string, string> = {}, input?: string) {
  const child = spawn(process.execPath, ['--import', 'tsx', ...args], {
    cwd: ROOT,
    env: { PATH: process.env.PATH, HOME: process.env.HOME, ...env },
    stdio: ['pipe', 'pipe', 'pipe'],
  })
  let out = ''
  let err = ''
  child.stdout.on('data', (data) => (out += data))
  child.stderr.on('data', (data) => (err += data))
  child.stdin.on('error', () => undefined)
  if (input !== undefined) child.stdin.end(input)
  const exited = new Promise<number | string>((resolve) =>
    child.on('close', (code, signal) => resolve(code ?? signal!)),
  )
  return { child, out: () => out, err: () => err, exited }
}
