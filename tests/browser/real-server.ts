import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { inject } from 'vitest'

const root = resolve(import.meta.dirname, '../..')

/** The real server as a process of its own, with a folder of its own, so that it can be killed and started again. */
export class RealServer {
  #process?: ChildProcess
  #folder = ''
  #port = 0
  /** what the first start printed for technicians */
  pass = ''
  /** the same for the dealer's desk */
  deskPass = ''

  /** @param settings beside its own folder and port */
  constructor(private readonly settings: Readonly<Record<string, string>> = {}) {}

  get url(): string {
    return `http://127.0.0.1:${this.#port}`
  }

  async start(): Promise<void> {
    this.#folder ||= await mkdtemp(join(tmpdir(), 'benchlamp-'))
    this.#port ||= await freePort()
    const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
      cwd: root,
      env: {
        ...process.env,
        PORT: String(this.#port),
        HOST: '127.0.0.1',
        DATA_DIR: this.#folder,
        PAGES_DIR: inject('built'),
        LOG_LEVEL: 'error',
        ...this.settings,
      },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    this.#process = child
    let said = ''
    await new Promise<void>((done, failed) => {
      const heard = (data: Buffer) => {
        said += data
        this.pass ||= /bench#pass=([\w-]+)\s/.exec(said)?.[1] ?? ''
        this.deskPass ||= /desk#pass=([\w-]+)\s/.exec(said)?.[1] ?? ''
        if (/desk#pass=[\w-]+\s|npm run sign-in/.test(said)) done()
      }
      child.stdout.on('data', heard)
      child.stderr.on('data', heard)
      child.once('exit', (code) => failed(new Error(`The server ended with ${code}:\n${said}`)))
    })
    child.removeAllListeners('exit')
  }

  /** As when the power goes: no time to finish anything. */
  async kill(): Promise<void> {
    const child = this.#process
    this.#process = undefined
    if (!child || child.exitCode !== null) return
    const gone = new Promise((done) => child.once('exit', done))
    child.kill('SIGKILL')
    await gone
  }

  async remove(): Promise<void> {
    await this.kill()
    if (this.#folder) await rm(this.#folder, { recursive: true, force: true })
  }
}

function freePort(): Promise<number> {
  return new Promise((done, failed) => {
    const probe = createServer()
    probe.once('error', failed)
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address()
      probe.close(() => done(typeof address === 'object' && address ? address.port : 0))
    })
  })
}
