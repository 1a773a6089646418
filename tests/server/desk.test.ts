import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import canonicalize from 'canonicalize'
import Papa from 'papaparse'
import request from 'supertest'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { Conversation } from '../../rules/conversation/types.ts'
import { clientMessage, type ServerMessage, serverMessage } from '../../rules/protocol/index.ts'
import { transcript } from '../../rules/protocol/transcript.ts'
import { loadConversation } from '../../server/knowledge/conversation.ts'
import { realOutside } from '../../server/outside.ts'
import { eraseOld } from '../../server/shop/erase.ts'
import { openStore } from '../../server/store/open.ts'
import { as, staff } from './api.ts'
import { type Harness, removeFolders, startHarness } from './harness.ts'
import { one, Screen } from './screen.ts'

let conversation: Conversation
beforeAll(async () => {
  conversation = (await loadConversation()).conversation!
})
const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})
afterAll(removeFolders)

async function start(ahead = { minutes: 0 }) {
  const outside = { ...realOutside, now: () => new Date(Date.now() + ahead.minutes * 60_000).toISOString() }
  const server = await startHarness({ conversation, outside })
  ends.push(() => server.stop())
  return { server, ...(await staff(server)) }
}
async function screen(server: Harness) {
  const made = await Screen.connect(server.port)
  ends.push(() => made.close())
  return made
}
const story = (file: string) =>
  transcript.parse(JSON.parse(readFileSync(new URL(`../../transcripts-demo/${file}.json`, import.meta.url), 'utf8')))

const refused = (messages: readonly ServerMessage[]) => messages.find((m) => m.type === 'refused')
const work = (messages: readonly ServerMessage[]) => one(messages, 'noted').work!

/** The first demo conversation up to its proof: contactor 4 replaced. */
async function repairedCar(server: Harness, technicianPass: string, tag = '12') {
  const customer = await screen(server)
  const technician = await screen(server)
  const s = story('01-jerks-on-the-pedal')
  const opened = await customer.open({ tag, facts: s.facts })
  await technician.open({ pass: technicianPass, code: opened.code })
  for (const step of s.steps.slice(0, -2)) {
    await (step.from === 'customer' ? customer : technician).ask(step.send as Parameters<Screen['ask']>[0])
  }
  return { customer, technician, opened }
}
const ALL_DONE = ['torque', 'bridges-out', 'leads-back', 'brake-test', 'road-test'] as const

describe('from the counter to the signed work order', () => {
  it('contact, approval, root cause, hand-back, sign-off: on record, shown, and refused out of order', async () => {
    const { server, technician: sam, asTechnician } = await start()
    const { customer, technician, opened } = await repairedCar(server, sam.pass)
    const left = await customer.ask({ type: 'contact', name: 'Robin at the boathouse', phone: '555-0117' })
    expect(work(left).contact).toEqual({ name: 'Robin at the boathouse', phone: '555-0117' })
    await customer.ask({ type: 'contact', name: 'Robin', phone: '555-0118' })
    const agreed = await technician.ask({
      type: 'approve',
      remedies: ['replace-contactor-4'],
      upTo: 180.5,
      way: 'by-phone',
      who: 'Robin, before noon',
    })
    // The story has its own yes; a later one to the same work takes its place.
    expect(work(agreed).approved.slice(-1)).toMatchObject([
      { upTo: 180.5, way: 'by-phone', by: 'technician', who: sam.id, text: 'Robin, before noon' },
    ])
    const no = await customer.ask({ type: 'decline', remedies: ['replace-main-contactor'] })
    expect(work(no).declined).toMatchObject([{ by: 'customer', remedies: [{ remedy: 'replace-main-contactor' }] }])

    expect(refused(await technician.ask({ type: 'sign-off', charged: 150 }))).toMatchObject({ code: 'not-handed-back' })
    const roots = conversation.catalogue().rootCauses
    await technician.ask({ type: 'root-cause', root: roots[0]!.id, found: 'no', text: 'diode sound' })
    await technician.ask({ type: 'car-state', state: { lifted: ['contactor-4'] } })
    const tooSoon = await technician.ask({ type: 'hand-back', items: [{ item: 'leads-back', result: 'done' }] })
    expect(refused(tooSoon)).toMatchObject({ code: 'leads-lifted', field: 'items' })
    await technician.ask({ type: 'car-state', state: { lifted: [] } })
    const most = await technician.ask({
      type: 'hand-back',
      items: ALL_DONE.map((item) => ({
        item,
        result: 'done' as const,
        ...(item === 'torque' ? { text: '7 Nm' } : {}),
      })),
    })
    expect(work(most).handBack.map((i) => [i.item, i.result])).toEqual([
      ...ALL_DONE.map((item) => [item, 'done']),
      ['charge-cycle', undefined],
    ])
    const notYet = refused(await technician.ask({ type: 'sign-off' }))
    expect(notYet).toMatchObject({ code: 'not-handed-back' })
    await technician.ask({ type: 'hand-back', items: [{ item: 'charge-cycle', result: 'not-needed' }] })
    expect(refused(await technician.ask({ type: 'sign-off', charged: 180.51 }))).toMatchObject({
      code: 'over-approved',
      field: 'charged',
    })
    const signed = await technician.ask({ type: 'sign-off', charged: 174.2, text: 'ready at the gate' })
    expect(work(signed).signedOff).toMatchObject({ by: 'technician', who: sam.id, charged: 174.2 })
    // A bridge put in after that, were it so, undoes it; a repair does too.
    const unasked = refused(await technician.ask({ type: 'repaired', remedy: 'replace-contactor-5' }))
    expect(unasked).toMatchObject({ code: 'not-approved', field: 'remedy' })
    const five = await technician.ask({
      type: 'approve',
      remedies: ['replace-contactor-5'],
      upTo: 0,
      way: 'in-person',
      who: 'on the house',
    })
    for (const { root } of (one(five, 'noted').toDo ?? []).filter((x) => x.what === 'root-cause')) {
      await technician.ask({ type: 'root-cause', root: root!, found: 'not-looked' })
    }
    const again = await technician.ask({ type: 'repaired', remedy: 'replace-contactor-5' })
    expect(work(again).signedOff).toBeUndefined()
    expect(work(again).handBack.every((i) => i.result === undefined)).toBe(true)
    expect(refused(await technician.ask({ type: 'sign-off' }))).toMatchObject({ code: 'not-proved' })

    const got = await asTechnician.get(`/cases/${opened.case}`).expect(200)
    for (const message of got.body.view) serverMessage.parse(message)
    expect(got.body.listed).toMatchObject({
      code: opened.code,
      tag: '12',
      complaints: [{ id: 'jerks-on-acceleration' }],
      causes: [{ id: 'contactor-4.contacts-open' }],
      repaired: [{ remedy: 'replace-contactor-4' }, { remedy: 'replace-contactor-5' }],
      approvedUpTo: 180.5,
    })
    expect(got.body.people).toEqual({ [sam.id]: 'sam' })
    expect(got.body.acknowledged.map((a: { caution: string }) => a.caution)).toContain('live-pack')
    // The first phone was replaced: it is nowhere any more.
    const file = await asTechnician.get(`/cases/${opened.case}/export`).expect(200)
    expect(file.text).toContain('555-0118')
    expect(file.text).not.toContain('555-0117')
    expect(file.text).not.toMatch(/"sam"/)
  })

  it.each([
    ['pick', { type: 'pick', check: 'try-brake' }],
    ['repaired', { type: 'repaired', remedy: 'replace-contactor-4' }],
    ['close', { type: 'close' }],
    ['car-state', { type: 'car-state', state: { key: 'on' } }],
    ['root-cause', { type: 'root-cause', root: 'x', found: 'no' }],
    ['hand-back', { type: 'hand-back', items: [{ item: 'torque', result: 'done' }] }],
    ['sign-off', { type: 'sign-off' }],
    ['meter', { type: 'meter' }],
  ] as const)('"%s" is not for customers, over the socket and over HTTP', async (_type, message) => {
    const server = await startHarness({ conversation })
    ends.push(() => server.stop())
    const customer = await screen(server)
    const opened = await customer.open({})
    expect(refused(await customer.ask(message as Parameters<Screen['ask']>[0]))).toMatchObject({
      code: 'not-your-role',
    })
    const http = await request(server.base)
      .post(`/api/cases/${opened.case}/messages`)
      .set('Authorization', `Bearer ${opened.pass}`)
      .send({ v: 1, id: 'over-http', ...message })
    expect(http.status).toBe(403)
  })

  it('every message of the protocol is either a customer’s too, or refused to one above', () => {
    const types = clientMessage.options.map((o) => o.shape.type.value).sort()
    const own = [
      'open',
      'facts',
      'say',
      'answer',
      'retract',
      'why',
      'acknowledge',
      'tell',
      'contact',
      'approve',
      'decline',
    ]
    const notTheirs = ['pick', 'repaired', 'close', 'car-state', 'root-cause', 'hand-back', 'sign-off', 'meter']
    expect(types).toEqual([...own, ...notTheirs].sort())
  })

  it('amounts, phones and remedies that can not be are refused, and say what to do', async () => {
    const { server, technician: sam } = await start()
    const technician = await screen(server)
    await technician.open({ pass: sam.pass })
    const bad = async (message: object) => {
      const [reply] = await technician.ask(message as Parameters<Screen['ask']>[0])
      return reply
    }
    expect(await bad({ type: 'approve', remedies: ['nope'], upTo: 1, way: 'by-phone' })).toMatchObject({
      type: 'refused',
      code: 'unknown-remedy',
      field: 'remedies[0]',
    })
    expect(await bad({ type: 'approve', remedies: ['replace-contactor-4'], upTo: -1, way: 'by-phone' })).toMatchObject({
      type: 'error',
      code: 'invalid',
      field: 'upTo',
    })
    expect(await bad({ type: 'contact', phone: 'call me' })).toMatchObject({ type: 'error', field: 'phone' })
    expect(await bad({ type: 'root-cause', root: 'nope', found: 'no' })).toMatchObject({ code: 'unknown-root-cause' })
  })
})

describe('the desk', () => {
  it('finds cases by tag, code, complaint and cause, counts them, and links a car that came back', async () => {
    const ahead = { minutes: 0 }
    const { server, technician: sam, asDealer, asTechnician } = await start(ahead)
    const first = await repairedCar(server, sam.pass, 'Car 12')
    ahead.minutes = 60 * 24 * 30
    // The session is over by then: another one.
    const again = await as(server).post('/sign-in', { login: 'sam', password: 'larch lake 42' }).expect(200)
    const dana = await as(server).post('/sign-in', { login: 'dana', password: 'larch lake 42' }).expect(200)
    const desk = as(server, dana.body.pass)
    const back = await screen(server)
    const opened = await back.open({ pass: again.body.pass, tag: 'car-12', facts: { drive: 'resistor-contactor' } })
    expect(opened.earlier).toMatchObject([{ case: first.opened.case, causes: ['contactor-4.contacts-open'] }])
    await back.ask({ type: 'say', complaints: ['brakes-drag'] })
    // A customer of the same car is not told who had it before.
    expect((await (await screen(server)).open({ tag: 'CAR 12' })).earlier).toBeUndefined()

    const find = async (query: string) =>
      (await desk.get(`/cases?${query}`).expect(200)).body.cases.map((c: { code: string }) => c.code)
    expect(await find('tag=12')).toHaveLength(3)
    expect(await find(`code=${first.opened.code.replace('-', '').toLowerCase()}`)).toEqual([first.opened.code])
    expect(await find('complaint=brakes-drag')).toEqual([opened.code])
    expect(await find('cause=contactor-4.contacts-open')).toEqual([first.opened.code])
    expect(await find('cause=other')).toEqual([])
    expect(await find('status=closed')).toEqual([])
    expect(await find('limit=1&offset=1')).toHaveLength(1)
    const month = new Date(Date.now() + 20 * 86_400_000).toISOString().slice(0, 10)
    expect(await find(`to=${month}`)).toEqual([first.opened.code])

    const counts = (await desk.get('/counts').expect(200)).body
    expect(counts).toMatchObject({
      cases: 3,
      open: 3,
      closed: 0,
      cameBack: 2,
      byCause: [{ id: 'contactor-4.contacts-open', count: 1 }],
      minutesToFinding: { cases: 1 },
    })
    expect(counts.byCause[0].name).not.toBe('contactor-4.contacts-open')
    const detail = (await desk.get(`/cases/${opened.case}`).expect(200)).body
    expect(detail.earlier.map((c: { code: string }) => c.code)).toEqual([first.opened.code])

    const csv = await desk.get('/cases.csv').expect(200)
    expect(csv.headers['content-type']).toMatch(/^text\/csv/)
    const rows = Papa.parse<Record<string, string>>(csv.text, { header: true, skipEmptyLines: true })
    expect(rows.errors).toEqual([])
    expect(rows.data).toHaveLength(3)
    expect(rows.data.find((r) => r.code === first.opened.code)).toMatchObject({
      car: 'Car 12',
      complaints: 'jerks-on-acceleration',
      causes: 'contactor-4.contacts-open',
      repaired: 'replace-contactor-4',
      earlier_visits: '0',
    })
    // The old sessions are over.
    await asDealer.get('/cases').expect(401)
    await asTechnician.get('/cases').expect(401)
  })

  it('every route is for its roles only', async () => {
    const { server, dealer, technician } = await start()
    const customer = await (await screen(server)).open({})
    const { paths } = (await request(server.base).get('/api/openapi.json').expect(200)).body as {
      paths: Record<string, Record<string, { 'x-roles'?: string[] }>>
    }
    const passes: Record<string, string | undefined> = {
      nobody: undefined,
      customer: customer.pass!,
      technician: technician.pass,
      dealer: dealer.pass,
    }
    let tried = 0
    for (const [path, methods] of Object.entries(paths)) {
      for (const [method, { 'x-roles': roles }] of Object.entries(methods)) {
        if (!roles) continue
        for (const [who, pass] of Object.entries(passes)) {
          if (roles.includes(who)) continue
          const filled = path.replace('{case}', customer.case).replace('{person}', technician.id)
          const asked = request(server.base)[method as 'get'](filled)
          if (pass !== undefined) asked.set('Authorization', `Bearer ${pass}`)
          const { status, body } = await asked
          tried++
          expect([who, method, path, status]).toEqual([who, method, path, pass === undefined ? 401 : 403])
          expect(body.error.mend).toBeTruthy()
        }
      }
    }
    expect(tried).toBeGreaterThan(40)
  })

  it('names what it knows in the language that is asked for, English without; the exported case is the same', async () => {
    const { server, technician: sam, asDealer } = await start()
    const { opened } = await repairedCar(server, sam.pass)
    const said = async (language?: string) => {
      const get = async (path: string) => {
        const asked = asDealer.get(path)
        if (language !== undefined) asked.set('Accept-Language', language)
        return (await asked.expect(200)).body
      }
      const { cases } = await get('/cases')
      const counts = await get('/counts')
      const one = await get(`/cases/${opened.case}`)
      const trail = (one.view as ServerMessage[]).find((m) => m.type === 'noted')!.trail
      const hazards = one.acknowledged.map((a: { hazard: string }) => a.hazard)
      return {
        catalogue: await get('/catalogue'),
        names: [
          cases[0].complaints[0].name,
          cases[0].causes[0].name,
          cases[0].repaired[0].name,
          counts.byCause[0].name,
          counts.byComplaint[0].name,
          one.listed.causes[0].name,
          ...one.car.map((f: { name: string }) => f.name),
          ...hazards,
          ...one.repairs.flatMap((r: { name: string; steps: string[] }) => [r.name, ...r.steps]),
          ...one.sheet.map((line: { title: string }) => line.title),
          ...trail.map((item) => item.question),
        ] as string[],
        ids: cases[0].causes.map((c: { id: string }) => c.id),
        file: JSON.stringify(await get(`/cases/${opened.case}/export`)),
      }
    }
    const plain = await said()
    const spanish = await said('es-MX')
    expect(plain.catalogue).toEqual(conversation.catalogue('en'))
    expect(spanish.catalogue).toEqual(conversation.catalogue('es'))
    expect(plain.names.slice(0, 3)).toEqual([
      'Jerks on acceleration',
      'Contactor 4: contacts do not carry',
      'Replace contactor 4',
    ])
    expect(spanish.names).toHaveLength(plain.names.length)
    expect(spanish.names.length).toBeGreaterThan(20)
    expect(spanish.names.filter((name) => plain.names.includes(name))).toEqual([])
    expect(await said('fr')).toEqual(plain)
    expect(spanish.ids).toEqual(plain.ids)
    expect(spanish.file).toBe(plain.file)
  })

  it('settings change, one at a time, and bad ones say so', async () => {
    const { server, asDealer } = await start()
    const changed = await asDealer
      .patch('/settings', {
        name: 'Garage by the lake',
        colour: '#225588',
        currency: 'EUR',
        ratePerHour: 72.5,
        origins: ['https://larch-lake.example'],
      })
      .expect(200)
    expect(changed.body).toMatchObject({ name: 'Garage by the lake', phone: '555-0142', ratePerHour: 72.5 })
    expect((await asDealer.patch('/settings', { phone: null }).expect(200)).body.phone).toBeUndefined()
    for (const [bad, field] of [
      [{ colour: 'blue' }, 'colour'],
      [{ currency: 'EURO' }, 'currency'],
      [{ ratePerHour: 0 }, 'ratePerHour'],
      [{ origins: ['larch-lake.example'] }, 'origins[0]'],
      [{ retentionDays: 0.5 }, 'retentionDays'],
      [{ name: '' }, 'name'],
    ] as const) {
      const { body } = await asDealer.patch('/settings', bad).expect(400)
      expect(body.error).toMatchObject({ code: 'invalid', field })
    }
    await asDealer.patch('/settings', { owner: 'x' }).expect(400)
    const about = await as(server).get('/about').expect(200)
    expect(about.body).toEqual({
      id: 'demo',
      name: 'Garage by the lake',
      hours: 'Monday to Saturday, 8 to 5',
      colour: '#225588',
    })
    // A page of the origin that was allowed is let in at once.
    await Screen.connect(server.port, { origin: 'https://larch-lake.example' }).then((s) => s.close())
  })
})

describe('the price book', () => {
  it('is taken as a whole, priced into the estimate and the finding, and taken back', async () => {
    const { server, technician: sam, asDealer } = await start()
    const template = await asDealer.get('/price-book.csv').expect(200)
    const rows = Papa.parse<Record<string, string>>(template.text, { header: true, skipEmptyLines: true }).data
    const { remedies } = conversation.catalogue()
    expect(rows.map((r) => r.remedy)).toEqual(remedies.map((r) => r.id))
    const put = await asDealer
      .put('/price-book', 'remedy;part;price\nreplace-contactor-4;"C4; heavy";88,40\n')
      .expect(200)
    expect(put.body).toMatchObject({ version: 1, lines: 1 })
    expect(put.body.notPriced).toHaveLength(remedies.length - 1)
    await asDealer.patch('/settings', { ratePerHour: 60, currency: 'EUR' })

    const s = story('01-jerks-on-the-pedal')
    const technician = await screen(server)
    await technician.open({ pass: sam.pass, facts: { ...s.facts, cells: 'flooded-lead' } })
    let last: ServerMessage[] = []
    for (const step of s.steps.slice(0, -4)) last = await technician.ask(step.send as Parameters<Screen['ask']>[0])
    const finding = one(last, 'finding').finding!
    expect(finding.remedy).toMatchObject({ id: 'replace-contactor-4', low: 88.4, high: 88.4 })
    const { estimate } = one(last, 'standing')
    const minutes = remedies.find((r) => r.id === 'replace-contactor-4')!.minutes
    // At 60 an hour the minutes are the money; shown to the nearest five.
    expect(estimate.likely).toBe(Math.round((minutes + 88.4) / 5) * 5)
    expect(estimate.currency).toBe('EUR')
    expect(estimate.low).toBeLessThanOrEqual(estimate.likely)
    expect(estimate.likely).toBeLessThanOrEqual(estimate.high)

    await asDealer.put('/price-book', 'remedy,price\nreplace-contactor-4,99\n').expect(200)
    expect((await asDealer.delete('/price-book').expect(200)).body.book.lines).toEqual([
      { remedy: 'replace-contactor-4', part: 'C4; heavy', price: 88.4 },
    ])
    expect((await asDealer.delete('/price-book').expect(200)).body.book).toBeNull()
    await asDealer.delete('/price-book').expect(404)
  })

  it('downloaded in Spanish it is taken back, and says what the English one says to whoever reads English', async () => {
    const { asDealer } = await start()
    const remedies = { en: conversation.catalogue('en').remedies, es: conversation.catalogue('es').remedies }
    const partIn = (language: 'en' | 'es') => remedies[language].find((r) => r.id === 'replace-control-fuse')!.part
    const download = async (language: string) =>
      Papa.parse<Record<string, string>>(
        (await asDealer.get('/price-book.csv').set('Accept-Language', language).expect(200)).text,
        { header: true, skipEmptyLines: true },
      )
    for (const language of ['es', 'en'] as const) {
      const { data, meta } = await download(language)
      expect(meta.fields).toEqual(['remedy', 'part', 'price'])
      expect(data.map((row) => [row.remedy, row.part])).toEqual(remedies[language].map((r) => [r.id, r.part]))
      const priced = data.map((row) => ({
        ...row,
        ...(row.remedy === 'replace-contactor-5' ? { part: 'C5; heavy' } : {}),
        price: '12,50',
      }))
      const took = await asDealer.put('/price-book', Papa.unparse(priced, { delimiter: ';' })).expect(200)
      expect(took.body).toMatchObject({ lines: data.length, notPriced: [] })
      // What the shop wrote itself stays; what it was only given to fill in is read in each reader's language.
      expect((await asDealer.get('/price-book')).body.book.lines).toEqual(
        data.map(({ remedy }) => ({
          remedy,
          price: 12.5,
          ...(remedy === 'replace-contactor-5' ? { part: 'C5; heavy' } : {}),
        })),
      )
      for (const read of ['en', 'es'] as const) {
        const parts = new Map((await download(read)).data.map((row) => [row.remedy, row.part]))
        expect(parts.get('replace-control-fuse')).toBe(partIn(read))
        expect(parts.get('replace-contactor-5')).toBe('C5; heavy')
      }
      await asDealer.delete('/price-book').expect(200)
    }
    expect(partIn('es')).not.toBe(partIn('en'))
  })

  it('with bad lines every one is named, and nothing is taken', async () => {
    const { asDealer } = await start()
    await asDealer.put('/price-book', 'remedy,price\nreplace-contactor-4,50\n').expect(200)
    const bad = [
      'remedy,part,price',
      'replace-contactor-4,,12.50',
      'replace-contactor-44,,12.50',
      'replace-contactor-4,,13',
      'replace-contactor-5,,dear',
      'replace-contactor-3,,-2',
      'replace-contactor-2,,"1.250"',
      'replace-main-contactor,x',
    ].join('\r\n')
    const { body } = await asDealer.put('/price-book', bad).expect(400)
    expect(body.error.problems.map((p: { line: number; column?: string }) => [p.line, p.column])).toEqual([
      [3, 'remedy'],
      [4, 'remedy'],
      [5, 'price'],
      [6, 'price'],
      [7, 'price'],
      [8, undefined],
    ])
    for (const p of body.error.problems) expect(p.mend.length).toBeGreaterThan(5)
    for (const [text, what] of [
      ['', /no column "remedy"/],
      ['a,b\n1,2', /no column/],
      ['remedy,price,colour\nx,1,red', /"colour" is not a column/],
      ['remedy,price\n"replace', /quotes/],
      ['remedy,price\n', /No line/],
    ] as const) {
      const wrong = await asDealer.put('/price-book', text).expect(400)
      expect(wrong.body.error.problems.map((p: { what: string }) => p.what).join()).toMatch(what)
    }
    await asDealer.put('/price-book', 'x'.repeat(1024 * 1024 + 1)).expect(413)
    expect((await asDealer.get('/price-book')).body.book.lines).toEqual([{ remedy: 'replace-contactor-4', price: 50 }])
  })
})

describe('pictures', () => {
  // The smallest whole PNG: one pixel.
  const PNG = Buffer.from(
    'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
    'base64',
  )
  const put = (server: Harness, id: string, pass: string | undefined, bytes: Buffer, query = 'id=p1') => {
    const post = request(server.base).post(`/api/cases/${id}/photos?${query}`).set('Content-Type', 'image/png')
    if (pass !== undefined) post.set('Authorization', `Bearer ${pass}`)
    return post.send(bytes)
  }

  it('at intake: kept, shown to every screen, in the export, erased with the words', async () => {
    const { server, technician: sam, asDealer } = await start()
    const customer = await screen(server)
    const opened = await customer.open({})
    const bench = await screen(server)
    await bench.open({ pass: sam.pass, code: opened.code })
    const made = await put(server, opened.case, opened.pass, PNG, 'id=p1&text=left%20side').expect(200)
    const noted = await bench.until((m) => m.type === 'noted' && m.photos !== undefined, 'the picture')
    expect(noted).toMatchObject({
      photos: [{ photo: made.body.photo, media: 'image/png', bytes: PNG.length, text: 'left side', by: 'customer' }],
    })
    // The same once more has the effect of once.
    expect((await put(server, opened.case, opened.pass, PNG, 'id=p1').expect(200)).body).toEqual(made.body)
    const at = `/api/cases/${opened.case}/photos/${made.body.photo}`
    const get = (pass: string) => request(server.base).get(at).set('Authorization', `Bearer ${pass}`)
    const got = await get(sam.pass).expect(200)
    expect(got.headers['content-type']).toBe('image/png')
    expect(Buffer.compare(got.body, PNG)).toBe(0)
    const other = await (await screen(server)).open({})
    await get(other.pass!).expect(404)

    const before = (await asDealer.get(`/cases/${opened.case}/export`)).text
    expect(JSON.parse(before).photos).toEqual({ [made.body.photo]: PNG.toString('base64') })
    await asDealer.post('/erase', { cases: [opened.case] }).expect(200)
    await get(sam.pass).expect(404)
    expect((await asDealer.get(`/cases/${opened.case}/export`)).text).not.toContain(PNG.toString('base64'))
    await asDealer.post('/cases/import', before).expect(200)
    expect((await asDealer.get(`/cases/${opened.case}/export`)).text).toBe(before)
    expect(Buffer.compare((await get(sam.pass).expect(200)).body, PNG)).toBe(0)
  })

  it('what is none, too large, too many, or for another’s case is refused', async () => {
    const { server } = await start()
    const customer = await screen(server)
    const opened = await customer.open({})
    const other = await (await screen(server)).open({})
    await put(server, opened.case, undefined, PNG).expect(401)
    await put(server, opened.case, other.pass, PNG).expect(404)
    await put(server, opened.case, opened.pass, PNG, '').expect(400)
    const no = await put(server, opened.case, opened.pass, Buffer.from('<svg onload="x"/>')).expect(400)
    expect(no.body.error.text).toBe('This is no picture.')
    const large = await put(server, opened.case, opened.pass, Buffer.alloc(3 * 1024 * 1024 + 1)).expect(413)
    expect(large.body.error.code).toBe('too-large')
    for (let i = 0; i < 12; i++) await put(server, opened.case, opened.pass, PNG, `id=n${i}`).expect(200)
    await put(server, opened.case, opened.pass, PNG, 'id=n12').expect(409)
  })
})

describe('the case record', () => {
  it('export, erase, import: the same case byte for byte', async () => {
    const { server, technician: sam, asDealer } = await start()
    const { customer, technician, opened } = await repairedCar(server, sam.pass)
    await customer.ask({ type: 'contact', name: 'Robin', phone: '555-0117' })
    // Every kind of event of the commercial side is in it, each with its words.
    const proof = story('01-jerks-on-the-pedal').steps.findLast((s) => s.send.type === 'answer')!
    for (const message of [
      { type: 'decline', remedies: ['replace-main-contactor'], who: 'Robin: not this year' },
      { type: 'root-cause', root: 'lug-loose', found: 'yes', text: 'blue with heat' },
      proof.send,
      {
        type: 'hand-back',
        items: [...ALL_DONE, 'charge-cycle'].map((item) => ({ item, result: 'done', text: `${item} ✓` })),
      },
      { type: 'sign-off', charged: 99.95, text: 'Ready at the gate' },
    ]) {
      one(await technician.ask(message as Parameters<Screen['ask']>[0]), 'noted')
    }
    await customer.ask({ type: 'tell', text: 'größer "als" Ω \u2028 und 日本' })
    const path = `/cases/${opened.case}`
    const before = (await asDealer.get(`${path}/export`).expect(200)).text
    const kinds = new Set((JSON.parse(before) as { events: { type: string }[] }).events.map((e) => e.type))
    expect([...kinds]).toEqual(
      expect.arrayContaining([
        'contact',
        'approved',
        'declined',
        'root-cause',
        'repaired',
        'handed-back',
        'signed-off',
      ]),
    )
    const view = (await asDealer.get(path).expect(200)).body.view
    // RFC 8785: its own writing of what was read is what was written.
    expect(canonicalize(JSON.parse(before))).toBe(before)

    // The customer's words alone.
    await asDealer.post('/erase', { phone: '(555) 01 17' }).expect(200, { erased: [opened.case], nothingLeft: [] })
    const bare = (await asDealer.get(`${path}/export`).expect(200)).text
    for (const gone of ['Robin', '555-0117', 'größer', 'blue with heat', 'torque ✓', 'Ready at the gate', 'it jerks']) {
      expect(before).toContain(gone)
      expect(bare).not.toContain(gone)
    }
    expect(JSON.parse(bare).events).toEqual(JSON.parse(before).events)
    await asDealer.post('/cases/import', before).expect(200)
    expect((await asDealer.get(`${path}/export`)).text).toBe(before)

    // The whole case.
    await asDealer.delete(path).expect(200)
    await asDealer.get(path).expect(404)
    expect(await customer.ask({ type: 'why' })).toMatchObject([{ type: 'error', code: 'no-such-case' }])
    await asDealer.post('/cases/import', before).expect(200)
    expect((await asDealer.get(`${path}/export`)).text).toBe(before)
    expect((await asDealer.get(path).expect(200)).body.view).toEqual(view)
    // And it goes on, at the bench.
    const bench = await screen(server)
    await bench.open({ pass: sam.pass, code: opened.code })
    expect(one(await bench.ask({ type: 'tell', text: 'and on' }), 'noted').notes).toHaveLength(2)
    // What has gone on since is not written over.
    await asDealer.post('/cases/import', before).expect(409)
  })

  it('its published schema takes every export, and nothing else', async () => {
    const { server, technician: sam, asDealer } = await start()
    const { opened } = await repairedCar(server, sam.pass)
    const schema = (await request(server.base).get('/api/schemas/case.json').expect(200)).body
    const committed = readFileSync(new URL('../../rules/record/case.schema.json', import.meta.url), 'utf8')
    expect(schema, 'npm run record:schema').toEqual(JSON.parse(committed))
    // A validator of its own, strict as to the schema itself.
    const validate = new Ajv2020({ strict: true, strictTypes: false, allErrors: true }).compile(schema)
    const file = JSON.parse((await asDealer.get(`/cases/${opened.case}/export`)).text)
    expect(validate(file), JSON.stringify(validate.errors)).toBe(true)
    expect(validate({ ...file, more: 1 })).toBe(false)
    expect(validate({ ...file, events: [{ ...file.events[0], type: 'invented' }] })).toBe(false)
    expect(validate({ ...file, events: [{ ...file.events[0], more: 1 }] })).toBe(false)
  })

  it('a file that was changed is refused, says where, and nothing of it is kept', async () => {
    const { server, technician: sam, asDealer } = await start()
    const { opened } = await repairedCar(server, sam.pass)
    const text = (await asDealer.get(`/cases/${opened.case}/export`)).text
    await asDealer.delete(`/cases/${opened.case}`).expect(200)
    const spoil = (change: (file: Record<string, never> & { events: Record<string, unknown>[] }) => void) => {
      const file = JSON.parse(text)
      change(file)
      return JSON.stringify(file)
    }
    for (const [spoilt, path] of [
      [text.slice(0, -5), '$'],
      ['[]', '$'],
      [spoil((f) => Object.assign(f, { version: 2 })), 'version'],
      [spoil((f) => f.events.splice(3, 1)), 'events[3].seq'],
      [spoil((f) => Object.assign(f.events[2]!, { extra: 1 })), 'events[2]'],
      [spoil((f) => Object.assign(f, { status: 'closed' })), 'status'],
      [spoil((f) => Object.assign(f, { tag: '13' })), 'tag'],
      [spoil((f) => Object.assign(f, { code: 'A1-111' })), 'code'],
      [spoil((f) => Object.assign(f, { words: { stray: 'x' } })), 'words.stray'],
    ] as const) {
      const { body } = await asDealer.post('/cases/import', spoilt).expect(400)
      expect(body.error.problems.map((p: { path: string }) => p.path)).toContain(path)
    }
    await asDealer
      .post(
        '/cases/import',
        spoil((f) => Object.assign(f, { shop: 'other' })),
      )
      .expect(400)
    expect((await asDealer.get('/cases')).body.total).toBe(0)
  })

  it('words are erased by themselves once they were kept long enough', async () => {
    const ahead = { minutes: 0 }
    const { server, asDealer } = await start(ahead)
    const customer = await screen(server)
    const opened = await customer.open({})
    await customer.ask({ type: 'tell', text: 'squeals' })
    await asDealer.patch('/settings', { retentionDays: 30 }).expect(200)
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    ends.push(() => store.close())
    const key = { shop: 'demo', case: opened.case }
    const in_ = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString()
    expect(await eraseOld(store, in_(29))).toBe(0)
    expect(Object.values((await store.load(key))!.words)).toEqual(['squeals'])
    expect(await eraseOld(store, in_(31))).toBe(1)
    expect((await store.load(key))!.words).toEqual({})
    expect((await store.load(key))!.events.map((e) => e.type)).toContain('told')
    expect(await store.erasures('demo')).toMatchObject([{ case: opened.case, who: 'retention', what: 'words' }])
  })

  it('erasing asks for something to go by', async () => {
    const { asDealer } = await start()
    await asDealer.post('/erase', {}).expect(400)
    await asDealer.post('/erase', { phone: '12' }).expect(400)
    await asDealer.post('/erase', { cases: ['nope'] }).expect(404)
    await asDealer.post('/erase', { name: 'Robin' }).expect(404)
  })
})
