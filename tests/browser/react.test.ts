import { createServer, type Server } from 'node:http'
import { resolve } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { drawn, launch, newPage } from './browser.ts'

let browser: Browser
let lamp: FakeServer
let site: Server
let siteUrl: string

beforeAll(async () => {
  lamp = new FakeServer(inject('built'))
  const url = await lamp.start(0)
  const { build } = await import('vite')
  // React's development build: Strict Mode does nothing in the other.
  const made = await build({
    root: resolve(import.meta.dirname, 'react-app'),
    configFile: false,
    logLevel: 'error',
    mode: 'development',
    define: { 'process.env.NODE_ENV': '"development"', LAMP: JSON.stringify(url) },
    build: { write: false, minify: false, lib: { entry: 'main.ts', formats: ['es'], fileName: 'app' } },
  })
  const [chunk] = (made as { output: { code?: string }[] }[]).flatMap((m) => m.output)
  const html = `<!doctype html><html lang="en"><meta charset="utf-8"><title>A React page</title>
    <script type="module" src="${url}/benchlamp.js"></script><body><div id="root"></div><script type="module" src="/app.js"></script>`
  site = createServer((request, response) => {
    const script = request.url === '/app.js'
    response.writeHead(200, { 'content-type': `${script ? 'text/javascript' : 'text/html'}; charset=utf-8` })
    response.end(script ? chunk!.code : html)
  })
  await new Promise<void>((done) => site.listen(0, '127.0.0.1', done))
  siteUrl = `http://127.0.0.1:${(site.address() as { port: number }).port}`
  browser = await launch()
})
afterAll(async () => {
  await browser?.close()
  await lamp?.stop()
  await new Promise((done) => site?.close(done))
})

it('React sets its properties, hears its events, and may take it away and bring it back', async () => {
  const page = await newPage(browser)
  let open = 0
  page.on('websocket', (socket) => {
    open++
    socket.on('close', () => open--)
  })
  await page.goto(siteUrl)
  await drawn(page)
  await page.getByText('Larch Lake garage').waitFor()
  const element = page.locator('bench-lamp')
  expect(await element.evaluate((e) => [e.isConnected, (e as unknown as { facts: unknown }).facts])).toEqual([
    true,
    { packVolts: 36 },
  ])
  expect(await element.getAttribute('theme')).toBe('light')
  await page.getByRole('button', { name: 'Other theme' }).click()
  await expect.poll(() => element.getAttribute('theme')).toBe('dark')

  await page.getByRole('textbox').fill('it jerks')
  await page.getByRole('button', { name: 'Go on' }).click()
  await page.getByRole('button', { name: 'Yes' }).waitFor()
  await page.getByText('2 turns').waitFor()
  expect(lamp.taken[0]).toMatchObject({ type: 'open', facts: { packVolts: 36 } })
  expect(open).toBe(1)

  await page.getByRole('button', { name: 'Put it away' }).click()
  await element.waitFor({ state: 'detached' })
  await expect.poll(() => open).toBe(0)
  await page.getByRole('button', { name: 'Bring it back' }).click()
  // The same conversation, where it was.
  await page.getByRole('button', { name: 'Yes' }).click()
  await page.getByRole('button', { name: 'Near the floor' }).click()
  await page.locator('bl-hand-over .code').waitFor()
  expect(open).toBe(1)
  const heard = (await page.evaluate('heard')) as [string, { case?: string; code?: string }][]
  expect(heard.filter(([name]) => name === 'bl-handed-over')).toHaveLength(1)
  expect(new Set(heard.filter(([name]) => name === 'bl-opened').map(([, d]) => d.case)).size).toBe(1)
  expect(page.failures).toEqual([])
})

it('an element that is moved on the page goes on with its conversation', async () => {
  const page = await newPage(browser)
  await page.goto(siteUrl)
  await drawn(page)
  await page.getByRole('textbox').fill('it jerks')
  await page.getByRole('button', { name: 'Go on' }).click()
  await page.getByRole('button', { name: 'Yes' }).waitFor()
  await page.evaluate(() => {
    const box = document.body.appendChild(document.createElement('section'))
    box.append(document.querySelector('bench-lamp')!)
  })
  await page.getByRole('button', { name: 'Yes' }).click()
  await page.getByRole('button', { name: 'Near the floor' }).waitFor()
  expect(page.failures).toEqual([])
})
