import { beforeAll, describe, expect, it } from 'vitest'
import type { Conversation, Papers } from '../../rules/conversation/types.ts'
import { paperPictures } from '../../rules/protocol/meter.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import { realConversation, Talk } from './talk.ts'

let conversation: Conversation
beforeAll(async () => {
  conversation = await realConversation()
})

const CONTACTORS: CarFacts = { drive: 'resistor-contactor', packVolts: 36, cells: 'flooded-lead' }
const read = (volts: number[]) => ({
  type: 'answer',
  answers: volts.map((value, i) => ({
    check: `measure-bus-bar-volts.step-${i + 2}`,
    reading: { value, unit: 'V' },
  })),
})

async function picturesOf(talk: Talk): Promise<Papers['pictures']> {
  const { pictures } = await conversation.papers(talk.record, talk.caller)
  // Whatever is drawn is what the API describes.
  expect(paperPictures.strict().parse(pictures)).toEqual(pictures)
  return pictures
}
const suspects = ({ circuit }: Papers['pictures']) => circuit?.parts.filter((p) => p.suspect).map((p) => p.key)

/** Contactor 4 clicks and is fed, and the bus bar does not rise at its click. */
async function contactor4(): Promise<Talk> {
  const talk = new Talk(conversation, 'technician', CONTACTORS)
  for (const caution of ['live-pack', 'wheels-will-turn']) await talk.send({ type: 'acknowledge', caution })
  await talk.send({ type: 'say', text: 'it jerks when I push the pedal' })
  await talk.send(read([25.2, 31, 31.2, 35.4]))
  await talk.send({
    type: 'answer',
    answers: [
      { check: 'measure-drop-contactor.4', reading: { value: 2.1, unit: 'V' } },
      { check: 'touch-coil-feed.step-4', outcome: 'lit' },
      { check: 'touch-coil-negative.contactor-4', outcome: 'lit' },
      { check: 'listen-for-click.step-4', outcome: 'click' },
    ],
  })
  return talk
}

describe('what paper draws', () => {
  it('is nothing before something was measured', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    expect(await picturesOf(talk)).toEqual({ steps: [], repaired: false })
    await talk.send({ type: 'say', text: 'it jerks when I push the pedal' })
    expect(await picturesOf(talk)).toEqual({ steps: [], repaired: false })
  })

  it('before there is a finding: where something was read last, and nothing marked', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    await talk.send(read([25.2]))
    const pictures = await picturesOf(talk)
    expect(pictures.at?.check).toBe('measure-bus-bar-volts.step-2')
    expect(pictures.circuit).toMatchObject({ red: 'bus-bar', black: 'pack-negative' })
    expect(suspects(pictures)).toEqual([])
    expect(pictures.steps.map((p) => p.rows.map((r) => r.measured))).toEqual([[25.2, undefined, undefined, undefined]])
    expect(pictures.steps[0]!.fault).toBeUndefined()
  })

  it('with a finding: at the points of its strongest evidence that has some, and what was found is marked', async () => {
    const talk = await contactor4()
    const finding = (await conversation.view(talk.record, talk.caller)).find((m) => m.type === 'finding')!.finding!
    expect(finding.causes[0]!.cause).toBe('contactor-4.contacts-open')
    const pictures = await picturesOf(talk)
    const row = /^(measure-(bus-bar-volts|drop-contactor)|touch-coil-(feed|negative))\./
    expect(pictures.at!.check).toBe(finding.evidence.find((e) => row.test(e.check))!.check)
    const evidence = finding.evidence.find((e) => e.check === pictures.at!.check)!
    expect(pictures.at).toMatchObject({ question: evidence.question, answer: evidence.answer })
    // The finding names what one remedy mends; each part of that is marked, and no other.
    expect(suspects(pictures)).toContain('contactor-4.contacts')
    expect(suspects(pictures)!.filter((key) => !key.startsWith('contactor-4.'))).toEqual([])
    expect(pictures.circuit!.say.join(' ')).toMatch(/Red probe on .*Black probe on .*suspect: contactor 4/)
    const plot = pictures.steps.find((p) => p.rows.some((r) => r.check === 'measure-bus-bar-volts.step-4'))!
    expect(plot.rows.map((r) => r.measured)).toEqual([25.2, 31, 31.2, 35.4])
    expect(plot.fault?.id).toBe('contactor-4.contacts-open')
    expect(pictures.repaired).toBe(false)
  })

  it('after the repair and on a closed case: as it was found, not as it reads now', async () => {
    const talk = await contactor4()
    const found = await picturesOf(talk)
    const push = (event: object) => {
      const last = talk.events.at(-1)!
      talk.events = [
        ...talk.events,
        { ...event, at: last.at, by: 'technician', cause: 'm', seq: last.seq + 1 } as never,
      ]
    }
    push({ type: 'repaired', remedy: 'replace-contactor-4' })
    push({
      type: 'answered',
      check: 'measure-bus-bar-volts.step-4',
      outcome: 'right',
      reading: { value: 33.3, unit: 'V', instrument: 'voltmeter' },
    })
    expect(await picturesOf(talk)).toEqual({ ...found, repaired: true })
    push({ type: 'closed' })
    expect(await picturesOf(talk)).toEqual({ ...found, repaired: true })
  })

  it('has a bar for each block, also where nothing has points', async () => {
    const talk = new Talk(conversation, 'technician', CONTACTORS)
    await talk.send({
      type: 'answer',
      answers: [{ check: 'measure-block-volts', blocks: [6.31, 6.3, 5.2, 6.29, 6.3, 6.32] }],
    })
    const { blocks } = await picturesOf(talk)
    expect(blocks!.bars.map((b) => b.low)).toEqual([false, false, true, false, false, false])
  })
})
