import { beforeAll, describe, expect, it } from 'vitest'
import type { Conversation } from '../../rules/conversation/types.ts'
import { realConversation, Talk } from './talk.ts'

let conversation: Conversation
beforeAll(async () => {
  conversation = await realConversation()
})

const volts = (value: number) => ({ reading: { value, unit: 'V' } })

describe('from words to a finding', () => {
  it('finds contactor 4 from the volts of the steps, the feed and the click', async () => {
    const talk = new Talk(conversation)
    const understood = (await talk.send({ type: 'say', text: 'it jerks when I push the pedal' })).of('understood')
    expect(understood).toMatchObject({ sure: true, complaints: [{ id: 'jerks-on-acceleration' }] })
    await talk.acknowledgeAll()
    await talk.send({
      type: 'answer',
      answers: [
        { check: 'measure-pack-volts-at-rest', ...volts(36.9) },
        { check: 'measure-bus-bar-volts.step-2', ...volts(25.3) },
        { check: 'measure-bus-bar-volts.step-3', ...volts(31.4) },
        { check: 'measure-bus-bar-volts.step-4', ...volts(31.5) },
        { check: 'measure-bus-bar-volts.step-5', ...volts(35.6) },
      ],
    })
    await talk.answer('touch-coil-feed.step-4', 'lit')
    const replies = await talk.answer('listen-for-click.step-4', 'click')
    expect(replies.of('standing').rows[0]).toMatchObject({ cause: 'contactor-4.contacts-open' })
    await talk.answer('measure-drop-contactor.4', volts(2.1))
    // What is still asked is answered as a technician who cannot reach it would, until asking is over.
    let after = await talk.acknowledgeAll()
    for (let i = 0; i < 12 && after.of('ask').ask; i++) {
      await talk.answer(after.of('ask').ask!.check, 'dont-know')
      after = await talk.acknowledgeAll()
    }
    const finding = after.of('finding').finding
    expect(finding).toMatchObject({ kind: 'cause', sure: true, remedy: { id: 'replace-contactor-4' } })
    expect(finding!.evidence.length).toBeGreaterThan(2)
    expect(finding!.rootCauses.length).toBeGreaterThan(0)
    expect(after.of('ask')).toMatchObject({ ask: null })
  })

  it('gives the same replies for the same messages, and changes nothing that it was given', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['no-go-clicks'] })
    const frozen = JSON.stringify(talk.record)
    const message = { v: 1 as const, id: 'same', type: 'tell' as const, text: 'a note' }
    const outside = { now: '2026-05-04T09:00:00.000Z', newId: () => 'w' }
    const a = await conversation.step(talk.record, talk.caller, message, outside)
    const b = await conversation.step(talk.record, talk.caller, message, outside)
    expect(b).toEqual(a)
    expect(JSON.stringify(talk.record)).toBe(frozen)
  })

  it('is of no account in which order answers come', async () => {
    const answers = [
      { check: 'touch-coil-feed.step-3', outcome: 'dark' },
      { check: 'listen-for-click.step-3', outcome: 'none' },
      { check: 'measure-bus-bar-volts.step-3', ...volts(25.2) },
    ]
    const p: unknown[] = []
    for (const order of [
      [0, 1, 2],
      [2, 1, 0],
      [1, 2, 0],
    ]) {
      const talk = new Talk(conversation)
      await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
      const { all } = await talk.send({ type: 'answer', answers: order.map((i) => answers[i]!) })
      p.push(all.find((m) => m.type === 'standing'))
    }
    const rows = (m: unknown) => (m as { rows: { cause: string; p: number }[] }).rows
    for (const x of p) {
      rows(x).forEach((row, i) => {
        expect(row.cause).toBe(rows(p[0])[i]!.cause)
        expect(row.p).toBeCloseTo(rows(p[0])[i]!.p, 12)
      })
    }
  })
})

describe('what a person can take back', () => {
  it('an answer taken back leaves no trace in the standing', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    const before = (await talk.view()).of('standing')
    await talk.answer('touch-coil-feed.step-3', 'dark')
    const after = await talk.send({ type: 'retract', check: 'touch-coil-feed.step-3' })
    expect(after.of('standing').rows).toEqual(before.rows)
    expect(after.of('noted').say).toContain('Taken back')
    expect(after.of('noted').trail.map((t) => t.check)).toEqual(['complaint.jerks-on-acceleration'])
  })

  it('the complaint too', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    const after = await talk.send({ type: 'retract', check: 'complaint.jerks-on-acceleration' })
    expect(after.of('ask').ask).toMatchObject({ kind: 'complaint' })
  })

  it("don't know changes nothing and is not asked again", async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    const first = await talk.acknowledgeAll()
    const asked = first.of('ask').ask!.check
    const next = await talk.answer(asked, 'dont-know')
    expect(next.of('standing').rows).toEqual(first.of('standing').rows)
    expect(next.of('ask').ask?.check).not.toBe(asked)
  })

  it('an answer that the others contradict is named and asked once more', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    await talk.acknowledgeAll()
    let replies = await talk.send({
      type: 'answer',
      answers: [
        { check: 'measure-pack-volts-at-rest', ...volts(36.9) },
        { check: 'measure-bus-bar-volts.step-2', ...volts(25.3) },
        { check: 'measure-bus-bar-volts.step-3', ...volts(31.4) },
        { check: 'measure-bus-bar-volts.step-4', ...volts(33.4) },
        { check: 'measure-bus-bar-volts.step-5', ...volts(35.6) },
        { check: 'touch-coil-feed.step-3', outcome: 'dark' },
        { check: 'listen-for-click.step-3', outcome: 'click' },
      ],
    })
    replies = await talk.acknowledgeAll()
    expect(replies.of('standing').disagreement).toMatchObject({ check: 'touch-coil-feed.step-3' })
    expect(replies.of('ask').ask).toMatchObject({ check: 'touch-coil-feed.step-3', kind: 'again' })
    const twice = await talk.answer('touch-coil-feed.step-3', 'dark')
    expect(twice.of('ask').ask?.kind).not.toBe('again')
  })
})

describe('danger', () => {
  it('withholds a check until its caution is acknowledged', async () => {
    const talk = new Talk(conversation)
    const replies = await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    expect(replies.of('ask').ask).toBeNull()
    expect(replies.of('caution').cautions.some((c) => c.acknowledge && !c.acknowledged)).toBe(true)
    const after = await talk.acknowledgeAll()
    expect(after.of('ask').ask).not.toBeNull()
  })

  it('stops a customer at a burning smell, and takes no further answers', async () => {
    const talk = new Talk(conversation, 'customer', {})
    const replies = await talk.send({ type: 'say', text: 'there is smoke and a burning smell from under the seat' })
    expect(replies.of('caution')).toMatchObject({ stop: true })
    expect(replies.of('ask').ask).toBeNull()
    expect(replies.of('finding').finding?.kind).toBe('hand-over')
    const refused = (await talk.answer('ask-clicks-heard', 'all')).of('refused')
    expect(refused.code).toBe('stopped')
  })

  it('refuses a bridge until every other contactor is proved open, keeps it, and refuses to close over it', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['no-go-clicks'] })
    const early = (await talk.send({ type: 'car-state', state: { bridged: ['main-contactor'] } })).of('refused')
    expect(early.code).toBe('caution-first')
    expect(early.mend).toContain('contactor')
    expect((await talk.answer('bridge-main-contactor', 'runs')).of('refused').code).toBe('caution-first')
    await talk.send({
      type: 'answer',
      answers: [2, 3, 4, 5].map((n) => ({ check: `measure-contactor-at-rest.${n}`, outcome: 'open' })),
    })
    await talk.answer('measure-drop-main-contactor', volts(25))
    await talk.send({ type: 'acknowledge', caution: 'bridge-makes-live' })
    const fitted = await talk.send({ type: 'car-state', state: { bridged: ['main-contactor'] } })
    expect(fitted.has('refused')).toBe(false)
    expect(fitted.of('noted').reminders.join()).toContain('bridge')
    expect((await talk.send({ type: 'close' })).of('refused').code).toBe('bridged')
    await talk.send({ type: 'car-state', state: { bridged: [] } })
    expect((await talk.send({ type: 'close' })).of('noted').status).toBe('closed')
    expect((await talk.send({ type: 'say', complaints: ['cuts-out'] })).of('refused').code).toBe('case-closed')
  })
})

describe('after a repair', () => {
  it('asks for the proof, and goes on with that part done where it does not cure', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    await talk.acknowledgeAll()
    await talk.answer('measure-bus-bar-volts.step-4', volts(31.3))
    await talk.answer('measure-drop-contactor.4', volts(2.2))
    await talk.agreeAndRepair('replace-contactor-4')
    const proof = (await talk.acknowledgeAll()).of('ask').ask!
    expect(proof.kind).toBe('proof')
    const bad = proof.outcomes.find((o) => !/should|lit|good|smooth/i.test(o.label))!
    const failed = await talk.answer(proof.check, bad.id)
    expect(failed.of('noted').say).toContain('did not cure')
    expect(failed.p('contactor-4.contacts-open')).toBeLessThan(0.1)
    const again = await talk.acknowledgeAll()
    expect(again.of('ask').ask === null && again.of('finding').finding === null).toBe(false)
  })
})

describe('what cannot be taken is refused with what to do, and the case is unharmed', () => {
  const cases: [string, Record<string, unknown>, string][] = [
    ['an unknown check', { check: 'measure-the-moon', outcome: 'yes' }, 'unknown-check'],
    ['an unknown outcome', { check: 'touch-coil-feed.step-3', outcome: 'purple' }, 'unknown-outcome'],
    ['a wrong unit', { check: 'measure-bus-bar-volts.step-3', reading: { value: 31, unit: 'Ω' } }, 'wrong-unit'],
    ['a number past the meter', { check: 'measure-bus-bar-volts.step-3', ...volts(900) }, 'out-of-range'],
    ['a number where words are asked', { check: 'touch-coil-feed.step-3', ...volts(12) }, 'no-reading'],
    ['words that say nothing', { check: 'touch-coil-feed.step-3', text: 'zxcvb qwrty' }, 'not-understood'],
    ['typed volts where ohms are asked', { check: 'measure-coil.3', text: '31 V' }, 'wrong-unit'],
  ]
  for (const [name, item, code] of cases) {
    it(name, async () => {
      const talk = new Talk(conversation)
      await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
      const before = talk.events.length
      const replies = await talk.send({ type: 'answer', answers: [item] })
      if (code === 'not-understood' && replies.has('understood')) {
        expect(replies.of('understood').sure).toBe(false)
      } else {
        const refused = replies.of('refused')
        expect(refused.code).toBe(code)
        expect(refused.mend.length).toBeGreaterThan(10)
        expect(refused.field).toMatch(/^answers\[0\]/)
      }
      expect(talk.events.length).toBe(before)
    })
  }

  it('none of several answers is taken where one cannot be', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    const replies = await talk.send({
      type: 'answer',
      answers: [
        { check: 'touch-coil-feed.step-2', outcome: 'lit' },
        { check: 'touch-coil-feed.step-3', outcome: 'nope' },
      ],
    })
    expect(replies.of('refused').field).toBe('answers[1].outcome')
    expect((await talk.view()).of('noted').trail.length).toBe(1)
  })

  it('a customer measures nothing, repairs nothing, closes nothing', async () => {
    const talk = new Talk(conversation, 'customer', {})
    await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
    for (const message of [
      { type: 'answer', answers: [{ check: 'measure-bus-bar-volts.step-3', ...volts(31) }] },
      { type: 'repaired', remedy: 'replace-contactor-4' },
      { type: 'car-state', state: { key: 'on' } },
      { type: 'pick', check: 'ask-clicks-heard' },
      { type: 'close' },
    ]) {
      expect((await talk.send(message)).of('refused').code).toBe('not-your-role')
    }
  })

  it('words about something else are not taken for a complaint', async () => {
    const talk = new Talk(conversation, 'customer', {})
    const understood = (await talk.send({ type: 'say', text: 'my lawn mower is broken' })).of('understood')
    expect(understood.sure).toBe(false)
    expect(understood.options.length).toBeGreaterThan(10)
    expect((await talk.view()).of('ask').ask).toMatchObject({ kind: 'complaint' })
  })
})

describe('a customer', () => {
  it('is asked at most six things, in words, then handed over with what was learned', async () => {
    const talk = new Talk(conversation, 'customer', {})
    let replies = await talk.send({ type: 'say', text: 'it is slow everywhere' })
    let questions = 0
    while (replies.of('ask').ask) {
      const { ask } = replies.of('ask')
      expect(['ask', 'look']).toContain(ask!.way)
      expect(ask!.tools).toEqual([])
      questions++
      replies = await talk.answer(ask!.check, ask!.outcomes[0]!.id)
      if (questions > 8) break
    }
    expect(questions).toBeLessThanOrEqual(6)
    const finding = replies.of('finding').finding!
    expect(finding.kind).toBe('hand-over')
    expect(finding.until.length).toBeGreaterThan(0)
    talk.role = 'technician'
    expect((await talk.view()).of('noted').trail.length).toBe(questions + 1)
  })
})
