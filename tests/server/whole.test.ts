import { afterAll, afterEach, expect, it } from 'vitest'
import { removeFolders, temporaryFolder } from './harness.ts'
import { type ServerProcess, spawnServer } from './process.ts'
import { one, Screen } from './screen.ts'

const processes: ServerProcess[] = []
async function serve(DATA_DIR: string) {
  const server = await spawnServer('server/main.ts', { DATA_DIR })
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

it('the real server with the real knowledge: from first words over a kill to the technician', async () => {
  const DATA_DIR = temporaryFolder()
  const first = await serve(DATA_DIR)
  const customer = await Screen.connect(first.port)
  const opened = await customer.open({ tag: '12', facts: { drive: 'resistor-contactor', packVolts: 36 } })
  expect(opened.complaints.map((c) => c.id)).toContain('jerks-on-acceleration')
  const [understood] = await customer.ask({ type: 'say', text: 'it jerks when I push the pedal' })
  expect(understood).toMatchObject({ type: 'understood', sure: true, complaints: [{ id: 'jerks-on-acceleration' }] })
  const before = await customer.ask({ type: 'tell', text: 'since it was parked by the jetty' })
  first.child.kill('SIGKILL')
  await first.exited

  const second = await serve(DATA_DIR)
  const again = await Screen.connect(second.port)
  const after = await again.ask({ type: 'open', pass: opened.pass })
  for (const type of ['standing', 'ask', 'finding', 'caution'] as const) {
    expect({ ...one(after, type), re: 0 }).toEqual({ ...one(before, type), re: 0 })
  }
  const technician = await Screen.connect(second.port)
  const handed = await technician.ask({ type: 'open', pass: first.pass, code: opened.code })
  expect(one(handed, 'noted').trail).toMatchObject([{ check: 'complaint.jerks-on-acceleration', by: 'customer' }])
  expect(one(handed, 'noted').notes).toMatchObject([{ text: 'since it was parked by the jetty', by: 'customer' }])
  expect(one(handed, 'standing').rows.length + one(handed, 'standing').others.count).toBeGreaterThan(1)
  again.close()
  technician.close()
})
