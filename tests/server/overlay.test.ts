import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import type { SourceFile } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'
import { passId } from '../../server/cases/passes.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { KNOWLEDGE_FOLDER } from '../../server/knowledge/load.ts'
import { checkApart, laidOver, type OverlayCheck } from '../../server/knowledge/overlays.ts'
import { realOutside } from '../../server/outside.ts'
import { openStore } from '../../server/store/open.ts'
import { as, staff } from './api.ts'
import { fakeConversation } from './fake-conversation.ts'
import { type Harness, removeFolders, startHarness } from './harness.ts'
import { one, Screen } from './screen.ts'

const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})
afterAll(removeFolders)

async function start(options: Parameters<typeof startHarness>[0]): Promise<Harness> {
  const server = await startHarness(options)
  ends.push(() => server.stop())
  return server
}
async function screen(server: Harness) {
  const made = await Screen.connect(server.port)
  ends.push(() => made.close())
  return made
}
const realRemedy = JSON.parse(readFileSync(join(KNOWLEDGE_FOLDER, 'remedies/adjust-brake-cable.json'), 'utf8'))
const ownRemedy = { ...realRemedy, minutes: 33, text: { ...realRemedy.text, name: 'Set the brake cables our way' } }
const files = { 'remedies/adjust-brake-cable.json': ownRemedy }
const problem: Problem = { file: 'remedies/x.json', path: '$.minutes', what: 'less than 0', mend: 'Give minutes' }

/** The status of what is staged, once the check has come to its end. */
async function checked(desk: ReturnType<typeof as>) {
  for (;;) {
    const { staged } = (await desk.get('/overlay').expect(200)).body
    if (staged?.status !== 'checking') return staged
    await new Promise((resolve) => setTimeout(resolve, 20))
  }
}
/** A conversation whose hash says which files it was made of. */
const load = async (own: readonly SourceFile[] = []) => ({
  conversation: fakeConversation({ hash: `fake with ${own.length} of ${own[0]?.text.length ?? 0}` }),
  problems: [] as [],
})

describe("a shop's own knowledge", () => {
  it('is staged, checked, put in use for new cases, and taken back', async () => {
    const server = await start({ load, overlayCheck: async () => [] })
    const { asDealer } = await staff(server)
    const before = await (await screen(server)).open()
    await asDealer.put('/overlay', { files }).expect(200)
    expect((await checked(asDealer)).status).toBe('good')
    // Staged is not in use.
    expect((await (await screen(server)).open()).knowledge).toBe(before.knowledge)
    const live = await asDealer.post('/overlay/live').expect(200)
    expect(live.body).toMatchObject({ live: { version: 1, status: 'live', files }, staged: null, failing: [] })
    const first = await (await screen(server)).open()
    expect(first.knowledge).toMatch(/^fake with 1 of/)
    // A case that was open goes on with what it began with.
    const again = await (await screen(server)).ask({ type: 'open', pass: before.pass })
    expect(one(again, 'opened').knowledge).toBe(before.knowledge)

    await asDealer.put('/overlay', { files: { ...files, 'remedies/bleed-brakes.json': {} } }).expect(200)
    await checked(asDealer)
    await asDealer.post('/overlay/live').expect(200)
    expect((await (await screen(server)).open()).knowledge).toMatch(/^fake with 2 of/)
    await asDealer.delete('/overlay').expect(200)
    expect((await (await screen(server)).open()).knowledge).toBe(first.knowledge)
    await asDealer.delete('/overlay').expect(200)
    expect((await (await screen(server)).open()).knowledge).toBe(before.knowledge)
    await asDealer.delete('/overlay').expect(404)
  })

  it('that breaks a rule is never put in use; every problem is named', async () => {
    const server = await start({ load, overlayCheck: async () => [problem] })
    const { asDealer, asTechnician } = await staff(server)
    await asDealer.post('/overlay/live').expect(409)
    await asDealer.put('/overlay', { files }).expect(200)
    expect(await checked(asDealer)).toMatchObject({ status: 'bad', problems: [problem] })
    const no = await asDealer.post('/overlay/live').expect(409)
    expect(no.body.error.problems).toEqual([
      { path: 'remedies/x.json $.minutes', what: problem.what, mend: problem.mend },
    ])
    expect((await (await screen(server)).open()).knowledge).toMatch(/^fake with 0/)
    await asTechnician.put('/overlay', { files }).expect(403)
  })

  it('a check that came to no end says so in the language that is asked for; the linter speaks of JSON, in English', async () => {
    let killed = true
    const overlayCheck: OverlayCheck = async () => {
      if (killed) throw new Error('killed')
      return [problem]
    }
    const server = await start({ load, overlayCheck })
    const desk = as(server, server.dealerPass)
    const inSpanish = async () => {
      await desk.put('/overlay', { files }).expect(200)
      await checked(desk)
      return (await desk.get('/overlay').set('Accept-Language', 'es').expect(200)).body.staged.problems
    }
    expect(await inSpanish()).toMatchObject([{ what: 'La comprobación no llegó a su fin' }])
    killed = false
    expect(await inSpanish()).toEqual([problem])
  })

  it.each([
    'cautions/live-pack.json',
    'case-rules/x.json',
    'settings.json',
    'causes/../settings.json',
    'causes/x.txt',
    '/causes/x.json',
  ])('may not touch %s', async (path) => {
    const server = await start({ load, overlayCheck: async () => [] })
    await as(server, server.dealerPass)
      .put('/overlay', { files: { [path]: {} } })
      .expect(400)
  })

  it('a check that ends late says nothing of files that were staged since', async () => {
    const ends_: ((problems: Problem[]) => void)[] = []
    const overlayCheck: OverlayCheck = () => new Promise((resolve) => ends_.push(resolve))
    const server = await start({ load, overlayCheck })
    const desk = as(server, server.dealerPass)
    await desk.put('/overlay', { files }).expect(200)
    await desk.put('/overlay', { files: { 'causes/bad.json': {} } }).expect(200)
    ends_[0]!([])
    await new Promise((resolve) => setTimeout(resolve, 50))
    await desk.post('/overlay/live').expect(409)
    ends_[1]!([problem])
    expect((await checked(desk)).status).toBe('bad')
  })

  it('is in use again after a restart; what was being checked is checked again', async () => {
    const first = await startHarness({ load, overlayCheck: async () => [] })
    const desk = as(first, first.dealerPass)
    await desk.put('/overlay', { files }).expect(200)
    await checked(desk)
    await desk.post('/overlay/live').expect(200)
    await first.stop()
    const second = await startHarness({
      load,
      dataDir: first.dataDir,
      overlayCheck: () => new Promise(() => undefined),
    })
    await as(second, first.dealerPass)
      .put('/overlay', { files: { 'causes/a.json': {} } })
      .expect(200)
    expect((await (await screen(second)).open()).knowledge).toMatch(/^fake with 1 of/)
    await second.stop()
    const third = await start({ load, dataDir: first.dataDir, overlayCheck: async () => [problem] })
    expect((await checked(as(third, first.dealerPass))).status).toBe('bad')
  })

  it('that no longer fits the common knowledge is left out and says why; conversations go on', async () => {
    const first = await startHarness({ load, overlayCheck: async () => [] })
    const desk = as(first, first.dealerPass)
    await desk.put('/overlay', { files }).expect(200)
    await checked(desk)
    await desk.post('/overlay/live').expect(200)
    await first.stop()
    const failing = async (own: readonly SourceFile[] = []) =>
      own.length > 0 ? { problems: [problem] } : { conversation: fakeConversation(), problems: [] as [] }
    const server = await start({ load: failing, dataDir: first.dataDir })
    expect((await as(server, first.dealerPass).get('/overlay').expect(200)).body.failing).toEqual([problem])
    expect((await (await screen(server)).open()).knowledge).toBe('fake-1')
  })

  it('with the real knowledge: a remedy of its own is in the shop’s catalogue, and in no other shop’s', async () => {
    const server = await start({ load: (own) => loadConversation(undefined, own), overlayCheck: async () => [] })
    const { asDealer } = await staff(server)
    const name = async () =>
      (await asDealer.get('/catalogue').expect(200)).body.remedies.find(
        (r: { id: string }) => r.id === 'adjust-brake-cable',
      )
    expect(await name()).toMatchObject({ name: realRemedy.text.name, minutes: realRemedy.minutes })
    await asDealer.put('/overlay', { files }).expect(200)
    await checked(asDealer)
    await asDealer.post('/overlay/live').expect(200)
    expect(await name()).toMatchObject({ name: 'Set the brake cables our way', minutes: 33 })
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    await store.putShop({ id: 'boathouse', name: 'Boathouse', origins: [] })
    await store.addPass({ id: passId('boat-pass'), shop: 'boathouse', role: 'dealer' }, realOutside.now())
    await store.close()
    const theirs = (await as(server, 'boat-pass').get('/catalogue').expect(200)).body.remedies
    expect(theirs.find((r: { id: string }) => r.id === 'adjust-brake-cable').name).toBe(realRemedy.text.name)
  })

  it('the linter in a process of its own names what is wrong', async () => {
    const wrong = [
      { path: 'remedies/adjust-brake-cable.json', text: JSON.stringify({ ...ownRemedy, minutes: -1 }) },
      { path: 'causes/nonsense.json', text: '{"id": 7}' },
    ]
    const problems = await checkApart(wrong)
    expect(problems.map((p) => p.file)).toContain('remedies/adjust-brake-cable.json')
    expect(problems.map((p) => p.file)).toContain('causes/nonsense.json')
    for (const p of problems) expect(p.mend.length).toBeGreaterThan(3)
  })

  it('a cause of its own that its circuit contradicts is named, at the checks that it touches and nowhere else', async () => {
    const path = 'causes/key-switch.open.json'
    const cause = JSON.parse(readFileSync(join(KNOWLEDGE_FOLDER, path), 'utf8'))
    const effects = cause.effects.map((e: { observable: string }) =>
      e.observable === 'coil-negative.contactor-3' ? { ...e, states: { lit: 'certain' } } : e,
    )
    const problems = await checkApart([{ path, text: JSON.stringify({ ...cause, effects }) }])
    expect(problems.map((p) => p.file)).toEqual(problems.map(() => path))
    expect(problems.filter((p) => p.what.includes('by the circuit')).length).toBeGreaterThan(0)
    for (const p of problems) expect(p.what).toMatch(/contactor-3.*shows "dark" by the circuit, "lit" by the rules/)
    // Only touched, not changed in what it says: nothing against it.
    const text = JSON.stringify({ ...cause, text: { ...cause.text, plain: 'The key switch does not make' } })
    expect(await checkApart([{ path, text }])).toEqual([])
  })

  it('lies over the common files: one of the same path is replaced, the rest stay', () => {
    const base = [
      { path: 'a.json', text: '1' },
      { path: 'c.json', text: '3' },
    ]
    expect(
      laidOver(base, [
        { path: 'b.json', text: '2' },
        { path: 'c.json', text: 'own' },
      ]),
    ).toEqual([
      { path: 'a.json', text: '1' },
      { path: 'b.json', text: '2' },
      { path: 'c.json', text: 'own' },
    ])
    expect(laidOver(base, [])).toEqual(base)
  })
})
