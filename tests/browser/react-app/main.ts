import { createElement as h, StrictMode, useState } from 'react'
import { createRoot } from 'react-dom/client'

/** A page of somebody who works with React 19: properties, events, mounting and unmounting. */
declare const LAMP: string

const heard: [string, unknown][] = []
Object.assign(globalThis, { heard })
const listen = (name: string) => (e: CustomEvent) => heard.push([name, e.detail])

function App() {
  const [shown, show] = useState(true)
  const [dark, darken] = useState(false)
  const [turns, count] = useState(0)
  return h(
    'main',
    null,
    h('button', { type: 'button', onClick: () => show(!shown) }, shown ? 'Put it away' : 'Bring it back'),
    h('button', { type: 'button', onClick: () => darken(!dark) }, 'Other theme'),
    h('output', null, `${turns} turns`),
    shown &&
      h('bench-lamp', {
        id: 'react',
        server: LAMP,
        name: 'Larch Lake garage',
        theme: dark ? 'dark' : 'light',
        facts: { packVolts: 36 },
        'onbl-opened': listen('bl-opened'),
        'onbl-turn': () => count((n) => n + 1),
        'onbl-handed-over': listen('bl-handed-over'),
      } as object),
  )
}

createRoot(document.querySelector('#root')!).render(h(StrictMode, null, h(App)))
