import { describe, expect, it } from 'vitest'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import * as f from '../dev/fixtures.ts'
import type { Act } from './messages.ts'
import { reduce } from './reduce.ts'
import { EMPTY, type View } from './view.ts'

const answer: Act = { type: 'answer', answers: [{ check: 'c', outcome: 'yes' }] }
const head = { v: 1, case: 'case-1', seq: 3 } as const
const sent = (view: View, id: string, act: Act) => reduce(view, { type: 'sent', id, act })
const got = (view: View, message: ServerMessage) => reduce(view, { type: 'received', message })
const ask = (more: object = {}): ServerMessage => ({ ...head, type: 'ask', ask: f.bothWays, ...more })

describe('the view', () => {
  it('keeps what was sent until a reply names it', () => {
    let v = sent(EMPTY, 'a', answer)
    expect(v.waiting).toHaveLength(1)
    v = got(v, ask())
    expect(v.waiting).toHaveLength(1)
    v = got(v, { ...f.noted('customer', []), re: 'a' })
    expect(v.waiting).toHaveLength(0)
  })

  it('shows a refusal at the place it came from, until that is tried again', () => {
    let v = got(sent(EMPTY, 'a', answer), {
      ...head,
      re: 'a',
      type: 'refused',
      code: 'out-of-range',
      text: 'Too much.',
      mend: 'Less.',
      field: 'answers[0]',
    })
    expect(v.problems['answer:c']).toMatchObject({ code: 'out-of-range', field: 'answers[0]' })
    expect(v.turn).toBe(0)
    v = sent(v, 'b', { type: 'tell', text: 'x' })
    expect(v.problems['answer:c']).toBeDefined()
    v = sent(v, 'c', answer)
    expect(v.problems['answer:c']).toBeUndefined()
  })

  it('still waits after an error that passes, and forgets it at the reply', () => {
    let v = got(sent(EMPTY, 'a', answer), {
      ...head,
      re: 'a',
      type: 'error',
      code: 'busy',
      text: 'Busy.',
      mend: 'Wait.',
    })
    expect(v.waiting).toHaveLength(1)
    expect(v.problems['answer:c']).toBeDefined()
    v = got(v, { ...f.noted('customer', []), re: 'a' })
    expect(v.waiting).toHaveLength(0)
    expect(v.problems['answer:c']).toBeUndefined()
  })

  it('counts a turn for own messages only', () => {
    expect(got(EMPTY, ask()).turn).toBe(0)
    expect(got(EMPTY, ask({ re: 'a' })).turn).toBe(1)
  })

  it('lets "why" and what words may mean go with the question they are about', () => {
    let v = got(EMPTY, ask())
    v = got(v, { ...f.because, check: f.bothWays.check })
    v = got(v, { ...f.unsure, check: f.bothWays.check })
    v = got(v, ask())
    expect(v.why).toBeDefined()
    expect(v.understood).toBeDefined()
    v = got(v, ask({ ask: f.whereItJerks }))
    expect(v.why).toBeUndefined()
    expect(v.understood).toBeUndefined()
  })

  it('takes back a finding that no longer holds', () => {
    let v = got(EMPTY, { ...head, type: 'finding', finding: f.finding })
    expect(v.finding?.title).toBe(f.finding.title)
    v = got(v, { ...head, type: 'finding', finding: null })
    expect(v.finding).toBeNull()
  })

  it('leaves nothing of a case that was left', () => {
    const v = reduce(got(sent(EMPTY, 'a', answer), ask()), { type: 'left' })
    expect(v).toEqual({ ...EMPTY, turn: v.turn })
  })

  it('does not change the view it is given', () => {
    const before = Object.freeze(sent(EMPTY, 'a', answer))
    const copy = structuredClone(before)
    got(before, { ...head, re: 'a', type: 'error', code: 'invalid', text: 'x', mend: 'y' })
    expect(before).toEqual(copy)
  })
})
