import type { Browser } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest'
import { axeFinds } from './accessible.ts'
import { DESK, drawn, launch, newPage, PHONE } from './browser.ts'
import { Person } from './person.ts'
import { RealServer } from './real-server.ts'

/** A machine with a lot to do takes its time. */
const SLOW = { timeout: 120_000 }

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

/** A job card for a car with contactors that jerks, at the check that somebody chose from the list. */
async function atCheck(wanted: RegExp, viewport = DESK): Promise<Person> {
  const page = await newPage(browser, { viewport })
  page.setDefaultTimeout(45_000)
  const person = new Person(page, 'mouse')
  await page.goto(`${server.url}/bench#pass=${server.pass}`)
  await drawn(page)
  await person.write('Car', 'Car 17')
  await person.turn(() => person.press('Begin'))
  await page.locator('bl-intake').waitFor()
  for (const [id, value] of [
    ['drive', /contactors/i],
    ['packVolts', /36/],
  ] as const) {
    const name = (await page.locator(`bl-intake label[for="${id}"]`).textContent())!
    const words = (await page.locator(`bl-intake select#${id} option`).allTextContents()).find((o) => value.test(o))!
    await person.choose(name, words)
  }
  await person.turn(() => person.press('Go on'))
  await person.write(/For example|Say it/, 'it jerks when I push the pedal')
  await person.turn(() => person.press('Go on'))
  for (let i = 0; i < 30 && !wanted.test(person.ask?.check ?? ''); i++) {
    if (person.held) await person.turn(() => person.press('Understood, this is done'))
    else if (wanted.test(person.ask?.check ?? '')) break
    else await person.turn(() => person.press('Don’t know'))
  }
  expect(person.ask?.check).toMatch(wanted)
  return person
}

it('draws the circuit with the probes on the check’s own points, and the plot once the row is entered', async () => {
  const person = await atCheck(/^measure-bus-bar-volts/)
  const { page } = person
  const picture = page.locator('bl-check bl-schematic svg.circuit')
  await picture.waitFor()
  const said = (await picture.getAttribute('aria-label'))!
  expect(said).toMatch(/Red probe on bus bar: \d+(\.\d)? V against pack negative/)
  expect(said).toMatch(/Black probe on pack negative/)
  expect(said).toMatch(/Main current runs through: pack/)
  expect(await page.locator('bl-check bl-schematic .probe.red text').textContent()).toMatch(/^red \d+(\.\d)? V$/)
  // The red needle stands on the bus bar and nowhere else: the drawing's own bar is under it.
  const [needle, bar] = await page.locator('bl-check bl-schematic').evaluate((e) => {
    const root = e.shadowRoot!
    const probe = root.querySelector('.probe.red circle')!
    const hit = [...root.querySelectorAll('.bus')].map((b) => b.getAttribute('d')!)
    return [`M${probe.getAttribute('cx')} ${probe.getAttribute('cy')}`, hit] as const
  })
  expect(bar.some((d) => d.startsWith(`${needle}L`))).toBe(true)
  expect(await axeFinds(page)).toEqual([])

  await person.press('All 4 at once')
  const volts = ['25.3', '25.4', '33.4', '35.6']
  const fields = page.locator('bl-row-entry input')
  await expect.poll(() => fields.count(), SLOW).toBe(4)
  for (const [i, v] of volts.entries()) await fields.nth(i).fill(v)
  await person.turn(() => person.press(/^Record/))
  const plot = page.locator('bl-step-plot svg.plot').first()
  await plot.waitFor()
  const plotted = (await plot.getAttribute('aria-label'))!
  expect(plotted).toMatch(/Click 2 should read .*Measured 25\.3 V\./)
  expect(plotted).toMatch(/Click 3 should read .*Measured 25\.4 V, below that/)
  expect(await page.locator('bl-step-plot .point').count()).toBeGreaterThanOrEqual(4)
  expect(await axeFinds(page)).toEqual([])
  expect([...page.failures, ...person.refusals]).toEqual([])
}, 500_000)

it('on a phone: shows what a meter reads at two points that were picked, sound and with a fault', async () => {
  const person = await atCheck(/^measure-bus-bar-volts/, PHONE)
  const { page } = person
  await page.locator('bl-meter summary').click()
  await page.locator('bl-meter select[name=red]').selectOption({ label: 'motor A1' })
  await expect.poll(() => page.locator('bl-meter .shown').textContent(), SLOW).toMatch(/Voltmeter/)
  await expect.poll(() => page.locator('bl-meter bl-schematic .probe.red text').textContent(), SLOW).toMatch(/^red \d/)
  expect(await page.getByRole('combobox', { name: 'Red probe on' }).count()).toBe(1)
  await page.locator('bl-meter select[name=step]').selectOption({ label: 'Click 3' })
  await page.locator('bl-meter select[name=cause]').selectOption({ label: 'Contactor 3: contacts do not carry' })
  await expect
    .poll(() => page.locator('bl-meter .shown').textContent(), SLOW)
    .toMatch(/2\d\.\d+\sV.*a sound car: 3\d\.\d+\sV/s)
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width)
  expect(await axeFinds(page)).toEqual([])
  expect([...page.failures, ...person.refusals]).toEqual([])
}, 500_000)
