import { html, nothing, svg } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import type { CircuitPicture } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { Drawing } from '../drawing.ts'
import { define } from '../part.ts'
import { boundsOf, drawCircuit } from './draw.ts'
import { schematicStyles } from './schematic.styles.ts'
import { around, overlap, type Placed, placeWords, type Rect } from './words.ts'

const ZOOMS = [0.34, 0.45, 0.52, 0.6, 0.72, 0.85, 1, 1.25, 1.6, 2]
const PLAIN = ZOOMS.indexOf(1)
/** Kept free between what is shown and the window's edge, px. */
const ROOM = 20
const LEAST_ROOM = 7
/** Of a pale edge this much is too pale to read. */
const PALE = 15
/** So much wider or narrower, and it opens anew. */
const OTHER_WIDTH = 24
/** The smallest that it opens at: tags and what is suspected are read at any size. */
const LEAST = ZOOMS.indexOf(0.45)
/**
 * A car's circuit as it was solved: the path that carries the current, the volts, both probes, what is suspected.
 * On a screen it is a window on the drawing that opens at the probes; with `fixed` it is the whole drawing, for paper:
 * `<bl-schematic fixed .picture=${meter.pictures.circuit} language="en"></bl-schematic>`.
 *
 * @event {CustomEvent<string>} bl-place - A place was touched: its node's id. Only with `pick`.
 */
export class Schematic extends Drawing {
  static override styles = [controls, schematicStyles]

  /** `pictures.circuit` of a `meter` message */
  @property({ attribute: false }) picture!: CircuitPicture
  /** places may be touched */
  @property({ type: Boolean }) pick = false
  @state() private zoom = PLAIN
  @query('.pan') private pan?: HTMLElement
  #shown = { key: '', width: 0 }
  #placed?: { of: CircuitPicture; language: string; zoom: number; placed: Placed }

  override updated() {
    this.edges()
    const { picture, width } = this
    const key = `${picture.circuit} ${picture.red} ${picture.black}`
    const same = key === this.#shown.key && Math.abs(width - this.#shown.width) < OTHER_WIDTH
    if (this.fixed || width === 0 || same) return
    this.#shown = { key, width }
    this.toProbes()
  }

  override render() {
    const { m, picture, fixed } = this
    const placed = this.placedAt(this.zoom)
    const bounds = boundsOf(picture, placed)
    const scale = ZOOMS[this.zoom]!
    const words = { volts: this.voltsOf, suspect: m('suspect') }
    const drawing = svg`<svg class="circuit" role="img" aria-label=${[picture.title, ...picture.say].join(' ')}
      viewBox="${bounds.x} ${bounds.y} ${bounds.width} ${bounds.height}"
      width=${fixed ? nothing : bounds.width * scale} height=${fixed ? nothing : bounds.height * scale}>
      ${drawCircuit(picture, placed, words, this.pick ? this.touched : undefined)}</svg>`
    return html`<figure>
      <div class="window">
        <div class="pan" .style=${fixed ? '' : `max-block-size: ${Math.ceil(bounds.height)}px`} tabindex=${fixed ? nothing : 0} role=${fixed ? nothing : 'group'}
          aria-label=${fixed ? nothing : m('pan')} @scroll=${this.edges}>${drawing}</div>${fixed ? nothing : html`<div class="edges"></div>`}</div>
      <div class="bar">${this.legend()}${fixed ? nothing : this.tools()}</div>
      <ul class="hidden">${picture.say.map((s) => html`<li>${s}</li>`)}</ul>
      ${fixed ? nothing : this.tables()}
    </figure>`
  }

  private tools() {
    const { m } = this
    const step = (by: number) => () => this.zoomTo(Math.min(ZOOMS.length - 1, Math.max(0, this.zoom + by)))
    return html`<div class="tools no-print">
      <button class="sign" aria-label=${m('zoom-out')} @click=${step(-1)}>−</button>
      <button class="sign" aria-label=${m('zoom-in')} @click=${step(1)}>+</button>
      <button @click=${() => this.toProbes()}>${m('to-probes')}</button>
      <button @click=${() => this.whole()}>${m('whole')}</button></div>`
  }

  private legend() {
    const { m, picture } = this
    const flows = new Set(picture.parts.map((p) => p.flow))
    const line = (flow: string) =>
      html`<li><svg viewBox="0 0 26 12" aria-hidden="true"><g class="part ${flow}"><path class="wire" d="M0 6H26"/></g></svg>${m(flow === 'power' ? 'live' : (flow as 'signal'))}</li>`
    return html`<ul class="key" aria-hidden="true">${['power', 'signal', 'loose'].filter((f) => flows.has(f as 'power')).map(line)}</ul>`
  }

  private tables() {
    const { m, picture } = this
    const carried = picture.parts.filter((p) => (p.flow === 'power' || p.flow === 'signal') && p.symbol !== 'wire')
    return html`<details class="no-print"><summary>${m('volts-table')}</summary><div class="tables">
      <table><thead><tr><th>${m('place')}</th><th>${m('volts')}</th></tr></thead>
        <tbody>${picture.nodes.map((n) => html`<tr><td>${n.name}</td><td>${this.voltsOf(n)}</td></tr>`)}</tbody></table>
      ${
        carried.length > 0
          ? html`<table><thead><tr><th>${m('part')}</th><th>${m('amps')}</th></tr></thead>
        <tbody>${carried.map((p) => html`<tr><td>${p.name}</td><td>${this.amps(p.amps)}</td></tr>`)}</tbody></table>`
          : nothing
      }</div></details>`
  }

  private amps(amps: number) {
    const size = Math.abs(amps)
    return size < 0.1 ? `${this.number(size * 1000, 2)} mA` : `${this.number(size, 2)} A`
  }

  private voltsOf = (n: CircuitPicture['nodes'][number]): string => {
    if (n.volts === undefined) return this.m('no-volts')
    // Hundredths matter below a volt only.
    const rounded = Math.abs(n.volts) < 0.995 ? Number(n.volts.toFixed(2)) : Number(n.volts.toFixed(1))
    return `${this.number(rounded + 0, 4).replace('-', '−')} V${n.alternating ? ' ∼' : ''}`
  }

  private touched = (id: string) => {
    this.dispatchEvent(new CustomEvent('bl-place', { detail: id, bubbles: true, composed: true }))
  }

  /** Where the words are at this size; kept, since it is asked for again and again. */
  private placedAt(zoom: number): Placed {
    const { picture, language, m, fixed } = this
    const known = this.#placed
    if (known?.of === picture && known.language === m('suspect') + language && known.zoom === zoom) return known.placed
    const placed = placeWords(picture, {
      volts: this.voltsOf,
      red: m('probe-red'),
      black: m('probe-black'),
      suspect: m('suspect'),
      fixed,
      scale: ZOOMS[zoom]!,
    })
    this.#placed = { of: picture, language: m('suspect') + language, zoom, placed }
    return placed
  }

  /** Opens the window where both probes and what is suspected are seen: smaller, if that is what it takes. */
  toProbes() {
    const { pan } = this
    if (!pan) return
    const holds = (zoom: number, all: boolean): Rect | undefined => {
      const { tags, suspects } = this.placedAt(zoom)
      const ends = tags.flatMap(({ room, at: [x, y] }) => [
        room,
        { left: x - 12, right: x + 12, top: y - 12, bottom: y + 12 },
      ])
      return ends.length + suspects.length > 0 ? around(all ? [...ends, ...suspects] : ends) : undefined
    }
    const tries = [
      ...ZOOMS.flatMap((_, zoom) => (zoom <= PLAIN && zoom >= LEAST ? [{ zoom, all: true }] : [])).reverse(),
      ...ZOOMS.flatMap((_, zoom) => (zoom <= PLAIN && zoom >= LEAST ? [{ zoom, all: false }] : [])).reverse(),
    ]
    for (const { zoom, all } of tries) {
      const shown = holds(zoom, all)
      if (!shown) return this.whole()
      const scale = ZOOMS[zoom]!
      const room = 2 * (all ? ROOM : LEAST_ROOM)
      const fits =
        (shown.right - shown.left) * scale <= pan.clientWidth - room &&
        (shown.bottom - shown.top) * scale <= pan.clientHeight - room
      if (fits) return void this.lookAt(zoom, shown)
    }
    this.whole()
  }

  private whole() {
    const { pan, picture } = this
    if (!pan) return
    const fits = (zoom: number) => {
      const { width, height } = boundsOf(picture, this.placedAt(zoom))
      return width * ZOOMS[zoom]! <= pan.clientWidth && height * ZOOMS[zoom]! <= pan.clientHeight
    }
    const zoom = Math.max(
      0,
      ZOOMS.findLastIndex((_, i) => fits(i)),
    )
    const { x, y, width, height } = boundsOf(picture, this.placedAt(zoom))
    void this.lookAt(zoom, { left: x, right: x + width, top: y, bottom: y + height })
  }

  private zoomTo(zoom: number) {
    const { pan, picture } = this
    if (!pan) return
    const { x, y } = boundsOf(picture, this.placedAt(this.zoom))
    const scale = ZOOMS[this.zoom]!
    const middle = [
      (pan.scrollLeft + pan.clientWidth / 2) / scale + x,
      (pan.scrollTop + pan.clientHeight / 2) / scale + y,
    ]
    void this.lookAt(zoom, { left: middle[0]!, right: middle[0]!, top: middle[1]!, bottom: middle[1]! })
  }

  /** Round what is to be shown, a little aside if so fewer words are cut by the window's edge. */
  private async lookAt(zoom: number, shown: Rect) {
    this.zoom = zoom
    await this.updateComplete
    const { pan } = this
    if (!pan) return
    const placed = this.placedAt(zoom)
    const bounds = boundsOf(this.picture, placed)
    const scale = ZOOMS[zoom]!
    const on = (r: Rect): Rect => ({
      left: (r.left - bounds.x) * scale,
      right: (r.right - bounds.x) * scale,
      top: (r.top - bounds.y) * scale,
      bottom: (r.bottom - bounds.y) * scale,
    })
    const words = [...placed.words, ...placed.tags].map((w) => on(w.room))
    const at = on(shown)
    const [wide, high] = [pan.clientWidth, pan.clientHeight]
    const steps = (from: number, to: number, size: number, all: number) => {
      const middle = (from + to - size) / 2
      const most = Math.max(0, all - size)
      const free = Math.max(0, (size - (to - from)) / 2 - ROOM)
      const list =
        from === to ? [0] : [0, ...Array.from({ length: 16 }, (_, i) => ((i + 1) * free) / 16).flatMap((d) => [d, -d])]
      return [...new Set(list.map((d) => Math.min(most, Math.max(0, Math.round(middle + d)))))]
    }
    let best = { left: 0, top: 0, cost: Number.POSITIVE_INFINITY }
    for (const top of steps(at.top, at.bottom, high, bounds.height * scale)) {
      for (const left of steps(at.left, at.right, wide, bounds.width * scale)) {
        const window = { left, top, right: left + wide, bottom: top + high }
        const seen = words.filter((w) => overlap(w, window))
        // Where the drawing goes on its edge is pale.
        const clear = {
          left: left === 0 ? 0 : left + PALE,
          right: window.right + 1 < bounds.width * scale ? window.right - PALE : window.right,
          top: top === 0 ? 0 : top + PALE,
          bottom: window.bottom + 1 < bounds.height * scale ? window.bottom - PALE : window.bottom,
        }
        const cut = seen.filter(
          (w) => w.left < clear.left || w.right > clear.right || w.top < clear.top || w.bottom > clear.bottom,
        )
        // Among those that cut as few, where there is more to see.
        const cost = cut.length - seen.length / 25
        if (cost < best.cost) best = { left, top, cost }
      }
    }
    pan.scrollLeft = best.left
    pan.scrollTop = best.top
    this.edges()
  }

  /** Where the drawing goes on, the window's edge fades. */
  private edges = () => {
    const { pan } = this
    if (!pan || this.fixed) return
    const more = {
      left: pan.scrollLeft > 2,
      right: pan.scrollLeft + pan.clientWidth < pan.scrollWidth - 2,
      top: pan.scrollTop > 2,
      bottom: pan.scrollTop + pan.clientHeight < pan.scrollHeight - 2,
    }
    for (const [side, on] of Object.entries(more))
      pan.parentElement!.style.setProperty(`--${side}`, on ? '18px' : '0px')
  }
}

define('bl-schematic', Schematic)
