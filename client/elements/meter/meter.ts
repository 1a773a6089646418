import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { MeterBody } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { fetchMeterTexts, type MeterText, meterInEnglish, meterTexts } from '../../texts/meter.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { meterStyles } from './meter.styles.ts'
import '../battery-bars/battery-bars.ts'
import '../schematic/schematic.ts'
import '../step-plot/step-plot.ts'

/** Causes that the list offers first. */
const LIKELY = 6

type Wanted = Partial<Record<'circuit' | 'red' | 'black' | 'cause', string>> & { step?: number }

/** What was measured so far, drawn; and what every instrument would show at any two points of this car. */
export class Meter extends Part {
  static override styles = [controls, meterStyles]

  @property() language = 'en'
  /** of the current check */
  @property({ attribute: false }) meter?: MeterBody
  /** of the points that were picked here */
  @property({ attribute: false }) looked?: MeterBody
  /** the check that shows its own plot */
  @property({ attribute: false }) plotOf?: string
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  @property({ type: Boolean }) open = false
  @state() private m: MeterText = meterInEnglish
  /** what was chosen and is on its way: several choices may be made before the first is answered */
  @state() private draft?: Wanted
  /** the probe that the next touched place gets */
  @state() private next: 'red' | 'black' = 'red'

  override willUpdate(changed: Map<string, unknown>) {
    // Whoever has looked somewhere goes on looking there, also beside the next check.
    if (!this.hasUpdated && this.looked) this.open = true
    if (changed.has('waiting') && !this.waiting) this.draft = undefined
    if (!changed.has('language')) return
    const known = meterTexts(this.language)
    if (known) this.m = known
    else void fetchMeterTexts(this.language).then((m) => (this.m = m))
  }

  override render() {
    const body = this.looked ?? this.meter
    if (!body) return nothing
    const { m } = this
    const { steps, blocks } = (this.meter ?? body).pictures
    const plots = steps.filter(
      (p) => p.rows.some((r) => r.measured !== undefined) && !p.rows.some((r) => r.check && r.check === this.plotOf),
    )
    return html`
      ${
        plots.length > 0 || blocks
          ? html`<section class="drawn"><h3>${m('pictures')}</h3>
              ${plots.map((p) => html`<bl-step-plot language=${this.language} .plot=${p}></bl-step-plot>`)}
              ${blocks ? html`<bl-battery-bars language=${this.language} .blocks=${blocks}></bl-battery-bars>` : nothing}</section>`
          : nothing
      }
      <details class="fold no-print" ?open=${this.open} @toggle=${(e: Event) => (this.open = (e.target as HTMLDetailsElement).open)}>
        <summary>${m('meter')}</summary>
        ${this.open ? this.bench(body) : nothing}
      </details>`
  }

  private bench(body: MeterBody) {
    const { m } = this
    const own = this.looked?.pictures.steps[0]
    return html`<p class="lead">${m('meter-lead')}</p>
      ${this.form(body)}
      ${problemLine(this.problem)}
      <div class=${this.waiting ? 'busy' : ''} aria-busy=${this.waiting}>
        <p class="state" role="status">${this.waiting ? m('working') : [body.stateSay, body.taken].filter(Boolean).join('. ')}</p>
        ${this.readings(body)}
        ${own?.rows.some((r) => r.expected) && !own.rows.some((r) => r.measured !== undefined) ? html`<div class="drawn"><bl-step-plot language=${this.language} .plot=${own}></bl-step-plot></div>` : nothing}
        ${body.pictures.circuit ? html`<bl-schematic pick language=${this.language} .picture=${body.pictures.circuit} @bl-place=${this.touched}></bl-schematic>` : nothing}
        <p class="hint">${m('tap-hint')}</p>
      </div>`
  }

  private form(body: MeterBody) {
    const { m, wanted } = this
    const [likely, others] = [body.causes.slice(0, LIKELY), body.causes.slice(LIKELY)]
    const option = (id: string, name: string, chosen: boolean) =>
      html`<option value=${id} ?selected=${chosen}>${name}</option>`
    const places = (which: 'red' | 'black') =>
      html`<label><span>${m(which)}</span><select name=${which} .value=${wanted[which] ?? ''} @change=${this.changed}>
        ${body.places.map((g) => html`<optgroup label=${g.group}>${g.nodes.map((n) => option(n.id, n.name, n.id === wanted[which]))}</optgroup>`)}</select></label>`
    // The two share a line where both are there.
    const wide = body.circuits.length > 1 && body.steps.length > 0 ? '' : 'wide'
    return html`<form @submit=${(e: Event) => e.preventDefault()}>
      ${
        body.circuits.length > 1
          ? html`<label class=${wide}><span>${m('circuit')}</span><select name="circuit" .value=${wanted.circuit ?? ''} @change=${this.changed}>${body.circuits.map((c) => option(c.id, c.name, c.id === wanted.circuit))}</select></label>`
          : nothing
      }
      ${
        body.steps.length > 0
          ? html`<label class=${wide}><span>${m('at-click')}</span><select name="step" .value=${String(wanted.step ?? 0)} @change=${this.changed}>
              ${body.steps.map((s) => option(String(s), s === 0 ? m('pedal-up') : m('click', { n: s }), s === (wanted.step ?? 0)))}</select></label>`
          : nothing
      }
      ${places('red')}${places('black')}
      <label class="wide"><span>${m('cause')}</span><select name="cause" .value=${wanted.cause ?? ''} @change=${this.changed}>
        ${option('', m('cause-none'), !wanted.cause)}
        <optgroup label=${m('causes-likely')}>${likely.map((c) => option(c.id, c.name, c.id === wanted.cause))}</optgroup>
        ${others.length > 0 ? html`<optgroup label=${m('causes-other')}>${others.map((c) => option(c.id, c.name, c.id === wanted.cause))}</optgroup>` : nothing}
      </select></label></form>`
  }

  private readings(body: MeterBody) {
    const { m } = this
    return html`<table class="shown"><thead class="hidden"><tr><th>${m('instrument')}</th><th>${m('shows')}</th></tr></thead>
      <tbody>${body.readings.map(
        (r) => html`<tr><th scope="row">${r.name}
          ${r.around ? html`<small>${m('round', { part: r.around })}</small>` : nothing}
          ${r.dead ? html`<small>${m('dead')}</small>` : nothing}</th>
        <td>${r.said}${r.sound ? html`<small>${m('sound-shows', { said: r.sound })}</small>` : nothing}</td></tr>`,
      )}</tbody></table>`
  }

  private changed = (e: Event) => {
    const field = e.target as HTMLSelectElement
    if (field.name === 'circuit') return this.ask({ circuit: field.value })
    this.ask({ ...this.wanted, [field.name]: field.name === 'step' ? Number(field.value) : field.value })
  }

  private touched = (e: CustomEvent<string>) => {
    e.stopPropagation()
    this.ask({ ...this.wanted, [this.next]: e.detail })
    this.next = this.next === 'red' ? 'black' : 'red'
  }

  /** What stands in the form now. */
  private get wanted(): Wanted {
    if (this.draft) return this.draft
    const body = (this.looked ?? this.meter)!
    const step = body.carState['step']
    return {
      circuit: body.circuit,
      red: body.red.id,
      black: body.black.id,
      ...(typeof step === 'number' && body.steps.length > 0 ? { step } : {}),
      cause: body.cause?.id ?? '',
    }
  }

  private ask(wanted: Wanted) {
    this.draft = wanted
    const { cause, ...rest } = wanted
    this.act({ type: 'meter', ...rest, ...(cause ? { cause } : {}) })
  }
}

define('bl-meter', Meter)
