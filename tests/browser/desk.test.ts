import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { axeFinds } from './accessible.ts'
import { DESK, launch, newPage, PHONE } from './browser.ts'
import { buildServed } from './built.ts'
import { RealServer } from './real-server.ts'

let browser: Browser
let server: RealServer

beforeAll(async () => {
  await buildServed()
  server = new RealServer()
  await server.start()
  browser = await launch()
})
afterAll(async () => {
  await browser?.close()
  await server?.remove()
})

it('the desk shows the shop’s cases to the dealer’s link, finds a car, and tells a stranger what to do', async () => {
  const made = await fetch(`${server.url}/api/cases`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${server.pass}` },
    body: JSON.stringify({ v: 1, id: 'desk-test-opens-a-case', type: 'open', tag: 'Car 17', pass: server.pass }),
  })
  expect(made.ok, await made.clone().text()).toBe(true)
  for (const viewport of [DESK, PHONE]) {
    const page = await newPage(browser, { viewport })
    await page.goto(`${server.url}/desk#pass=${server.deskPass}`)
    await page.getByText('Car 17').waitFor()
    expect(await page.getByRole('status').textContent()).toMatch(/1 case, 1 open/)
    expect(new URL(page.url()).hash).toBe('')
    await page.getByLabel('Car', { exact: true }).fill('99')
    await page.getByRole('button', { name: 'Search' }).click()
    await page.getByText('No case fits.').waitFor()
    expect(await axeFinds(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true)
    expect(page.failures).toEqual([])
    await page.context().close()
  }
  const stranger = await newPage(browser)
  await stranger.goto(`${server.url}/desk`)
  expect(await stranger.getByRole('alert').textContent()).toMatch(/sign-in link/)
})
