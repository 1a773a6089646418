import { verify } from '@node-rs/argon2'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { readConfig } from '../../server/config.ts'
import { realOutside } from '../../server/outside.ts'
import { ARGON2, FAILURES, LOCKED_MINUTES, SESSION_HOURS } from '../../server/shop/people.ts'
import { openStore } from '../../server/store/open.ts'
import { as, PASSWORD, staff } from './api.ts'
import { type Harness, removeFolders, startHarness } from './harness.ts'
import { one, Screen } from './screen.ts'

const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})
afterAll(removeFolders)

/** A server whose clock the test moves on. */
async function start() {
  let ahead = 0
  const outside = { ...realOutside, now: () => new Date(Date.now() + ahead).toISOString() }
  const server = await startHarness({ outside })
  ends.push(() => server.stop())
  return { server, pass: (minutes: number) => (ahead += minutes * 60_000) }
}
async function screen(server: Harness) {
  const made = await Screen.connect(server.port)
  ends.push(() => made.close())
  return made
}

describe('signing in', () => {
  it('gives a pass that opens cases and the desk, as who one is', async () => {
    const { server } = await start()
    const { technician, dealer, asTechnician } = await staff(server)
    const me = await asTechnician.get('/me').expect(200)
    expect(me.body).toMatchObject({ role: 'technician', name: 'sam', person: technician.id, shop: { id: 'demo' } })
    const at = await screen(server)
    expect((await at.open({ pass: technician.pass })).role).toBe('technician')
    expect((await (await screen(server)).open({ pass: dealer.pass })).role).toBe('dealer')
  })

  it.each([
    ['a wrong password', { login: 'sam', password: 'larch lake 43' }],
    ['a name that there is not', { login: 'robin', password: PASSWORD }],
    ['another name of the same password', { login: 'dan', password: PASSWORD }],
    ['nothing', { login: '', password: '' }],
  ])('%s: the same answer', async (_what, typed) => {
    const { server } = await start()
    await staff(server)
    const wrong = await as(server).post('/sign-in', typed).expect(401)
    expect(wrong.body).toEqual({
      error: {
        code: 'bad-pass',
        text: 'Name and password do not go together.',
        mend: 'Type both again, or ask the dealer.',
      },
    })
  })

  it.each(['sam', 'nobody-of-this-name'])('"%s" is locked after repeated failures, alike', async (login) => {
    const { server, pass } = await start()
    await staff(server)
    const typed = { login, password: 'wrong wrong wrong' }
    const said: number[] = []
    for (let i = 0; i < FAILURES + 1; i++) said.push((await as(server).post('/sign-in', typed)).status)
    expect(said).toEqual([...Array.from({ length: FAILURES - 1 }, () => 401), 429, 429])
    if (login !== 'sam') return
    // The right one does not get in either, until the time is over.
    await as(server).post('/sign-in', { login, password: PASSWORD }).expect(429)
    pass(LOCKED_MINUTES + 1)
    await as(server).post('/sign-in', { login, password: PASSWORD }).expect(200)
    await as(server).post('/sign-in', typed).expect(401)
  })

  it('a dealer unlocks by setting a new password, which ends every session', async () => {
    const { server } = await start()
    const { technician, asDealer, asTechnician } = await staff(server)
    for (let i = 0; i < FAILURES; i++) await as(server).post('/sign-in', { login: 'sam', password: 'x' })
    await asDealer.patch(`/people/${technician.id}`, { password: 'another one 7' }).expect(200)
    await asTechnician.get('/me').expect(401)
    await as(server).post('/sign-in', { login: 'sam', password: PASSWORD }).expect(401)
    await as(server).post('/sign-in', { login: 'sam', password: 'another one 7' }).expect(200)
  })

  it('a session ends by itself after a working day; the screen is told, and nothing is taken', async () => {
    const { server, pass } = await start()
    const { technician, asTechnician } = await staff(server)
    const at = await screen(server)
    await at.open({ pass: technician.pass })
    pass(SESSION_HOURS * 60 + 1)
    const [refused] = await at.ask({ type: 'answer', answers: [{ check: 'check-1' }] })
    expect(refused).toMatchObject({ type: 'error', code: 'bad-pass', field: 'pass' })
    await asTechnician.get('/me').expect(401)
    expect(await (await screen(server)).ask({ type: 'open', pass: technician.pass })).toMatchObject([
      { type: 'error', code: 'bad-pass' },
    ])
  })

  it('signing out ends it at once, also for a screen that follows a case', async () => {
    const { server } = await start()
    const { technician, asTechnician } = await staff(server)
    const customer = await screen(server)
    const opened = await customer.open()
    const bench = await screen(server)
    await bench.open({ pass: technician.pass, code: opened.code })
    await asTechnician.post('/sign-out').expect(200)
    await asTechnician.get('/me').expect(401)
    await customer.ask({ type: 'tell', text: 'not for everybody' })
    const told = await bench.until((m) => m.type === 'error', 'that it is over')
    expect(told).toMatchObject({ code: 'bad-pass' })
    expect(JSON.stringify(bench.received)).not.toContain('not for everybody')
  })

  it('changing the password keeps this session and no other', async () => {
    const { server } = await start()
    const { asTechnician } = await staff(server)
    const elsewhere = (await as(server).post('/sign-in', { login: 'sam', password: PASSWORD })).body.pass
    await asTechnician.post('/password', { old: 'wrong wrong', new: 'a newer one 8' }).expect(401)
    const short = await asTechnician.post('/password', { old: PASSWORD, new: 'short' }).expect(400)
    expect(short.body.error).toMatchObject({
      field: 'new',
      text: '"new" is too short.',
      mend: 'Write at least 10 characters.',
    })
    const changed = await asTechnician.post('/password', { old: PASSWORD, new: 'a newer one 8' }).expect(200)
    await as(server, elsewhere).get('/me').expect(401)
    await as(server, changed.body.pass).get('/me').expect(200)
  })

  it('somebody who leaves signs in no more; the record keeps the name; one dealer stays', async () => {
    const { server } = await start()
    const { dealer, technician, asDealer, asTechnician } = await staff(server)
    await asDealer.patch(`/people/${technician.id}`, { left: true }).expect(200)
    await asTechnician.get('/me').expect(401)
    await as(server).post('/sign-in', { login: 'sam', password: PASSWORD }).expect(401)
    expect((await asDealer.get('/people')).body.people).toHaveLength(2)
    await asDealer.patch(`/people/${dealer.id}`, { left: true }).expect(409)
    await asDealer.patch(`/people/${dealer.id}`, { role: 'technician' }).expect(409)
    await asDealer.post('/people', { login: 'sam', name: 'x', role: 'technician', password: PASSWORD }).expect(409)
  })

  it('sign-in links can be ended together', async () => {
    const { server } = await start()
    const { asDealer } = await staff(server)
    await as(server, server.pass).get('/me').expect(200)
    await asDealer.post('/links/end').expect(200)
    await as(server, server.pass).get('/me').expect(401)
    await as(server, server.dealerPass).get('/me').expect(401)
    await asDealer.get('/me').expect(200)
  })

  it('passwords and passes are kept as hashes only, argon2id as recommended', async () => {
    const { server } = await start()
    const { technician } = await staff(server)
    const store = await openStore(readConfig({ DATA_DIR: server.dataDir }), realOutside.now())
    const person = await store.personByLogin('demo', 'sam')
    const dump = JSON.stringify([
      await store.db.all('select * from people'),
      await store.db.all('select * from passes'),
    ])
    await store.close()
    expect(dump).not.toContain(PASSWORD)
    expect(dump).not.toContain(technician.pass)
    // OWASP Password Storage Cheat Sheet: argon2id with at least m=19456 (19 MiB), t=2, p=1.
    expect(person?.hash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/)
    expect(ARGON2.memoryCost).toBeGreaterThanOrEqual(19 * 1024)
  })

  it('argon2 is the one of its reference implementation', async () => {
    // test.c of the reference implementation (phc-winner-argon2), argon2id, v 0x13; from memory.
    const known = '$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc'
    expect(await verify(known, 'password')).toBe(true)
    expect(await verify(known, 'passwore')).toBe(false)
  })
})

describe('roles', () => {
  it('another shop’s dealer reaches nothing of this one', async () => {
    const { server } = await start()
    await staff(server)
    const store = await openStore(readConfig({ DATA_DIR: server.dataDir }), realOutside.now())
    await store.putShop({ id: 'boathouse', name: 'Boathouse', origins: [] })
    const { passId } = await import('../../server/cases/passes.ts')
    await store.addPass({ id: passId('boat-pass'), shop: 'boathouse', role: 'dealer' }, realOutside.now())
    await store.close()
    const theirs = one(await (await screen(server)).ask({ type: 'open' }), 'opened')
    const boat = as(server, 'boat-pass')
    expect((await boat.get('/cases').expect(200)).body).toEqual({ total: 0, cases: [] })
    expect((await boat.get('/people').expect(200)).body).toEqual({ people: [] })
    for (const path of [`/cases/${theirs.case}`, `/cases/${theirs.case}/export`]) await boat.get(path).expect(404)
    await boat.delete(`/cases/${theirs.case}`).expect(404)
    await boat.post('/erase', { cases: [theirs.case] }).expect(404)
    // Naming the other shop changes nothing: it is the pass's.
    expect((await boat.get('/settings?shop=demo').expect(200)).body.id).toBe('boathouse')
    // The names are each shop's own.
    await as(server).post('/sign-in?shop=boathouse', { login: 'sam', password: PASSWORD }).expect(401)
  })
})
