import { execFile } from 'node:child_process'
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import { tmpdir } from 'node:os'
import { extname, join, resolve } from 'node:path'
import { promisify } from 'node:util'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest'
import { FakeServer } from '../../client/dev/fake-server.ts'
import { drawn, launch, newPage } from './browser.ts'

const run = promisify(execFile)
const root = resolve(import.meta.dirname, '../..')

let folder: string
let app: string
let lamp: FakeServer
let lampUrl: string
let browser: Browser
let site: Server
let siteUrl: string

/** The element as somebody else's project gets it: packed, unpacked into its `node_modules`, nothing of ours beside it. */
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'benchlamp-package-'))
  app = join(folder, 'app')
  const installed = join(app, 'node_modules/benchlamp-element')
  await mkdir(installed, { recursive: true })
  const { stdout } = await run('npm', ['pack', '--json', '--silent', '--pack-destination', folder, inject('built')])
  const [{ filename }] = JSON.parse(stdout)
  await run('tar', ['-xzf', join(folder, filename), '-C', installed, '--strip-components=1'])
  lamp = new FakeServer(inject('built'))
  lampUrl = await lamp.start(0)
  site = createServer(async (request, response) => {
    const path = request.url === '/' ? '/index.html' : request.url!.split('?')[0]!
    const type = { '.js': 'text/javascript', '.html': 'text/html' }[extname(path)] ?? 'application/octet-stream'
    const body = await readFile(join(app, 'dist', path)).catch(() => undefined)
    response.writeHead(body ? 200 : 404, { 'content-type': type }).end(body)
  })
  await new Promise<void>((done) => site.listen(0, '127.0.0.1', done))
  siteUrl = `http://127.0.0.1:${(site.address() as { port: number }).port}`
  browser = await launch()
})
afterAll(async () => {
  await browser?.close()
  await lamp?.stop()
  await new Promise((done) => site?.close(done))
  if (folder) await rm(folder, { recursive: true, force: true })
})

describe('as a package', () => {
  it('is bundled into a small app, and holds a conversation there', async () => {
    await writeFile(
      join(app, 'index.html'),
      '<!doctype html><html lang="en"><meta charset="utf-8"><title>An app</title><body><script type="module" src="./main.ts"></script></body></html>',
    )
    await writeFile(
      join(app, 'main.ts'),
      `import { BenchLamp } from 'benchlamp-element'
       const lamp = document.createElement('bench-lamp')
       lamp.server = ${JSON.stringify(lampUrl)}
       lamp.name = 'Larch Lake garage'
       lamp.addEventListener('bl-turn', (e) => { document.title = String(e.detail.check) })
       document.body.append(lamp)
       document.body.classList.toggle('one-class', lamp instanceof BenchLamp)`,
    )
    const { build } = await import('vite')
    await build({ root: app, configFile: false, logLevel: 'error', build: { target: 'es2022' } })
    const page = await newPage(browser)
    await page.goto(siteUrl)
    await drawn(page)
    expect(await page.evaluate(() => document.body.className)).toBe('one-class')
    await page.getByText('Larch Lake garage').waitFor()
    await page.getByRole('textbox').fill('it jerks when I push the pedal')
    await page.getByRole('button', { name: 'Go on' }).click()
    await page.getByRole('button', { name: 'Yes' }).waitFor()
    expect(await page.title()).toBe('recall-same-both-ways')
    expect(page.failures).toEqual([])
  })

  it('brings types for the element, its events and JSX that hold without anything of ours', async () => {
    await writeFile(
      join(app, 'types.tsx'),
      `import { BenchLamp } from 'benchlamp-element'
       import 'benchlamp-element/react'
       const lamp = document.createElement('bench-lamp')
       const made: BenchLamp = lamp
       made.layout = 'full'
       lamp.addEventListener('bl-finding', (e) => { const p: number = e.detail.p; const sure: boolean = e.detail.sure; void [p, sure] })
       lamp.addEventListener('click', (e) => e.clientX)
       // @ts-expect-error no such layout
       lamp.layout = 'wide'
       // @ts-expect-error no such part of the detail
       lamp.addEventListener('bl-turn', (e) => e.detail.nothing)
       export const jsx = <bench-lamp shop="demo" theme="dark" onbl-finding={(e) => e.detail.title.trim()} facts={{ packVolts: 36 }} />
       // @ts-expect-error no such theme
       export const wrong = <bench-lamp theme="green" />`,
    )
    await writeFile(
      join(app, 'tsconfig.json'),
      JSON.stringify({
        compilerOptions: {
          target: 'ES2022',
          module: 'ESNext',
          moduleResolution: 'bundler',
          lib: ['ES2022', 'DOM'],
          jsx: 'react-jsx',
          strict: true,
          noEmit: true,
          // React's types are the only thing that such a project brings itself.
          types: [],
          paths: {
            react: [join(root, 'node_modules/@types/react')],
            'react/*': [join(root, 'node_modules/@types/react/*')],
          },
        },
        files: ['types.tsx'],
      }),
    )
    const said = await run(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-p', app]).catch(
      (e: { stdout: string }) => e,
    )
    expect(said.stdout).toBe('')
  })

  it('has types that say what the manifest says', async () => {
    const types = await readFile(join(root, 'client/public/benchlamp.d.ts'), 'utf8')
    const manifest = JSON.parse(await readFile(join(root, 'client/public/custom-elements.json'), 'utf8'))
    type Declaration = { tagName?: string; attributes: { name: string }[]; events: { name: string }[] }
    const lamp = (manifest.modules as { declarations: Declaration[] }[])
      .flatMap((m) => m.declarations)
      .find((d) => d.tagName === 'bench-lamp')!
    for (const { name } of lamp.attributes) expect(types).toMatch(new RegExp(`^  ${name}\\?: `, 'm'))
    const told = lamp.events.map((e) => e.name).filter((n) => n.startsWith('bl-'))
    const typed = [...types.matchAll(/^ {2}'(bl-[\w-]+)':/gm)].map((m) => m[1])
    expect(typed.sort()).toEqual(told.sort())
  })

  it('is named by the project itself too', async () => {
    const ours = JSON.parse(await readFile(join(root, 'package.json'), 'utf8'))
    const packed = JSON.parse(await readFile(join(root, 'client/public/package.json'), 'utf8'))
    expect(packed.version).toBe(ours.version)
    const there = (path: string) => readFile(path.replace(/^(\.\/)?client\/dist/, inject('built')))
    for (const path of [ours.types, ours.customElements, ours.exports['.'].default, ours.exports['./react'].types]) {
      expect((await there(path)).length).toBeGreaterThan(0)
    }
    expect(Object.keys(ours.exports)).toEqual(Object.keys(packed.exports))
  })
})
