import { html, nothing, svg } from 'lit'
import { property, query, state } from 'lit/decorators.js'
import type { CircuitPicture } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { Drawing } from '../drawing.ts'
import { define } from '../part.ts'
import { boundsOf, drawCircuit, probePlace } from './draw.ts'
import { schematicStyles } from './schematic.styles.ts'
import { CELL } from './symbols.ts'

const ZOOMS = [0.34, 0.45, 0.6, 0.72, 0.85, 1, 1.25, 1.6, 2]
const PLAIN = ZOOMS.indexOf(1)
/** The smallest at which the words are still read without effort. */
const LEAST_READABLE = ZOOMS.indexOf(0.72)

interface Box {
  left: number
  right: number
  top: number
  bottom: number
}

/** A probe with its tag and a little around it, in cells. */
function roomOf(picture: CircuitPicture, which: 'red' | 'black'): Box | undefined {
  const place = probePlace(picture, which)
  if (!place) return undefined
  const side = picture.nodes.find((n) => n.id === picture[which])?.voltsAt ?? 'ne'
  const tag = 7.4
  return {
    left: place[0] - (side.includes('w') ? tag : side.includes('e') ? 1.6 : tag / 2),
    right: place[0] + (side.includes('e') ? tag : side.includes('w') ? 1.6 : tag / 2),
    top: place[1] - (side.includes('s') ? 1.6 : 2.8),
    bottom: place[1] + (side.includes('n') ? 1.6 : 2.8),
  }
}

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
  #shown = ''

  override updated() {
    const { picture, width } = this
    const key = `${picture.circuit} ${picture.red} ${picture.black}`
    if (this.fixed || width === 0 || key === this.#shown) return
    this.#shown = key
    this.toProbes()
  }

  override render() {
    const { m, picture, fixed } = this
    const bounds = boundsOf(picture)
    const scale = ZOOMS[this.zoom]!
    const words = { volts: this.voltsOf, red: m('probe-red'), black: m('probe-black'), suspect: m('suspect') }
    const drawing = svg`<svg class="circuit" role="img" aria-label=${[picture.title, ...picture.say].join(' ')}
      viewBox="${bounds.x} ${bounds.y} ${bounds.width} ${bounds.height}"
      width=${fixed ? nothing : bounds.width * scale} height=${fixed ? nothing : bounds.height * scale}>
      ${drawCircuit(picture, words, this.pick ? this.touched : undefined)}</svg>`
    return html`<figure>
      <div class="pan" tabindex=${fixed ? nothing : 0} role=${fixed ? nothing : 'group'} aria-label=${fixed ? nothing : m('pan')}>${drawing}</div>
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

  /** Opens the window where both probes are seen, else at the red one. */
  toProbes() {
    const { pan, picture } = this
    if (!pan) return
    const ends = (['red', 'black'] as const).flatMap((which) => {
      const box = roomOf(picture, which)
      return box ? [{ box }] : []
    })
    if (ends.length === 0) return this.whole()
    const boxes = ends.map((e) => e.box)
    const span = (list: readonly Box[]): Box => ({
      left: Math.min(...list.map((q) => q.left)),
      right: Math.max(...list.map((q) => q.right)),
      top: Math.min(...list.map((q) => q.top)),
      bottom: Math.max(...list.map((q) => q.bottom)),
    })
    const both = span(boxes)
    const fits = (z: number) =>
      (both.right - both.left) * CELL * ZOOMS[z]! <= pan.clientWidth &&
      (both.bottom - both.top) * CELL * ZOOMS[z]! <= pan.clientHeight
    let zoom = PLAIN
    while (zoom > LEAST_READABLE && !fits(zoom)) zoom--
    const shown = fits(zoom) ? both : boxes[0]!
    if (!fits(zoom)) zoom = PLAIN
    void this.lookAt(zoom, ((shown.left + shown.right) / 2) * CELL, ((shown.top + shown.bottom) / 2) * CELL)
  }

  private whole() {
    const { pan, picture } = this
    if (!pan) return
    const { x, y, width, height } = boundsOf(picture)
    const most = Math.min(pan.clientWidth / width, pan.clientHeight / height)
    const zoom = ZOOMS.findLastIndex((z) => z <= most)
    void this.lookAt(Math.max(0, zoom), x + width / 2, y + height / 2)
  }

  private zoomTo(zoom: number) {
    const { pan, picture } = this
    if (!pan) return
    const { x, y } = boundsOf(picture)
    const scale = ZOOMS[this.zoom]!
    const middle = (scrolled: number, size: number, from: number) => (scrolled + size / 2) / scale + from
    void this.lookAt(zoom, middle(pan.scrollLeft, pan.clientWidth, x), middle(pan.scrollTop, pan.clientHeight, y))
  }

  private async lookAt(zoom: number, x: number, y: number) {
    this.zoom = zoom
    await this.updateComplete
    const { pan } = this
    if (!pan) return
    const bounds = boundsOf(this.picture)
    const scale = ZOOMS[zoom]!
    pan.scrollLeft = (x - bounds.x) * scale - pan.clientWidth / 2
    pan.scrollTop = (y - bounds.y) * scale - pan.clientHeight / 2
  }
}

define('bl-schematic', Schematic)
