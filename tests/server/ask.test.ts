import { describe, expect, it } from 'vitest'
import { type ServerMessage, serverMessage } from '../../rules/protocol/index.ts'
import { spawnNode } from './process.ts'
import { one } from './screen.ts'

async function run(args: string[], input: string) {
  const spawned = spawnNode(['server/commands/ask.ts', ...args], {}, input)
  const code = await spawned.exited
  return { code, out: spawned.out(), err: spawned.err() }
}
const json = async (args: string[], messages: (object | string)[]) => {
  const input = messages.map((m) => (typeof m === 'string' ? m : JSON.stringify({ v: 1, ...m }))).join('\n')
  const { code, out, err } = await run(['--json', ...args], input)
  expect(err).toBe('')
  expect(code).toBe(0)
  return out
    .trim()
    .split('\n')
    .map((line): ServerMessage => serverMessage.parse(JSON.parse(line)))
}

describe('npm run ask, piped', () => {
  it('holds the conversation in plain text, to the end of the input', async () => {
    const { code, out, err } = await run(
      ['--role', 'technician', '--car', 'drive=resistor-contactor,packVolts=36', '--tag', '12'],
      'it jerks when I push the pedal\nnote parked by the jetty\nundo\ntrail\n',
    )
    expect(err).toBe('')
    expect(code).toBe(0)
    expect(out).toMatch(/^Larch Lake holiday park garage · case [A-Z]\d-\d{3} · car 12\n/)
    expect(out).toContain('\n> it jerks when I push the pedal\n')
    expect(out).toContain('> trail\nNothing is answered yet.\n')
    // Plain text: no colours, no cursor movements.
    expect([...out].some((c) => c < ' ' && c !== '\n')).toBe(false)
  })

  it('ends with nothing to read, and where its reader stops', async () => {
    expect((await run([], '')).code).toBe(0)
    const spawned = spawnNode(['server/commands/ask.ts'], {}, 'help\n'.repeat(2000))
    spawned.child.stdout!.once('data', () => spawned.child.stdout!.destroy())
    expect(await spawned.exited).toBe(0)
    expect(spawned.err()).toBe('')
  })

  it.each([
    [['--role', 'boss'], /--role is customer or technician, not "boss"/],
    [['--car', 'packVolts=37'], /packVolts can't be "37".*24, 36, 48, 72/],
    [['--colour'], /--colour/],
    [['--json', '--car', 'packVolts=36'], /"open" message gives the facts/],
    [['stray'], /stray/],
  ])('%j: says what is wrong', async (args, says) => {
    const { code, out, err } = await run(args, '')
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).toMatch(says)
    expect(err).toContain('--help')
    expect(err).not.toMatch(/\n {4}at /)
  })

  it('--help tells of every flag and command', async () => {
    const { code, out } = await run(['--help'], '')
    expect(code).toBe(0)
    for (const word of ['--role', '--car', '--json', 'undo', 'why', 'skip', 'note', 'state'])
      expect(out).toContain(word)
  })
})

describe("npm run ask --json: the socket's own messages", () => {
  it('a line in, its replies out', async () => {
    const replies = await json(
      [],
      [
        { id: '0', type: 'say', text: 'too early' },
        { id: '1', type: 'open', tag: '12', facts: { drive: 'resistor-contactor', packVolts: 36 } },
        '',
        'garbage',
        { id: '2', type: 'say', complaints: ['jerks-on-acceleration'] },
        { id: '3', type: 'retract', check: 'complaint.jerks-on-acceleration' },
        { id: '3', type: 'retract', check: 'complaint.jerks-on-acceleration' },
      ],
    )
    expect(replies[0]).toMatchObject({ type: 'refused', code: 'open-first', re: '0' })
    const opened = one(replies, 'opened')
    expect(opened).toMatchObject({ role: 'technician', tag: '12', facts: { packVolts: 36 }, re: '1' })
    expect(one(replies, 'error')).toMatchObject({ code: 'malformed' })
    const of = (id: string) => replies.filter((m) => m.re === id)
    expect(one(of('2'), 'noted').trail).toMatchObject([{ check: 'complaint.jerks-on-acceleration' }])
    const twice = of('3')
    expect(twice.slice(twice.length / 2)).toEqual(twice.slice(0, twice.length / 2))
    expect(one(twice.slice(twice.length / 2), 'noted').trail).toEqual([])
  })

  it('--role customer is a customer', async () => {
    const replies = await json(
      ['--role', 'customer'],
      [
        { id: '1', type: 'open' },
        { id: '2', type: 'close' },
      ],
    )
    expect(one(replies, 'opened').role).toBe('customer')
    expect(one(replies, 'refused')).toMatchObject({ code: 'not-your-role' })
  })
})
