import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MESSAGE_TYPES, readFrame, readMessage } from '../../rules/protocol/frame.ts'
import { MAX_FRAME_BYTES, serverMessage } from '../../rules/protocol/index.ts'

const wrong = (message: unknown) => {
  const { error } = readFrame(typeof message === 'string' ? message : JSON.stringify(message))
  expect(error).toBeDefined()
  return error as Extract<NonNullable<typeof error>, { type: 'error' }>
}
const answers = (...list: unknown[]) => ({ v: 1, id: 'a', type: 'answer', answers: list })

describe('a frame that can not be taken says what is wrong, where, and what to do', () => {
  it.each<[string, unknown, Record<string, unknown>]>([
    ['not JSON', '{"v":1,', { code: 'malformed', mend: /one JSON object/ }],
    ['empty', '', { code: 'malformed' }],
    ['a list', '[]', { code: 'malformed', text: /a list/ }],
    ['null', 'null', { code: 'malformed', text: /null/ }],
    ['a number', '7', { code: 'malformed', text: /a number/ }],
    ['no version', { id: 'a', type: 'why' }, { code: 'unknown-version', field: 'v', re: 'a', mend: /"v": 1/ }],
    ['another version', { v: 2, id: 'a', type: 'why' }, { code: 'unknown-version', text: /Version 2/ }],
    ['version as text', { v: '1', id: 'a', type: 'why' }, { code: 'unknown-version' }],
    ['no type', { v: 1, id: 'a' }, { code: 'unknown-type', field: 'type', mend: /open, facts, say, answer/ }],
    ['unknown type', { v: 1, id: 'a', type: 'explode' }, { code: 'unknown-type', text: /"explode"/ }],
    ['a type that objects have', { v: 1, id: 'a', type: 'constructor' }, { code: 'unknown-type' }],
    ['no id', { v: 1, type: 'why' }, { code: 'invalid', field: 'id', text: /"id" is missing/, re: undefined }],
    ['a long id', { v: 1, id: 'a'.repeat(65), type: 'why' }, { code: 'invalid', field: 'id', mend: /64 characters/ }],
    ['a number as id', { v: 1, id: 4, type: 'why' }, { code: 'invalid', field: 'id', text: /a number, where text/ }],
    [
      'an extra part',
      { v: 1, id: 'a', type: 'why', so: 1 },
      { code: 'invalid', text: /"so" is not part/, mend: /check, cause/ },
    ],
    ['no answers', answers(), { code: 'invalid', field: 'answers', text: /too few/, mend: /at least 1/ }],
    [
      'too many answers',
      answers(...Array(41).fill({ check: 'c' })),
      { code: 'invalid', field: 'answers', mend: /40 or fewer/ },
    ],
    ['no check', answers({ outcome: 'yes' }), { code: 'invalid', field: 'answers[0].check', text: /missing/ }],
    [
      'no unit',
      answers({ check: 'c' }, { check: 'd', reading: { value: 31 } }),
      { code: 'invalid', field: 'answers[1].reading.unit', text: /missing/, mend: /V, mV, Ω/ },
    ],
    [
      'an unknown unit',
      answers({ check: 'c', reading: { value: 31, unit: 'volts' } }),
      { code: 'invalid', field: 'answers[0].reading.unit', text: /"volts"/, mend: /V, mV, Ω/ },
    ],
    [
      'a reading in words',
      answers({ check: 'c', reading: { value: '31', unit: 'V' } }),
      { code: 'invalid', field: 'answers[0].reading.value', mend: /a number/ },
    ],
    [
      'an infinite reading',
      '{"v":1,"id":"a","type":"answer","answers":[{"check":"c","reading":{"value":1e999,"unit":"V"}}]}',
      { code: 'invalid', field: 'answers[0].reading.value' },
    ],
    [
      'a car fact that no car has',
      { v: 1, id: 'a', type: 'facts', facts: { packVolts: 37 } },
      { code: 'invalid', field: 'facts.packVolts', text: /37/, mend: /24, 36, 48, 72/ },
    ],
    [
      'blocks in prose',
      { v: 1, id: 'a', type: 'facts', facts: { blocks: 'six' } },
      {
        code: 'invalid',
        field: 'facts.blocks',
        text: '"facts.blocks" is "six", which does not fit there.',
        mend: 'Write count x volts, such as "6x6", or the cells in series, such as "16s".',
      },
    ],
    [
      'an unknown fact',
      { v: 1, id: 'a', type: 'facts', facts: { colour: 'red' } },
      { code: 'invalid', field: 'facts', text: /"colour"/ },
    ],
    ['empty words', { v: 1, id: 'a', type: 'tell', text: '  ' }, { code: 'invalid', field: 'text', text: /empty/ }],
    [
      'long words',
      { v: 1, id: 'a', type: 'tell', text: 'x'.repeat(2001) },
      { code: 'invalid', field: 'text', mend: /2000 characters/ },
    ],
    [
      'a language in prose',
      { v: 1, id: 'a', type: 'open', language: 'English' },
      { code: 'invalid', field: 'language', mend: 'Write a language such as "en" or "en-GB".' },
    ],
    [
      'a phone in words',
      { v: 1, id: 'a', type: 'contact', phone: 'ask Robin' },
      { code: 'invalid', field: 'phone', text: /"ask Robin"/, mend: /^Write only digits, spaces/ },
    ],
    [
      'a negative since',
      { v: 1, id: 'a', type: 'open', since: -1 },
      { code: 'invalid', field: 'since', mend: /0 or more/ },
    ],
  ])('%s', (_name, message, expected) => {
    const error = wrong(message)
    for (const [part, value] of Object.entries(expected)) {
      const got = error[part as keyof typeof error]
      if (value instanceof RegExp) expect(got).toMatch(value)
      else expect(got).toBe(value)
    }
    expect(serverMessage.parse(error)).toEqual(error)
  })

  it('counts bytes, not characters', () => {
    const text = '€'.repeat(Math.ceil(MAX_FRAME_BYTES / 3) + 1)
    expect(text.length).toBeLessThan(MAX_FRAME_BYTES)
    expect(wrong(text)).toMatchObject({ code: 'too-large' })
  })

  it('takes a right one, defaults filled in', () => {
    expect(readFrame('{"v":1,"id":"a","type":"open"}').message).toEqual({
      v: 1,
      id: 'a',
      type: 'open',
      shop: 'demo',
    })
  })
})

describe('whatever comes', () => {
  const typed = (frame: ReturnType<typeof readFrame>) => {
    if (frame.message) return true
    const error = serverMessage.parse(frame.error)
    return error.type === 'error' && error.text.length > 0 && error.text.length < 600 && error.mend.length > 0
  }

  it('any text is a message or a typed error', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), fc.json(), fc.string()), (text) => typed(readFrame(text))),
      { numRuns: 2000 },
    )
  })

  it('anything in the shape of a message is a message or a typed error', () => {
    const odd = fc.oneof(fc.anything(), fc.constantFrom('__proto__', 'constructor', -0, 1e308, '\u0000', '\ud800'))
    const nearly = fc
      .record(
        {
          v: fc.oneof({ weight: 9, arbitrary: fc.constant(1) }, odd),
          id: fc.oneof(fc.string({ minLength: 1, maxLength: 64 }), odd),
          type: fc.oneof({ weight: 9, arbitrary: fc.constantFrom(...MESSAGE_TYPES) }, odd),
          answers: fc.oneof(fc.array(fc.oneof(fc.record({ check: odd, reading: odd, outcome: odd }), odd)), odd),
          facts: fc.oneof(fc.dictionary(fc.constantFrom('packVolts', 'blocks', '__proto__', 'drive'), odd), odd),
          state: odd,
          text: odd,
          check: odd,
        },
        { requiredKeys: ['v', 'type'] },
      )
      .map((message) => {
        try {
          return JSON.stringify(message)
        } catch {
          return '{}'
        }
      })
    fc.assert(
      fc.property(nearly, (text) => typed(readFrame(text))),
      { numRuns: 5000 },
    )
  })

  it('a polluted prototype is not taken for a part', () => {
    const frame = readMessage(JSON.parse('{"v":1,"id":"a","type":"facts","facts":{"__proto__":{"packVolts":36}}}'))
    const facts = frame.message?.type === 'facts' ? frame.message.facts : {}
    expect(facts.packVolts).toBeUndefined()
    expect(({} as { packVolts?: number }).packVolts).toBeUndefined()
  })
})
