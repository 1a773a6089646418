import type { Browser } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest'
import type { AskBody, ServerMessage } from '../../rules/protocol/index.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'
import { axeFinds } from './accessible.ts'
import { DESK, drawn, launch, newPage, PHONE, type WatchedPage } from './browser.ts'
import { Person } from './person.ts'
import { RealServer } from './real-server.ts'

/** The whole job in Spanish, over the real server in a real browser; nothing on either screen may be read in English. */
let browser: Browser
let server: RealServer

beforeAll(async () => {
  server = new RealServer()
  await server.start()
  browser = await launch()
})
afterEach(async () => {
  for (const context of browser.contexts()) await context.close()
})
afterAll(async () => {
  await browser?.close()
  await server?.remove()
})

/** Sentences of the English knowledge and conversation, long enough to be nobody else's. */
const english = (() => {
  const found = new Set<string>()
  const visit = (value: unknown) => {
    if (typeof value === 'string') {
      // What siblings and figures are filled into is looked for in its parts.
      for (const part of value.split(/\{[^}]*\}|[.:?]\s/)) {
        if (part.trim().length >= 14 && /[a-z]{3,} [a-z]{2,}/i.test(part)) found.add(part.trim())
      }
    } else if (value !== null && typeof value === 'object') Object.values(value).forEach(visit)
  }
  for (const file of readKnowledgeFiles()) {
    if (/^(texts|netlists)\//.test(file.path)) continue
    const { text, facts } = JSON.parse(file.text) as { text?: Record<string, unknown>; facts?: object }
    visit({ ...text, phrases: undefined })
    if (facts) visit(Object.values(facts as Record<string, { text: unknown }>).map((f) => f.text))
  }
  return [...found]
})()

/** All that can be read on the page, shadow roots too. */
const readOn = (page: WatchedPage): Promise<string> =>
  page.evaluate(() => {
    const textOf = (node: Node): string => {
      if (node.nodeType === Node.TEXT_NODE) return (node as Text).data
      const element = node as Element
      if (/^(style|script|template)$/.test(element.localName ?? '')) return ''
      const own = [...(element.shadowRoot ?? element).childNodes].map(textOf).join(' ')
      const said = element.getAttribute
        ? ['aria-label', 'placeholder', 'title', 'alt'].map((a) => element.getAttribute(a) ?? '').join(' ')
        : ''
      return `${own} ${said}`
    }
    return textOf(document.body).replace(/\s+/g, ' ')
  })

async function readsNoEnglish(page: WatchedPage): Promise<void> {
  // A busy machine fetches the words a moment after the page.
  const inEnglish = async () => {
    const text = await readOn(page)
    // Small words that stand in nearly every English sentence, and in no Spanish one.
    const small = text.match(/\b(the|with|when|what|which|your|does|should|from|after|before)\b/gi) ?? []
    return [...english.filter((sentence) => text.includes(sentence)), ...small]
  }
  await expect.poll(inEnglish).toEqual([])
}

/** A 36 V car with five contactors in which number 4 clicks but does not carry; the figures are common practice. */
const volts: Record<string, string> = {
  'measure-bus-bar-volts.step-2': '25,3',
  'measure-bus-bar-volts.step-3': '31,2',
  'measure-bus-bar-volts.step-4': '31,2',
  'measure-bus-bar-volts.step-5': '35,7',
  'measure-drop-contactor.2': '0,05',
  'measure-drop-contactor.3': '0,08',
  'measure-drop-contactor.5': '0,06',
  'measure-pack-volts-at-rest': '36,9',
}
const ITS_FACTS = ['resistor-contactor', '36', 'flooded-lead']
const answerFor = ({ check, outcomes }: AskBody): { reading: string } | { outcome: string } | undefined => {
  if (volts[check]) return { reading: volts[check] }
  const fact = outcomes.find((o) => ITS_FACTS.includes(o.id))
  if (fact) return { outcome: fact.id }
  if (check === 'ask-clicks-heard') return { outcome: 'all' }
  if (/^(listen-for-click|feel-contactor)\./.test(check)) return { outcome: 'click' }
  if (/^touch-(coil-feed|pedal-switch-output|contactor-supply)\.step-/.test(check)) return { outcome: 'lit' }
  if (/^touch-coil-negative\.contactor-/.test(check)) return { outcome: 'lit' }
  if (/^look-at-bus-bar-lamp\.step-4/.test(check)) return { outcome: 'same' }
  if (/^look-at-bus-bar-lamp\.step-2/.test(check)) return { outcome: 'part' }
  if (/^look-at-bus-bar-lamp\./.test(check)) return { outcome: 'brighter' }
  return undefined
}
const labelOf = ({ outcomes }: AskBody, id: string) =>
  new RegExp(`^${outcomes.find((o) => o.id === id)!.label.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}`)

it('from "da tirones cuando piso el pedal" at the counter to contactor 4 at the bench', async () => {
  const counter = await newPage(browser, { viewport: PHONE, hasTouch: true, locale: 'es-MX' })
  const customer = new Person(counter, 'mouse')
  await counter.goto(server.url)
  await drawn(counter)
  await readsNoEnglish(counter)
  expect(await counter.title()).toBe('¿Qué le pasa al carro? Benchlamp')
  expect(await counter.evaluate(() => document.documentElement.lang)).toBe('es')
  await customer.write(/Por ejemplo/, 'da tirones cuando piso el pedal')
  await customer.turn(() => customer.press('Seguir'))
  while (customer.ask?.kind === 'complaint') await counter.waitForTimeout(50)
  for (let n = 0; n < 8 && !customer.finding; n++) {
    await readsNoEnglish(counter)
    const ask = customer.ask!
    const answer = answerFor(ask)
    await customer.turn(() =>
      customer.press(answer && 'outcome' in answer ? labelOf(ask, answer.outcome) : 'No estoy seguro'),
    )
  }
  await counter.locator('bl-hand-over').waitFor()
  await drawn(counter)
  await readsNoEnglish(counter)
  expect(await axeFinds(counter)).toEqual([])
  expect(customer.refusals).toEqual([])

  const bench = await newPage(browser, { viewport: DESK, locale: 'es-ES' })
  const technician = new Person(bench, 'mouse')
  await bench.goto(`${server.url}/bench#pass=${server.pass}`)
  await drawn(bench)
  await readsNoEnglish(bench)
  await technician.write('Código del cliente', 'zz-999')
  await technician.press('Seguir')
  await bench.getByText('Ningún caso tiene el código ZZ-999.').waitFor()
  technician.refusals = []
  await bench.getByLabel('Código del cliente').fill('')
  await technician.write('Código del cliente', customer.code.toLowerCase())
  await technician.turn(() => technician.press('Seguir'))
  await drawn(bench)
  await bench.locator('bl-trail').getByText('Da tirones').first().waitFor()
  for (let n = 0; n < 45 && !(technician.finding && technician.ask === null); n++) {
    await drawn(bench)
    await readsNoEnglish(bench)
    if (technician.held) {
      await technician.turn(() => technician.press('Entendido, está hecho'))
      continue
    }
    const ask = technician.ask!
    const answer = answerFor(ask)
    await technician.turn(async () => {
      if (answer && 'reading' in answer) {
        await technician.write(/^Lectura en/, answer.reading)
        await technician.press('Anotar')
      } else if (answer) {
        await technician.press(labelOf(ask, answer.outcome))
      } else await technician.press('No lo sé')
    })
    expect(technician.refusals).toEqual([])
  }
  expect(technician.finding?.causes.map((c) => c.cause)).toContain('contactor-4.contacts-open')
  await drawn(bench)
  await expect.poll(() => bench.locator('bl-finding h2').textContent()).toMatch(/contactor 4/i)
  await readsNoEnglish(bench)
  expect(await axeFinds(bench)).toEqual([])
  expect([...counter.failures, ...bench.failures]).toEqual([])
}, 500_000)

it('a technician who reads English goes on with a case told in Spanish, and the customer still reads Spanish', async () => {
  const counter = await newPage(browser, { viewport: PHONE, locale: 'es-AR' })
  const customer = new Person(counter, 'mouse')
  await counter.goto(server.url)
  await drawn(counter)
  await customer.write(/Por ejemplo/, 'hace clic pero no anda')
  await customer.turn(() => customer.press('Seguir'))
  await drawn(counter)

  const bench = await newPage(browser, { viewport: DESK, locale: 'en-US' })
  const technician = new Person(bench, 'mouse')
  await bench.goto(`${server.url}/bench#pass=${server.pass}`)
  await drawn(bench)
  await technician.write('Customer’s code', customer.code.toLowerCase())
  await technician.turn(() => technician.press('Go on'))
  await bench.locator('bl-trail').getByText('Does not move, but clicks').first().waitFor()
  const before = customer.asked
  await technician.turn(() => technician.press(technician.held ? 'Understood, this is done' : 'Don’t know'))
  await expect.poll(() => customer.asked).toBeGreaterThan(before)
  await readsNoEnglish(counter)
})

it('at a desk in Spanish the server says in Spanish what it does not take, whatever the browser speaks', async () => {
  const desk = await newPage(browser, { viewport: DESK, locale: 'en-US' })
  await desk.goto(`${server.url}/desk?lang=es`)
  const form = desk.locator('bl-sign-in form')
  await form.getByLabel('Nombre de entrada').fill('nadie')
  await form.getByLabel('Contraseña').fill('de este nombre')
  await form.getByRole('button', { name: 'Entrar', exact: true }).click()
  await form.getByText('El nombre y la contraseña no se corresponden.').waitFor()
  await readsNoEnglish(desk)

  await desk.goto(`${server.url}/desk?lang=es#pass=${server.deskPass}`)
  await desk.reload()
  await desk.getByRole('link', { name: 'Precios' }).click()
  const upload = (text: string) =>
    desk
      .getByLabel('Subir una lista de precios')
      .setInputFiles({ name: 'precios.csv', mimeType: 'text/csv', buffer: Buffer.from(text) })
  await upload('remedy,part,price\nreplace-contactor-4,,caro\nreplace-contactor-44,,5\n')
  await desk.getByText('La lista de precios tiene 2 líneas o columnas malas; no se tomó nada de ella.').waitFor()
  expect(await desk.locator('.problems li').allTextContents()).toEqual([
    expect.stringMatching(/línea 2, price.*“caro” no es un precio.*12\.50/),
    expect.stringMatching(/línea 3, remedy.*No hay ningún remedio “replace-contactor-44”/),
  ])
  expect(await desk.getByRole('alert').allTextContents()).toEqual([expect.not.stringMatching(/\b(the|of|is|line)\b/i)])
  expect(await axeFinds(desk)).toEqual([])

  await upload('remedy,part,price\nreplace-contactor-4,,88.40\nreplace-control-fuse,,3\n')
  await desk.getByText('Fusible de control del mismo amperaje').waitFor()
  await readsNoEnglish(desk)

  // What only the page can say is in its language too.
  await desk.route('**/api/**', (route) => route.abort())
  await upload('remedy,part,price\nreplace-contactor-4,,12.50\n')
  await desk.getByText('El servidor no responde.').waitFor()
  await desk.unroute('**/api/**')
  await desk.route('**/api/**', (route) => route.fulfill({ status: 502, body: 'Bad gateway' }))
  await upload('remedy,part,price\nreplace-contactor-4,,12.50\n')
  await desk.getByText('El servidor respondió 502.').waitFor()
})

it('the desk names causes and remedies in Spanish, whatever a case was told in, and leads on in Spanish', async () => {
  const send = async (path: string, message: object): Promise<ServerMessage[]> => {
    const response = await fetch(`${server.url}/api/cases${path}`, {
      method: 'POST',
      headers: { authorization: `Bearer ${server.pass}` },
      body: JSON.stringify({ v: 1, id: JSON.stringify(message).slice(0, 60), ...message }),
    })
    return ((await response.json()) as { replies: ServerMessage[] }).replies
  }
  const facts = { drive: 'resistor-contactor', packVolts: 36 }
  const opened = (await send('', { type: 'open', language: 'en', facts })).find((m) => m.type === 'opened')!
  const { code } = opened
  const own = `/${encodeURIComponent(opened.case)}/messages`
  const cautions = (await send(own, { type: 'say', complaints: ['jerks-on-acceleration'] })).find(
    (m) => m.type === 'caution',
  )!
  const warning = cautions.cautions.find((c) => c.signal === 'WARNING' && c.acknowledge)!
  await send(own, { type: 'acknowledge', caution: warning.id })

  const desk = await newPage(browser, { viewport: DESK, locale: 'en-US' })
  await desk.goto(`${server.url}/desk?lang=es#pass=${server.deskPass}`)
  const row = desk.locator('bl-desk-cases tr').filter({ hasText: code })
  await row.getByText('Da tirones al acelerar').waitFor()
  await readsNoEnglish(desk)
  await row.getByRole('link').click()
  await desk.locator('bl-desk-case').getByText('ADVERTENCIA').first().waitFor()
  await readsNoEnglish(desk)
  await desk.getByRole('link', { name: 'Orden de trabajo' }).click()
  await desk.getByRole('heading', { name: 'Orden de trabajo' }).waitFor()
  await desk.getByRole('link', { name: 'Volver al caso' }).click()
  await desk.getByRole('link', { name: 'Banco' }).click()
  await drawn(desk)
  await readsNoEnglish(desk)
})
