import { beforeAll, describe, expect, it } from 'vitest'
import type { Conversation } from '../../rules/conversation/types.ts'
import type { Noted } from '../../rules/protocol/index.ts'
import { realConversation, Talk } from './talk.ts'

/** The way from a finding to the closed card: what is refused, why, and that the list of what is to do says the same. */
let conversation: Conversation
beforeAll(async () => {
  conversation = await realConversation()
})

const volts = (value: number) => ({ reading: { value, unit: 'V' } })
const yes = (remedy: string, upTo = 150) => ({
  type: 'approve',
  remedies: [remedy],
  upTo,
  way: 'by-phone',
  who: 'Robin',
})
const ids = (toDo: Noted['toDo'], before: string) =>
  (toDo ?? []).filter((x) => x.before === before).map((x) => x.root ?? x.item ?? x.what)

/** A car in which contactor 4 is found. */
async function found(): Promise<Talk> {
  const talk = new Talk(conversation)
  await talk.send({ type: 'say', complaints: ['jerks-on-acceleration'] })
  await talk.acknowledgeAll()
  await talk.answer('measure-bus-bar-volts.step-3', volts(31.4))
  await talk.answer('measure-bus-bar-volts.step-4', volts(31.5))
  await talk.answer('measure-drop-contactor.4', volts(2.1))
  await talk.answer('touch-coil-feed.step-4', 'lit')
  let after = await talk.answer('touch-coil-negative.contactor-4', 'lit')
  for (let i = 0; i < 12 && after.of('ask').ask; i++) {
    await talk.answer(after.of('ask').ask!.check, 'dont-know')
    after = await talk.acknowledgeAll()
  }
  expect(after.of('finding').finding?.remedy?.id).toBe('replace-contactor-4')
  return talk
}

describe('a contactor is fitted', () => {
  it('after a yes and after it was asked what the old one died of, one by one', async () => {
    const talk = await found()
    const before = (await talk.view()).of('noted')
    // What the issue names for a contactor: the motor, the diode, the lugs, the brake. This car has no throttle
    // electronics and no pre-charge, so they are not asked.
    const asked = before.askWhy!.map((x) => x.root)
    expect(asked).toEqual(
      expect.arrayContaining(['motor-grounded', 'contactor-diode-missing', 'lug-loose', 'brakes-dragging']),
    )
    expect(asked).not.toContain('precharge-missing')
    expect(asked).not.toContain('throttle-jumps')
    expect(ids(before.toDo, 'repaired')).toEqual(['approve', ...asked])

    const unagreed = (await talk.send({ type: 'repaired', remedy: 'replace-contactor-4' })).of('refused')
    expect(unagreed).toMatchObject({ code: 'not-approved', field: 'remedy' })
    expect(unagreed.text).toContain('Replace contactor 4')
    await talk.send(yes('replace-contactor-4'))
    for (const [i, root] of asked.entries()) {
      const refused = (await talk.send({ type: 'repaired', remedy: 'replace-contactor-4' })).of('refused')
      expect(refused.code).toBe('ask-why-first')
      // The text names those that are missing, and no others.
      for (const { root: id, name } of before.askWhy!) expect(refused.text.includes(name)).toBe(asked.indexOf(id) >= i)
      const found = i === 0 ? 'yes' : i === 1 ? 'not-looked' : 'no'
      const noted = (await talk.send({ type: 'root-cause', root, found })).of('noted')
      expect(ids(noted.toDo, 'repaired')).toEqual(asked.slice(i + 1))
    }
    const done = await talk.send({ type: 'repaired', remedy: 'replace-contactor-4' })
    expect(done.of('noted').repaired).toMatchObject([{ remedy: 'replace-contactor-4' }])
    // Still to be read and mended afterwards, though the finding is gone.
    expect(done.of('finding').finding).toBeNull()
    expect(done.of('noted').askWhy!.map((x) => x.root)).toEqual(asked)
  })

  it('also when it is not the one that was found', async () => {
    const talk = await found()
    await talk.send(yes('replace-main-contactor'))
    const refused = (await talk.send({ type: 'repaired', remedy: 'replace-main-contactor' })).of('refused')
    expect(refused.code).toBe('ask-why-first')
  })

  it('a controller asks for the throttle and the pre-charge too', async () => {
    const talk = new Talk(conversation, 'technician', { drive: 'series-controller', packVolts: 36 })
    await talk.send({ type: 'say', complaints: ['no-go-clicks'] })
    const noted = (await talk.send(yes('replace-controller', 900))).of('noted')
    expect(ids(noted.toDo, 'repaired')).toEqual(
      expect.arrayContaining([
        'motor-grounded',
        'throttle-jumps',
        'contactor-diode-missing',
        'precharge-missing',
        'lug-loose',
        'brakes-dragging',
      ]),
    )
  })
})

describe('a yes', () => {
  it('a repair that asks nothing first needs the yes only; on the shop\u2019s own car one of nothing will do', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['short-range'] })
    expect((await talk.send({ type: 'repaired', remedy: 'charge-pack' })).of('refused').code).toBe('not-approved')
    await talk.send({ type: 'approve', remedies: ['charge-pack'], upTo: 0, way: 'in-person', who: 'our own car' })
    expect((await talk.send({ type: 'repaired', remedy: 'charge-pack' })).has('refused')).toBe(false)
    // And nothing can be charged for it.
    const list = ['torque', 'bridges-out', 'leads-back', 'brake-test', 'road-test', 'charge-cycle']
    await talk.send({ type: 'hand-back', items: list.map((item) => ({ item, result: 'done' })) })
    await talk.answer('charge-then-drive', 'good')
    expect((await talk.send({ type: 'sign-off', charged: 1 })).of('refused').code).toBe('over-approved')
  })

  it('taken back is a no: the repair is refused, and says so; a new yes opens it again', async () => {
    const talk = new Talk(conversation)
    await talk.send({ type: 'say', complaints: ['short-range'] })
    await talk.send({ type: 'approve', remedies: ['charge-pack', 'water-pack'], upTo: 60, way: 'in-writing' })
    await talk.send({ type: 'decline', remedies: ['charge-pack'], who: 'Robin' })
    const refused = (await talk.send({ type: 'repaired', remedy: 'charge-pack' })).of('refused')
    expect(refused).toMatchObject({ code: 'not-approved', text: expect.stringContaining('refused') })
    // The other half of the same yes still stands.
    expect((await talk.send({ type: 'repaired', remedy: 'water-pack' })).has('refused')).toBe(false)
    await talk.send(yes('charge-pack', 20))
    expect((await talk.send({ type: 'repaired', remedy: 'charge-pack' })).has('refused')).toBe(false)
  })
})

describe('what is to do', () => {
  it('goes from the yes to an empty list; a customer and a closed card have none', async () => {
    const talk = await found()
    await talk.agreeAndRepair('replace-contactor-4')
    let noted = (await talk.acknowledgeAll()).of('noted')
    expect(ids(noted.toDo, 'repaired')).toEqual([])
    expect(ids(noted.toDo, 'sign-off')).toEqual([
      'proof',
      'torque',
      'bridges-out',
      'leads-back',
      'brake-test',
      'road-test',
      'charge-cycle',
    ])
    await talk.answer('measure-bus-bar-volts.step-4', volts(33.3))
    await talk.send({ type: 'car-state', state: { lifted: ['motor'] } })
    noted = (await talk.view()).of('noted')
    expect(ids(noted.toDo, 'close')).toEqual(['lead'])
    expect((await talk.send({ type: 'close' })).of('refused').code).toBe('leads-lifted')
    await talk.send({ type: 'car-state', state: { lifted: [] } })
    // While the list names something before sign-off, signing off is refused; once it does not, it is taken.
    for (const item of ids((await talk.view()).of('noted').toDo, 'sign-off')) {
      expect((await talk.send({ type: 'sign-off' })).of('refused').code).toBe('not-handed-back')
      await talk.send({ type: 'hand-back', items: [{ item, result: 'done' }] })
    }
    noted = (await talk.view()).of('noted')
    expect(noted.toDo).toEqual([])
    expect((await talk.send({ type: 'sign-off', charged: 0 })).has('refused')).toBe(false)
    talk.role = 'customer'
    const theirs = (await talk.view()).of('noted')
    expect([theirs.toDo, theirs.askWhy]).toEqual([undefined, undefined])
    talk.role = 'technician'
    expect((await talk.send({ type: 'close' })).of('noted').toDo).toBeUndefined()
  })
})
