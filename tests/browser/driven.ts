import type { Page } from 'playwright-core'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import type { TranscriptStep } from '../../rules/protocol/transcript.ts'

/** What an element shows, as text: every shadow root in the order of the page. */
export interface Shown {
  heading: string
  standing: string[]
  text: string
}
export interface DrivenStep {
  replies: ServerMessage[]
  shown: Shown
}

/**
 * Runs in the page before its scripts: keeps every message that an element is sent, whether by a socket or by the reasoning
 * in this browser, and gives `driven`, by which a test acts on an element as its own parts do.
 */
export const HARNESS = `
(() => {
  const heard = []
  const dispatch = EventTarget.prototype.dispatchEvent
  EventTarget.prototype.dispatchEvent = function (event) {
    if (event.type === 'message' && typeof event.data === 'string') heard.push(JSON.parse(event.data))
    return dispatch.call(this, event)
  }
  const wait = (ms) => new Promise((done) => setTimeout(done, ms))
  const until = async (what, why) => {
    for (const end = Date.now() + 60000; !what(); await wait(4)) if (Date.now() > end) throw new Error('Waited in vain: ' + why)
  }
  const parts = (root, found = []) => {
    for (const e of root.querySelectorAll('*')) if (e.shadowRoot) { found.push(e); parts(e.shadowRoot, found) }
    return found
  }
  const met = new Set()
  const settle = async (lamp) => {
    await lamp.updateComplete
    // Texts of another language are fetched apart by the first part that has them; none says that it waits for them.
    if (lamp.lang && lamp.lang !== 'en') {
      const kinds = [lamp, ...parts(lamp.shadowRoot)].map((e) => lamp.lang + ' ' + e.localName).filter((k) => !met.has(k))
      if (kinds.length > 0) await wait(300)
      for (const k of kinds) met.add(k)
    }
    for (let whole = false; !whole; ) {
      await wait(0)
      const all = [...parts(lamp.shadowRoot)]
      const roots = [lamp, ...all].map((e) => e.shadowRoot)
      const open = roots.flatMap((r) => [...r.querySelectorAll('*')]).filter((e) => e.localName.includes('-') && !e.matches(':defined'))
      await Promise.all(open.map((e) => customElements.whenDefined(e.localName)))
      await Promise.all(all.map((e) => e.updateComplete))
      // The code to be scanned is drawn once its coder has been fetched.
      await until(() => parts(lamp.shadowRoot).every((e) => e.localName !== 'bl-qr' || !e.text || e.shadowRoot.querySelector('svg')), 'the QR code')
      whole = open.length === 0 && parts(lamp.shadowRoot).every((e) => !('isUpdatePending' in e) || !e.isUpdatePending)
    }
  }
  // Which words find room in a drawing follows its width, and that is told with a frame.
  const drawn = async (lamp) => {
    for (let n = 0; n < 3; n++) {
      if (!parts(lamp.shadowRoot).some((e) => e.shadowRoot.querySelector('svg'))) return
      await new Promise((done) => requestAnimationFrame(done))
      await settle(lamp)
    }
  }
  const textOf = (node) => {
    if (node.nodeType === 3) return node.data
    if (node.nodeType !== 1 && node.nodeType !== 11) return ''
    if (/^(style|script|bl-photos)$/.test(node.localName ?? '') || node.matches?.('[role=log], p.line:not(.noted)')) return ''
    if (node.localName === 'svg') return (node.getAttribute('aria-label') ?? '') + ' ' + [...node.childNodes].map(textOf).join(' ')
    const inner = [...(node.shadowRoot ?? node).childNodes].map(textOf).join(' ')
    return node.matches?.('input, textarea') ? inner + ' ' + node.value : inner
  }
  const clean = (text) => text.replace(/\\s+/g, ' ').trim()
  const shown = (lamp) => {
    const part = (name) => parts(lamp.shadowRoot).find((e) => e.localName === name)
    const turn = lamp.shadowRoot.querySelector('[data-turn]')
    const heading = (turn?.shadowRoot ?? lamp.shadowRoot).querySelector('h2')
    const rows = part('bl-standing')?.shadowRoot.querySelectorAll('li, tr, dt') ?? []
    return {
      heading: clean(heading ? textOf(heading) : ''),
      standing: [...rows].map((r) => clean(textOf(r))),
      text: clean(textOf(lamp.shadowRoot)),
    }
  }
  globalThis.driven = {
    async make({ id, layout, mode, server, pass, facts, tag, code, lang = '' }) {
      const lamp = document.createElement('bench-lamp')
      Object.assign(lamp, { id, layout, mode, server, pass, facts, lang })
      document.body.prepend(lamp)
      await lamp.updateComplete
      const from = heard.length
      lamp.renderRoot.firstElementChild.dispatchEvent(new CustomEvent('bl-wish', { detail: { what: 'begin', tag, code }, bubbles: true, composed: true }))
      lamp.renderRoot.firstElementChild.dispatchEvent(new CustomEvent('bl-wish', { detail: { what: 'intake-done' }, bubbles: true, composed: true }))
      await until(() => lamp.view.opened && heard.slice(from).some((m) => m.type === 'ask'), 'the case to open')
      await settle(lamp)
      // What came in reply to opening; what the bench asks for by itself comes a moment sooner or later.
      const { re } = heard.slice(from).find((m) => m.type === 'opened')
      return { code: lamp.view.opened.code, replies: heard.slice(from).filter((m) => m.re === re) }
    },
    async act(id, act) {
      const lamp = document.getElementById(id)
      const from = heard.length
      lamp.renderRoot.firstElementChild.dispatchEvent(new CustomEvent('bl-act', { detail: act, bubbles: true, composed: true }))
      const mine = lamp.view.waiting.at(-1)?.id
      // Faster than any person, it is told to wait now and then; the element sends the same again by itself.
      const passing = (m) => m.type === 'error' && ['too-many', 'busy', 'try-again'].includes(m.code)
      const replies = () => heard.slice(from).filter((m) => m.re === mine && !passing(m))
      const last = new Set(['ask', 'refused', 'error', 'because', 'meter'])
      let since = 0
      // Words that were not understood have no more than that for a reply.
      const only = () => replies().length > 0 && replies().every((m) => m.type === 'understood') && Date.now() - (since ||= Date.now()) > 1500
      await until(() => replies().some((m) => last.has(m.type)) || only(), 'a reply to ' + JSON.stringify(act))
      // The bench asks for the drawing by itself once the question stands.
      for (let n = 0; n < 2; n++) {
        await settle(lamp)
        await until(() => lamp.view.waiting.length === 0, 'what the element asks for by itself')
      }
      await settle(lamp)
      await drawn(lamp)
      return { replies: replies(), shown: shown(lamp) }
    },
    remove: (ids) => ids.forEach((id) => document.getElementById(id)?.remove()),
    shown: (id) => shown(document.getElementById(id)),
  }
})()
`

interface Making {
  id: string
  layout: 'compact' | 'full'
  mode: string
  server: string
  pass?: string
  facts?: object
  tag?: string
  code?: string
  lang?: string
}

export const make = (page: Page, making: Making) =>
  page.evaluate(
    (m) =>
      (
        globalThis as never as { driven: { make(m: unknown): Promise<{ code: string; replies: ServerMessage[] }> } }
      ).driven.make(m),
    making,
  )
export const act = (page: Page, id: string, send: TranscriptStep['send']) =>
  page.evaluate(
    ([i, s]) =>
      (globalThis as never as { driven: { act(i: unknown, s: unknown): Promise<DrivenStep> } }).driven.act(i, s),
    [id, send] as const,
  )
export const remove = (page: Page, ids: string[]) =>
  page.evaluate((i) => (globalThis as never as { driven: { remove(i: unknown): void } }).driven.remove(i), ids)
