import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { transcript } from '../../rules/protocol/transcript.ts'
import { readTranscript, writeTranscript } from '../../server/replay/files.ts'
import { asExpectation, differences, replay } from '../../server/replay/run.ts'
import { fakeConversation } from './fake-conversation.ts'
import { removeFolders, temporaryFolder } from './harness.ts'
import { spawnNode } from './process.ts'

afterAll(removeFolders)

const story = transcript.parse({
  title: 'Two answers, one taken back',
  tag: '12',
  facts: { packVolts: 36 },
  steps: [
    {
      from: 'customer',
      send: { type: 'answer', answers: [{ check: 'check-1' }] },
      expect: { ask: 'check-2', standing: { top: 'part.bad', atLeast: 0.1 } },
    },
    {
      from: 'technician',
      send: { type: 'retract', check: 'check-1' },
      expect: { ask: 'check-1', standing: { top: 'part.bad', atLeast: 0 } },
    },
    { from: 'customer', send: { type: 'repaired', remedy: 'r' }, expect: { refused: 'not-your-role' } },
    { from: 'technician', send: { type: 'close' }, expect: { ask: null, status: 'closed' } },
  ],
})

describe('replaying a transcript', () => {
  it('finds no difference where there is none, and gives the same every time', async () => {
    const first = await replay(fakeConversation(), story)
    expect(first.steps.flatMap((s) => s.differences)).toEqual([])
    expect(await replay(fakeConversation(), story)).toEqual(first)
    expect(first.record.events.map((e) => [e.seq, e.type, e.by])).toEqual([
      [1, 'opened', 'customer'],
      [2, 'answered', 'customer'],
      [3, 'retracted', 'technician'],
      [4, 'closed', 'technician'],
    ])
  })

  it.each([
    [0, { ask: 'check-3' }, 'ask: expected check-3, got check-2'],
    [0, { ask: null }, 'ask: expected none, got check-2'],
    [
      0,
      { standing: { top: 'part.good', atLeast: 0 } },
      'standing, likeliest: expected part.good, got part.bad (0.100)',
    ],
    [0, { standing: { top: 'part.bad', atLeast: 0.2 } }, 'standing of part.bad: expected at least 0.2, got 0.100'],
    [0, { finding: 'part.bad' }, 'finding: expected part.bad, got nothing'],
    [0, { refused: 'bridged' }, 'refused: expected bridged, got nothing'],
    [0, { stop: true }, 'stop: expected true, got nothing'],
    [0, { cautions: ['pack-shorts'] }, 'cautions: expected ["pack-shorts"], got nothing'],
    [0, { understood: { sure: true } }, 'understood, sure: expected true, got nothing'],
    [0, { reminders: 1 }, 'reminders: expected 1, got 0'],
    [0, { status: 'closed' }, 'status: expected closed, got open'],
    [2, { refused: 'bridged' }, 'refused: expected bridged, got not-your-role'],
    // Not a word about a refusal: then there must be none.
    [2, {}, 'refused: expected nothing, got not-your-role'],
  ] as const)('says what differs at step %i: %j', async (at, expected, says) => {
    const changed = structuredClone(story)
    changed.steps[at]!.expect = expected as never
    const { steps } = await replay(fakeConversation(), changed)
    expect(steps[at]!.differences).toEqual([says])
  })

  it('what is recorded is what is then expected, and survives the file', async () => {
    const blank = structuredClone(story)
    for (const step of blank.steps) step.expect = {}
    const { steps } = await replay(fakeConversation(), blank)
    steps.forEach((s, i) => (blank.steps[i]!.expect = asExpectation(s.happened)))
    expect(blank.steps.map((s) => s.expect)).toEqual([
      { ask: 'check-2', standing: { top: 'part.bad', atLeast: 0.1 } },
      { ask: 'check-1', standing: { top: 'part.bad', atLeast: 0 } },
      { refused: 'not-your-role' },
      { ask: null, standing: { top: 'part.bad', atLeast: 0 }, status: 'closed' },
    ])
    const file = join(temporaryFolder(), 'a.json')
    writeFileSync(file, writeTranscript(blank))
    const read = readTranscript(file)
    expect('transcript' in read && read.transcript).toEqual(blank)
    expect(readFileSync(file, 'utf8').split('\n').length).toBeGreaterThan(15)
  })

  it('compares lists without their order', () => {
    expect(
      differences({ cautions: ['a', 'b'], finding: ['x', 'y'] }, { cautions: ['b', 'a'], finding: ['y', 'x'] }),
    ).toEqual([])
    const understood = { sure: false, options: ['a', 'b', 'c'] }
    expect(differences({ understood: { sure: false, options: ['c'] } }, { understood })).toEqual([])
    expect(differences({ understood: { sure: false, options: ['d'] } }, { understood })).toHaveLength(1)
  })
})

describe('npm run replay', () => {
  const run = async (...args: string[]) => {
    const spawned = spawnNode(['server/commands/replay.ts', ...args])
    const code = await spawned.exited
    return { code, out: spawned.out(), err: spawned.err() }
  }
  const write = (steps: object[]) => {
    const file = join(temporaryFolder(), 'story.json')
    writeFileSync(file, JSON.stringify({ title: 'A story', steps }))
    return file
  }
  const words = { from: 'customer', send: { type: 'say', text: 'it jerks when I push the pedal' } }

  it('prints what was said and passes where all is as expected', async () => {
    const file = write([{ ...words, remark: 'at the counter', expect: {} }])
    const { code, out } = await run(file)
    expect(out).toContain('=== A story (story.json)')
    expect(out).toContain('(at the counter)')
    expect(out).toContain('customer> it jerks when I push the pedal')
    expect(out).toMatch(/1 conversation, 1 steps: all as expected\n$/)
    expect(code).toBe(0)
  })

  it('fails where one differs, and says where', async () => {
    const { code, out } = await run('--quiet', write([{ ...words, expect: { ask: 'kick-the-tyre' } }]))
    expect(out).toMatch(/DIFFERS at step 1: ask: expected kick-the-tyre, got /)
    expect(out).toContain('1 step differs')
    expect(code).toBe(1)
  })

  it('fails at a file that is not right, and says where', async () => {
    const { code, out } = await run(write([{ from: 'robot', send: words.send, expect: {} }]))
    expect(out).toContain('story.json $.steps[0].from')
    expect(code).toBe(1)
    expect((await run(join(temporaryFolder(), 'none.json'))).code).toBe(1)
    expect((await run('--nonsense')).code).toBe(2)
  })

  it('records', async () => {
    const file = write([{ ...words, expect: {} }])
    expect((await run('--record', '--quiet', file)).code).toBe(0)
    expect(JSON.parse(readFileSync(file, 'utf8')).steps[0].expect).toHaveProperty('ask')
    expect((await run('--quiet', file)).code).toBe(0)
  })
})
