import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { formatProblem } from '../../rules/schema/problem.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { KNOWLEDGE_FOLDER } from '../../server/knowledge/load.ts'
import { Shelf } from '../../server/knowledge/shelf.ts'
import { watchKnowledge } from '../../server/knowledge/watch.ts'
import { BadKnowledge } from '../../server/start.ts'
import { fakeConversation } from './fake-conversation.ts'
import { type Harness, removeFolders, startHarness, temporaryFolder } from './harness.ts'
import { one, Screen } from './screen.ts'

/** A copy of the real knowledge, to be spoilt. */
function copy(): string {
  const folder = join(temporaryFolder(), 'knowledge')
  cpSync(KNOWLEDGE_FOLDER, folder, { recursive: true })
  return folder
}
const settings = (folder: string) => join(folder, 'settings.json')
function edit(folder: string, change: (settings: Record<string, unknown>) => void) {
  const json = JSON.parse(readFileSync(settings(folder), 'utf8'))
  change(json)
  writeFileSync(settings(folder), JSON.stringify(json))
}

const running: Harness[] = []
afterEach(async () => {
  for (const server of running.splice(0)) await server.stop()
})
afterAll(removeFolders)

describe('knowledge in a running server', () => {
  it('is replaced by good knowledge for new cases; a running case keeps its own', async () => {
    const folder = copy()
    const server = await startHarness({ load: () => loadConversation(folder) })
    running.push(server)
    const screen = await Screen.connect(server.port)
    const before = await screen.open()
    edit(folder, (s) => (s.ratePerHour = Number(s.ratePerHour) + 1))
    expect(await server.reload()).toEqual({ problems: [], changed: true })
    const after = await (await Screen.connect(server.port)).open()
    expect(after.knowledge).not.toBe(before.knowledge)
    const again = await screen.ask({ type: 'open', pass: before.pass })
    expect(one(again, 'opened').knowledge).toBe(before.knowledge)
    expect(await server.reload()).toEqual({ problems: [], changed: false })
  })

  it.each<[string, (folder: string) => void, RegExp]>([
    [
      'JSON that breaks off',
      (f) => writeFileSync(settings(f), '{"ratePerHour": 9'),
      /^settings\.json \$: not valid JSON/,
    ],
    ['a value out of range', (f) => edit(f, (s) => (s.ratePerHour = -1)), /^settings\.json \$\.ratePerHour: /],
    ['a file that is gone', (f) => rmSync(settings(f)), /^settings\.json \$: the file is missing\. Put it back/],
    [
      'a file in a folder that there is not',
      (f) => {
        mkdirSync(join(f, 'ideas'))
        writeFileSync(join(f, 'ideas/a.json'), '{}')
      },
      /^ideas\/a\.json \$: there is no folder "ideas"/,
    ],
  ])('is not replaced by bad: %s', async (_name, spoil, says) => {
    const folder = copy()
    const server = await startHarness({ load: () => loadConversation(folder) })
    running.push(server)
    const screen = await Screen.connect(server.port)
    const before = await screen.open()
    spoil(folder)
    const { problems, changed } = await server.reload()
    expect(changed).toBe(false)
    expect(formatProblem(problems[0]!)).toMatch(says)
    const after = await (await Screen.connect(server.port)).open()
    expect(after.knowledge).toBe(before.knowledge)
  })

  it('does not start at all with bad knowledge and none to go on with', async () => {
    const folder = copy()
    writeFileSync(settings(folder), '')
    await expect(startHarness({ load: () => loadConversation(folder) })).rejects.toThrow(BadKnowledge)
  })

  it('is read again once after a burst of changes', async () => {
    const folder = copy()
    let told = () => {}
    const first = new Promise<void>((resolve) => (told = resolve))
    let times = 0
    const watcher = watchKnowledge(async () => {
      times++
      told()
    }, folder)
    for (let i = 0; i < 5; i++) edit(folder, (s) => (s.ratePerHour = 50 + i))
    await first
    watcher.close()
    expect(times).toBe(1)
  })
})

describe('the shelf', () => {
  it('keeps what running cases began with, but not for ever', () => {
    const shelf = new Shelf(fakeConversation({ hash: 'k0' }))
    for (let i = 1; i <= 8; i++) expect(shelf.put(fakeConversation({ hash: `k${i}` }))).toBe(true)
    expect(shelf.put(fakeConversation({ hash: 'k8' }))).toBe(false)
    expect(shelf.for('k0').hash).toBe('k0')
    shelf.put(fakeConversation({ hash: 'k9' }))
    expect(shelf.for('k0').hash).toBe('k9')
    expect(shelf.for('k1').hash).toBe('k1')
    expect(shelf.current.hash).toBe('k9')
  })
})
