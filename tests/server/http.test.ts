import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import request from 'supertest'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { MAX_FRAME_BYTES, serverMessage } from '../../rules/protocol/index.ts'
import { realOutside } from '../../server/outside.ts'
import { openStore } from '../../server/store/open.ts'
import { type Harness, removeFolders, startHarness, temporaryFolder } from './harness.ts'
import { one, Screen } from './screen.ts'

const running: Harness[] = []
async function start(options: Parameters<typeof startHarness>[0] = {}) {
  const server = await startHarness(options)
  running.push(server)
  return server
}
afterEach(async () => {
  for (const server of running.splice(0)) await server.stop()
})
afterAll(removeFolders)

describe('the conversation over HTTP', () => {
  it('is the same as over the socket', async () => {
    const server = await start()
    const made = await request(server.base).post('/api/cases').send({ v: 1, id: 'a', type: 'open' }).expect(200)
    for (const reply of made.body.replies) serverMessage.parse(reply)
    const opened = one(made.body.replies, 'opened')
    const screen = await Screen.connect(server.port)
    await screen.open({ pass: opened.pass })

    const answer = { v: 1, id: 'b', type: 'answer', answers: [{ check: 'check-1', outcome: 'no' }] }
    const post = () =>
      request(server.base)
        .post(`/api/cases/${opened.case}/messages`)
        .set('Authorization', `Bearer ${opened.pass}`)
        .send(answer)
    const first = await post().expect(200)
    expect(one(first.body.replies, 'noted').trail).toHaveLength(1)
    await screen.until((m) => m.type === 'ask' && m.re === undefined, 'what came over HTTP')
    const again = await post().expect(200)
    expect(again.body).toEqual(first.body)
    screen.close()
  })

  it.each([
    ['no pass', 401, 'bad-pass', (r: request.Test) => r.send({ v: 1, id: 'x', type: 'why' })],
    [
      'a wrong pass',
      401,
      'bad-pass',
      (r: request.Test) => r.set('Authorization', 'Bearer nope').send({ v: 1, id: 'x', type: 'why' }),
    ],
    ['not JSON', 400, 'malformed', (r: request.Test) => r.set('Content-Type', 'application/json').send('{"v":')],
    ['nothing', 400, 'malformed', (r: request.Test) => r],
    ['a list', 400, 'malformed', (r: request.Test) => r.send([])],
    ['another version', 400, 'unknown-version', (r: request.Test) => r.send({ v: 2 })],
    ['an unknown type', 400, 'unknown-type', (r: request.Test) => r.send({ v: 1, id: 'x', type: 'y' })],
    ['too much', 413, 'too-large', (r: request.Test) => r.send({ text: 'x'.repeat(MAX_FRAME_BYTES) })],
    ['open in the wrong place', 400, 'invalid', (r: request.Test) => r.send({ v: 1, id: 'x', type: 'open' })],
  ])('%s: %i %s', async (_name, status, code, make) => {
    const server = await start()
    const made = await request(server.base).post('/api/cases').send({ v: 1, id: 'a', type: 'open' })
    const id = one(made.body.replies, 'opened').case
    const response = await make(request(server.base).post(`/api/cases/${id}/messages`))
    expect(response.status).toBe(status)
    expect(response.body.replies).toMatchObject([{ type: 'error', code }])
    serverMessage.parse(response.body.replies[0])
  })

  it("another's case is not there; a refusal is 409 or 403", async () => {
    const server = await start()
    const open = async () =>
      one((await request(server.base).post('/api/cases').send({ v: 1, id: '1', type: 'open' })).body.replies, 'opened')
    const mine = await open()
    const theirs = await open()
    const send = (id: string, body: object) =>
      request(server.base).post(`/api/cases/${id}/messages`).set('Authorization', `Bearer ${mine.pass}`).send(body)
    await send(theirs.case, { v: 1, id: 'x', type: 'why' }).expect(404)
    await send(`${mine.case}'%20or%201=1`, { v: 1, id: 'x', type: 'why' }).expect(404)
    await send(mine.case, { v: 1, id: 'x', type: 'retract', check: 'check-1' }).expect(409)
    await send(mine.case, { v: 1, id: 'y', type: 'repaired', remedy: 'r' }).expect(403)
    await request(server.base).post('/api/cases').send({ v: 1, id: 'z', type: 'why' }).expect(409)
    await request(server.base).post('/api/elsewhere').send({}).expect(404)
  })

  it('a page of elsewhere may not post', async () => {
    const server = await start()
    await request(server.base)
      .post('/api/cases')
      .set('Origin', 'https://elsewhere.example')
      .send({ v: 1, id: 'a', type: 'open' })
      .expect(401)
  })

  it('too many requests are turned away, health is not', async () => {
    const server = await start({ limits: { messages: 100, perSeconds: 1, newCases: 100, requests: 2 } })
    const code = async (path: string) => (await request(server.base).get(path)).status
    expect([await code('/api/openapi.json'), await code('/api/openapi.json')]).toEqual([200, 200])
    const over = await request(server.base).get('/api/openapi.json').expect(429)
    expect(over.body.replies).toMatchObject([{ type: 'error', code: 'too-many' }])
    // A page is many files: they are let through longer, and not for ever.
    for (let n = 2; n < 40; n++) expect(await code('/nothing')).toBe(404)
    expect(await code('/nothing')).toBe(429)
    await request(server.base).get('/healthz').expect(200)
  })
})

describe('what is refused is said in the language that is asked for', () => {
  const wrongName = (server: Harness, language?: string) => {
    const asked = request(server.base).post('/api/shop/sign-in')
    if (language !== undefined) asked.set('Accept-Language', language)
    return asked.send({ login: 'nobody', password: 'of this name' }).expect(401)
  }
  const english = 'Name and password do not go together.'
  const spanish = 'El nombre y la contraseña no se corresponden.'

  it.each([
    [undefined, english],
    ['', english],
    ['es', spanish],
    ['es-MX', spanish],
    ['fr, es;q=0.4', spanish],
    ['en-US, en;q=0.9, es;q=0.8', english],
    ['es;q=0.2, en;q=0.7', english],
    ['fr', english],
    ['*', english],
    [';;q=,,', english],
  ])('%s', async (language, text) => {
    const said = await wrongName(await start(), language)
    expect(said.body.error).toMatchObject({ code: 'bad-pass', text })
    expect(said.headers.vary).toContain('Accept-Language')
  })

  it('each line of a price book, with what was written in it, and where', async () => {
    const server = await start()
    const put = (language: string) =>
      request(server.base)
        .put('/api/shop/price-book')
        .set({
          Authorization: `Bearer ${server.dealerPass}`,
          'Content-Type': 'text/csv',
          'Accept-Language': language,
        })
        .send('remedy,price\nmagic-wand,12\n')
        .expect(400)
    const { error } = (await put('es')).body
    expect(error).toEqual({
      code: 'invalid',
      text: 'La lista de precios tiene 1 línea o columna mala; no se tomó nada de ella.',
      mend: 'Corrija lo que se indica y mande otra vez la lista entera.',
      problems: [
        {
          line: 2,
          column: 'remedy',
          what: 'No hay ningún remedio “magic-wand”',
          mend: 'Tome los identificadores de la lista de precios que se descarga aquí',
        },
      ],
    })
    expect((await put('en')).body.error.problems[0].what).toBe('There is no remedy "magic-wand"')
  })

  it('a field, a body that can not be read, a page that may not ask, too much at once', async () => {
    const server = await start({ limits: { messages: 100, perSeconds: 1, newCases: 100, requests: 5 } })
    const settings = () =>
      request(server.base)
        .patch('/api/shop/settings')
        .set({ Authorization: `Bearer ${server.dealerPass}`, 'Accept-Language': 'es' })
    expect((await settings().send({ retentionDays: 0 }).expect(400)).body.error).toEqual({
      code: 'invalid',
      field: 'retentionDays',
      text: '“retentionDays” es demasiado pequeño.',
      mend: 'Ponga 1 o más.',
    })
    expect((await settings().send({ colour: 'teal' }).expect(400)).body.error).toEqual({
      code: 'invalid',
      field: 'colour',
      text: '“colour” es "teal", y eso ahí no sirve.',
      mend: 'Escriba # y seis cifras o letras minúsculas de la a a la f, por ejemplo #225588.',
    })
    expect((await settings().set('Content-Encoding', 'none').send('x').expect(400)).body.error).toMatchObject({
      code: 'malformed',
      text: 'No se puede leer lo enviado.',
    })
    expect((await settings().set('Origin', 'https://elsewhere.example').send({}).expect(401)).body.error).toMatchObject(
      {
        code: 'bad-pass',
        text: 'Esta página no puede comunicarse con el servidor.',
      },
    )
    await settings().send({}).expect(200)
    const over = await settings().send({}).expect(429)
    expect(over.body.error).toMatchObject({ code: 'too-many', text: 'Demasiadas solicitudes en poco tiempo.' })
    expect(over.headers.vary).toContain('Accept-Language')
  })

  it('in the conversation too', async () => {
    const server = await start()
    const open = { v: 1, id: 'a', type: 'open', pass: server.pass, code: 'K9-999' }
    const said = await request(server.base).post('/api/cases').set('Accept-Language', 'es').send(open).expect(404)
    expect(said.body.replies).toMatchObject([{ type: 'error', text: 'Ningún caso tiene el código K9-999.' }])
  })
})

describe('pages', () => {
  function built() {
    const folder = temporaryFolder()
    mkdirSync(join(folder, 'assets'))
    writeFileSync(join(folder, 'index.html'), '<title>counter</title>')
    writeFileSync(join(folder, 'bench.html'), '<title>bench</title>')
    writeFileSync(join(folder, 'frame.html'), '<title>frame</title>')
    writeFileSync(join(folder, 'bench-lamp.js'), `export {}\n${'// a long script\n'.repeat(200)}`)
    writeFileSync(join(folder, 'assets/page-abc123.js'), 'export {}')
    writeFileSync(join(folder, '.secret'), 'no')
    return folder
  }

  it('are served: the pages fresh, hashed files for ever, the element to everybody', async () => {
    const server = await start({ pages: built() })
    const counter = await request(server.base).get('/').expect(200)
    expect(counter.text).toContain('counter')
    expect(counter.headers['cache-control']).toBe('no-cache')
    expect((await request(server.base).get('/bench').expect(200)).text).toContain('bench')
    const asset = await request(server.base).get('/assets/page-abc123.js').expect(200)
    expect(asset.headers['cache-control']).toContain('immutable')
    const element = await request(server.base).get('/bench-lamp.js').expect(200)
    expect(element.headers).toMatchObject({
      'cache-control': 'public, max-age=300',
      'access-control-allow-origin': '*',
      'cross-origin-resource-policy': 'cross-origin',
      'x-content-type-options': 'nosniff',
    })
    await request(server.base).get('/.secret').expect(404)
    await request(server.base).get('/../package.json').expect(404)
    await request(server.base).get('/%2e%2e/package.json').expect(404)
    await request(server.base)
      .get('/%')
      .expect((r) => expect(r.status).toBeLessThan(500))
  })

  it('may load only what is theirs, and be framed only where allowed', async () => {
    const server = await start({ pages: built(), env: { ORIGINS: 'https://larch-lake.example' } })
    const { headers } = await request(server.base).get('/')
    const policy = headers['content-security-policy']
    expect(policy).toContain("default-src 'self'")
    expect(policy).toContain("frame-ancestors 'self' https://larch-lake.example")
    expect(policy).not.toContain('upgrade-insecure-requests')
    expect(headers['x-powered-by']).toBeUndefined()
  })

  it('come compressed, to whoever takes it so', async () => {
    const server = await start({ pages: built() })
    for (const encoding of ['br', 'gzip']) {
      const script = await request(server.base).get('/bench-lamp.js').set('accept-encoding', encoding).expect(200)
      expect(script.headers).toMatchObject({ 'content-encoding': encoding, vary: expect.stringMatching(/encoding/i) })
    }
    const plain = await request(server.base).get('/bench-lamp.js').set('accept-encoding', 'identity').expect(200)
    expect(plain.headers['content-encoding']).toBeUndefined()
  })

  it('the page for frames is framed by pages that its shop allows; another is told in words which address to allow', async () => {
    const server = await start({ pages: built() })
    const store = await openStore({ database: 'sqlite', dataDir: server.dataDir }, realOutside.now())
    await store.putShop({ id: 'boathouse', name: 'Boathouse', origins: ['https://boathouse.example'] })
    await store.close()
    const from = (page: string, shop: string) =>
      request(server.base)
        .get(`/frame?shop=${shop}&lang=es`)
        .set({ 'sec-fetch-dest': 'iframe', referer: `${page}/prices` })
    const allowed = await from('https://boathouse.example', 'boathouse').expect(200)
    expect(allowed.text).toContain('frame')
    expect(allowed.headers['content-security-policy']).toContain("frame-ancestors 'self' https://boathouse.example")
    for (const [page, shop] of [
      ['https://elsewhere.example', 'boathouse'],
      ['https://boathouse.example', 'demo'],
    ] as const) {
      const other = await from(page, shop).expect(403)
      expect(other.text).toContain(`añada ${page}`)
      expect(other.headers['content-security-policy']).toMatch(/frame-ancestors \*(;|$)/)
    }
    // Where the browser keeps to itself which page asks, the policy decides.
    const silent = await request(server.base).get('/frame').set('sec-fetch-dest', 'iframe').expect(200)
    expect(silent.headers['content-security-policy']).toMatch(/frame-ancestors 'self'(;|$)/)
  })

  it('not built: the page says what to run, and the rest works', async () => {
    const server = await start({ pages: join(temporaryFolder(), 'nothing') })
    const page = await request(server.base).get('/').expect(503)
    expect(page.text).toContain('npm run build')
    await request(server.base).get('/healthz').expect(200)
  })

  it('health says which knowledge is in use', async () => {
    const server = await start()
    const health = await request(server.base).get('/healthz').expect(200)
    expect(health.body).toEqual({ status: 'ok', knowledge: 'fake-1', store: 'ok' })
  })
})
