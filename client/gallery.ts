import { states } from './dev/states.ts'
import type { BenchLamp } from './elements/bench-lamp/bench-lamp.ts'

/**
 * Every state of the element, from messages kept in files. `?state=bench-reading` shows one alone, `&theme=dark` and
 * `&lang=es` as they say. Nothing here talks to a server.
 */
const wanted = new URLSearchParams(location.search)
const only = wanted.get('state')
document.body.classList.toggle('only', only !== null)
document.documentElement.lang = wanted.get('lang') ?? 'en'
const theme = wanted.get('theme')
if (theme) document.documentElement.classList.add(theme)

const nav = document.querySelector('nav')!
const stage = document.querySelector('#stage')!
void customElements.whenDefined('bench-lamp').then(() => states.forEach(show))

function show(state: (typeof states)[number]) {
  const link = document.createElement('a')
  link.href = `?state=${state.name}`
  link.textContent = state.name
  nav.append(link)
  if (only && only !== state.name) return
  const section = document.createElement('section')
  const heading = document.createElement('h2')
  heading.textContent = state.name
  const lamp = document.createElement('bench-lamp') as BenchLamp
  lamp.id = `gallery-${state.name}`
  lamp.layout = state.layout
  if (theme) lamp.theme = theme as BenchLamp['theme']
  for (const event of ['bl-act', 'bl-wish']) lamp.addEventListener(event, (e) => e.stopImmediatePropagation(), true)
  section.append(heading, lamp)
  stage.append(section)
  const { opened } = state.view
  const view = { ...state.view, ...(opened && { opened: { ...opened, language: document.documentElement.lang } }) }
  Object.assign(lamp, { view, intake: state.intake ?? 'unasked', here: state.here, handedUp: state.handedUp ?? '' })
  lamp.show(state.trailOpen ? 'trail' : undefined)
  if (state.step) void customElements.whenDefined('bl-work').then(() => lamp.openStep(state.step as 'approve'))
}
