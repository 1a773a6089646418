import { answers } from './dev/desk-fixtures.ts'
import { type DeskState, deskStates } from './dev/desk-states.ts'
import { states } from './dev/states.ts'
import type { BenchLamp } from './elements/bench-lamp/bench-lamp.ts'
import { ShopApi } from './session/api.ts'
import { deskTexts } from './texts/desk.ts'

/**
 * Every state of the element, from messages kept in files. `?state=bench-reading` shows one alone, `&theme=dark` and
 * `&lang=es` as they say; `#bench-reading` goes on to another without loading the page again. `data-ready` of the body says
 * which one stands there. Nothing here talks to a server.
 */
const wanted = new URLSearchParams(location.search)
let only: string | null
document.documentElement.lang = wanted.get('lang') ?? 'en'
const theme = wanted.get('theme')
if (theme) document.documentElement.classList.add(theme)

const nav = document.querySelector('nav')!
const stage = document.querySelector('#stage')!
const lampReady = customElements.whenDefined('bench-lamp')
for (const { name } of [...states, ...deskStates]) {
  const link = document.createElement('a')
  link.href = `?state=${name}`
  link.textContent = name
  nav.append(link)
}
addEventListener('hashchange', () => void showAll())
void showAll()

async function showAll() {
  only = location.hash.slice(1) || wanted.get('state')
  document.body.classList.toggle('only', only !== null)
  delete document.body.dataset['ready']
  stage.replaceChildren()
  scrollTo(0, 0)
  deskStates.forEach(showPage)
  await lampReady
  states.forEach(show)
}

/** @returns where it is to stand; undefined where another one is wanted */
function place(name: string): HTMLElement | undefined {
  if (only && only !== name) return
  const section = document.createElement('section')
  const heading = document.createElement('h2')
  heading.textContent = name
  section.append(heading)
  stage.append(section)
  return section
}

function show(state: (typeof states)[number]) {
  const section = place(state.name)
  if (!section) return
  const lamp = document.createElement('bench-lamp') as BenchLamp
  lamp.id = `gallery-${state.name}`
  lamp.layout = state.layout
  if (theme) lamp.theme = theme as BenchLamp['theme']
  for (const event of ['bl-act', 'bl-wish']) lamp.addEventListener(event, (e) => e.stopImmediatePropagation(), true)
  section.append(lamp)
  const { opened } = state.view
  const view = { ...state.view, ...(opened && { opened: { ...opened, language: document.documentElement.lang } }) }
  Object.assign(lamp, {
    view,
    intake: state.intake ?? 'unasked',
    here: state.here,
    code: state.code ?? '',
    handedUp: state.handedUp ?? '',
  })
  lamp.show(state.trailOpen ? 'trail' : undefined)
  if (state.step) void customElements.whenDefined('bl-work').then(() => lamp.openStep(state.step as 'approve'))
  document.body.dataset['ready'] = state.name
}

/** One of our own pages, over an API that answers from the fixtures. */
async function showPage(state: DeskState) {
  const section = place(state.name)
  // What stands over the page stands over all of it: alone only.
  if (!section || (!only && (state.ask || state.press))) return
  const said = { ...answers, ...state.answers }
  const api = new ShopApi(
    { pass: 'gallery', shop: 'demo', name: 'Sam', login: 'sam', role: 'technician' },
    await deskTexts(document.documentElement.lang),
    async (input) => {
      const path = new URL(String(input), location.href).pathname.replace('/api/', '')
      if (path.includes('/photos/')) return new Response(await picture(), { headers: { 'content-type': 'image/png' } })
      const body = said[path] ?? {
        error: { text: 'There is no such case in this shop.', mend: 'Look it up in the list of cases.' },
      }
      return new Response(JSON.stringify(body), { status: path in said ? 200 : 404 })
    },
  )
  await customElements.whenDefined(state.element)
  type Shown = HTMLElement & { updateComplete: Promise<unknown>; ask(why: string): Promise<unknown> }
  const page = Object.assign(document.createElement(state.element), { api, ...state.with }) as unknown as Shown
  if (theme) page.setAttribute('theme', theme)
  if (state.element === 'bl-sign-in' || state.element === 'bl-account')
    Object.assign(page, { t: await deskTexts(document.documentElement.lang) })
  section.append(page)
  const settled = async () => {
    for (let i = 0; i < 4; i++) await new Promise((soon) => setTimeout(soon, 30))
  }
  await settled()
  if (state.ask) void page.ask(state.ask).catch(() => undefined)
  await settled()
  const part = state.part ? page.shadowRoot!.querySelector<Shown>(state.part)! : page
  Object.assign(part, state.set)
  for (const selector of state.press ?? []) {
    part.shadowRoot!.querySelector<HTMLElement>(selector)!.click()
    await settled()
  }
  document.body.dataset['ready'] = state.name
}

async function picture(): Promise<Blob> {
  const canvas = Object.assign(document.createElement('canvas'), { width: 320, height: 240 })
  const ink = canvas.getContext('2d')!
  ink.fillStyle = '#7d8b86'
  ink.fillRect(0, 0, 320, 240)
  ink.fillStyle = '#c9742b'
  ink.fillRect(110, 60, 90, 140)
  return new Promise((done) => canvas.toBlob((blob) => done(blob!)))
}
