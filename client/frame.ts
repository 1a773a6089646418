import { wearColour } from './session/colour.ts'

/**
 * The page for frames on somebody's page: the element as the address says, `/frame?shop=…&name=…&layout=full&theme=dark&
 * lang=es&colour=225588&corners=6px`.
 */
const said = new URLSearchParams(location.search)
const lamp = document.createElement('bench-lamp')
for (const name of ['shop', 'name', 'layout', 'theme', 'lang']) {
  const value = said.get(name)
  if (value) lamp.setAttribute(name, value)
}
const language = said.get('lang') ?? navigator.language
document.documentElement.lang = language
const theme = said.get('theme')
if (theme === 'light' || theme === 'dark') document.documentElement.classList.add(theme)
wearColour(lamp, `#${said.get('colour')}`)
const corners = said.get('corners') ?? ''
if (/^\d{1,2}px$/.test(corners)) lamp.style.setProperty('--bl-radius', corners)
document.querySelector('main')!.append(lamp)
