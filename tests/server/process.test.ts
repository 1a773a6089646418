import { writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import Database from 'libsql'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { removeFolders, temporaryFolder } from './harness.ts'
import { type ServerProcess, spawnNode, spawnServer } from './process.ts'
import { one, Screen } from './screen.ts'

const FAKE = 'tests/server/fake-main.ts'
const processes: { child: ServerProcess['child']; exited: Promise<unknown> }[] = []
async function serve(env: Record<string, string>) {
  const server = await spawnServer(FAKE, env)
  processes.push(server)
  return server
}
afterEach(async () => {
  for (const { child, exited } of processes.splice(0)) {
    child.kill('SIGKILL')
    await exited
  }
})
afterAll(removeFolders)

describe('the server process', () => {
  it('killed in the middle of a conversation, loses nothing that it replied to', async () => {
    const DATA_DIR = temporaryFolder()
    const first = await serve({ DATA_DIR })
    const customer = await Screen.connect(first.port)
    const opened = await customer.open()
    const technician = await Screen.connect(first.port)
    await technician.open({ pass: first.pass, code: opened.code })
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] })
    // The kill falls among messages under way: what was replied to must be there, what was not may be.
    for (let i = 0; i < 200; i++) technician.send({ type: 'tell', text: `note ${i}` })
    await technician.until((m) => m.type === 'noted' && m.notes.length >= 20, 'twenty notes')
    first.child.kill('SIGKILL')
    expect(await first.exited).toBe('SIGKILL')
    await technician.untilClosed()
    const replied = technician.received.flatMap((m) => (m.type === 'noted' ? [m.notes.length] : []))
    const least = Math.max(...replied)

    const second = await serve({ DATA_DIR })
    expect(second.pass).toBeUndefined()
    const again = await Screen.connect(second.port)
    const view = await again.ask({ type: 'open', pass: opened.pass, since: 1 })
    expect(one(view, 'opened')).toMatchObject({ case: opened.case, code: opened.code })
    expect(one(view, 'opened').missed?.map((m) => m.seq)).toEqual(
      Array.from({ length: one(view, 'opened').seq - 1 }, (_, i) => i + 2),
    )
    const { notes, trail } = one(view, 'noted')
    expect(trail).toMatchObject([{ check: 'check-1', answer: 'no' }])
    expect(notes.length).toBeGreaterThanOrEqual(least)
    expect(notes.map((n) => n.text)).toEqual(notes.map((_, i) => `note ${i}`))
    const next = await again.ask({ type: 'answer', answers: [{ check: 'check-2' }] })
    expect(one(next, 'noted').trail).toHaveLength(2)
    const back = await Screen.connect(second.port)
    expect((await back.open({ pass: first.pass, code: opened.code })).role).toBe('technician')
    again.close()
    back.close()
  })

  it.each(['SIGTERM', 'SIGINT'] as const)('ends cleanly on %s', async (signal) => {
    const DATA_DIR = temporaryFolder()
    const server = await serve({ DATA_DIR })
    const customer = await Screen.connect(server.port)
    await customer.open()
    await customer.ask({ type: 'tell', text: 'the brake squeals near the jetty' })
    server.child.kill(signal)
    expect(await customer.untilClosed()).toBe(1001)
    expect(await server.exited).toBe(0)
    const lines = server
      .err()
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(lines.map((l) => l.msg)).toEqual(['ready', 'case opened', 'stopping', 'stopped'])
    // The log is folded into the one file.
    const db = new Database(join(DATA_DIR, 'benchlamp.db'))
    expect(db.prepare('select count(*) from events').raw().get()).toEqual([2])
    db.close()
  })

  it('logs no words, no names, no passes', async () => {
    const server = await serve({ DATA_DIR: temporaryFolder(), LOG_LEVEL: 'trace' })
    const customer = await Screen.connect(server.port)
    const opened = await customer.open({ tag: 'Robin 12' })
    await customer.ask({ type: 'tell', text: 'the brake squeals near the jetty' })
    await customer.ask({ type: 'tell', text: 'throw' })
    customer.raw('the jetty again')
    await customer.until((m) => m.type === 'error' && m.code === 'malformed', 'an error')
    customer.close()
    server.child.kill('SIGTERM')
    await server.exited
    expect(server.err()).toContain('a message could not be taken')
    for (const private_ of ['jetty', 'throw"', 'Robin', opened.pass!, server.pass!, '127.0.0.1'])
      expect(server.err()).not.toContain(private_)
  })

  it('goes on with newer knowledge after a restart, and the record says from where', async () => {
    const DATA_DIR = temporaryFolder()
    const first = await serve({ DATA_DIR, FAKE_HASH: 'old' })
    const customer = await Screen.connect(first.port)
    const opened = await customer.open()
    await customer.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    first.child.kill('SIGTERM')
    await first.exited
    const second = await serve({ DATA_DIR, FAKE_HASH: 'new' })
    const again = await Screen.connect(second.port)
    await again.open({ pass: opened.pass })
    await again.ask({ type: 'answer', answers: [{ check: 'check-2' }] })
    second.child.kill('SIGTERM')
    await second.exited
    const db = new Database(join(DATA_DIR, 'benchlamp.db'))
    expect(db.prepare('select from_seq, hash from case_knowledge order by from_seq').raw().all()).toEqual([
      [1, 'old'],
      [3, 'new'],
    ])
    db.close()
    expect(second.err()).toContain('case goes on with newer knowledge')
  })

  it('refuses a bad setting, a port in use, a folder that is none, a database from the future', async () => {
    const fails = async (env: Record<string, string>) => {
      const run = spawnNode([FAKE], { PORT: '0', DATA_DIR: temporaryFolder(), LOG_LEVEL: 'silent', ...env })
      processes.push(run)
      expect(await run.exited).toBe(1)
      expect(run.err()).not.toMatch(/\n {4}at /)
      return run.err()
    }
    expect(await fails({ PORT: 'eighty' })).toMatch(/PORT=eighty can't be used/)
    const taken = createServer().listen(0, '127.0.0.1')
    await new Promise((resolve) => taken.once('listening', resolve))
    const port = (taken.address() as { port: number }).port
    expect(await fails({ PORT: String(port) })).toMatch(/in use by another program\. Set PORT/)
    taken.close()
    const file = join(temporaryFolder(), 'file')
    writeFileSync(file, '')
    expect(await fails({ DATA_DIR: file })).toMatch(/Set DATA_DIR to a folder/)
    const damaged = temporaryFolder()
    writeFileSync(join(damaged, 'benchlamp.db'), 'this is not a database'.repeat(100))
    expect(await fails({ DATA_DIR: damaged })).toMatch(/is damaged.*Restore a back-up/)
    const future = temporaryFolder()
    const db = new Database(join(future, 'benchlamp.db'))
    db.exec('create table schema_migrations (version integer primary key, name text, at text)')
    db.exec("insert into schema_migrations values (999, 'later', '')")
    db.close()
    expect(await fails({ DATA_DIR: future })).toMatch(/schema 999.*newer version/)
  })

  it('npm run sign-in makes another link while the server runs', async () => {
    const DATA_DIR = temporaryFolder()
    const server = await serve({ DATA_DIR })
    const run = spawnNode(['server/commands/sign-in.ts', '--name', 'Sam'], { DATA_DIR, PORT: String(server.port) })
    expect(await run.exited).toBe(0)
    const pass = /^http:\/\/127\.0\.0\.1:\d+\/bench#pass=([\w-]+)\n$/.exec(run.out())?.[1]
    expect(pass).toBeDefined()
    const technician = await Screen.connect(server.port)
    expect((await technician.open({ pass })).role).toBe('technician')
    technician.close()
    const bad = spawnNode(['server/commands/sign-in.ts', '--shop', 'nowhere'], { DATA_DIR })
    expect(await bad.exited).toBe(1)
    expect(bad.err()).toContain('There is no shop "nowhere"')
    const flag = spawnNode(['server/commands/sign-in.ts', '--nmae', 'Sam'], { DATA_DIR })
    expect(await flag.exited).toBe(2)
    expect(flag.err()).toContain('--name NAME')
  })
})
