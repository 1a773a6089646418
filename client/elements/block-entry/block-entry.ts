import { html } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Problem } from '../../state/view.ts'
import { fetchMeterTexts, type MeterText, meterInEnglish, meterTexts } from '../../texts/meter.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part } from '../part.ts'
import { plainNumber } from '../reading/parse.ts'
import { blockEntryStyles } from './block-entry.styles.ts'

/** The volts of each battery block, entered in the order in which they stand. */
export class BlockEntry extends Part {
  static override styles = [controls, blockEntryStyles]

  @property() language = 'en'
  @property() check = ''
  @property({ type: Number }) count = 0
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  @state() private typed: string[] = []
  /** the first block without a number, once somebody has tried to record */
  @state() private missing?: number
  @state() private m: MeterText = meterInEnglish

  override willUpdate(changed: Map<string, unknown>) {
    if (!changed.has('language')) return
    const known = meterTexts(this.language)
    if (known) this.m = known
    else void fetchMeterTexts(this.language).then((m) => (this.m = m))
  }

  private get volts() {
    return Array.from({ length: this.count }, (_, i) => plainNumber(this.typed[i] ?? ''))
  }

  override render() {
    const { m, count, missing } = this
    const refused = Number(/blocks\[(\d+)\]/.exec(this.problem?.field ?? '')?.[1] ?? -1)
    return html`<form @submit=${this.submit}><p class="soft" id="lead">${m('blocks-lead')}</p>
      <div class="blocks" role="group" aria-labelledby="lead">${Array.from(
        { length: count },
        (
          _,
          i,
        ) => html`<label class="field ${i === missing || i === refused ? 'bad' : ''}"><span>${m('block', { n: i + 1 })}</span>
          <input inputmode="decimal" autocomplete="off" maxlength="12" ?data-next=${i === 0} enterkeyhint=${i === count - 1 ? 'send' : 'next'}
            aria-invalid=${i === missing || i === refused} .value=${this.typed[i] ?? ''} @input=${(e: Event) => this.type(i, (e.target as HTMLInputElement).value)} @keydown=${this.next} /></label>`,
      )}</div>
      ${missing === undefined ? '' : html`<p class="problem" role="alert"><b>${m('blocks-missing', { n: missing + 1 })}</b></p>`}
      <button class="main" aria-disabled=${this.waiting}>${m('blocks-send')}</button></form>`
  }

  private type(i: number, text: string) {
    const typed = [...this.typed]
    typed[i] = text
    this.typed = typed
    if (i === this.missing) this.missing = undefined
  }

  /** Enter goes to the next block; in the last one it records. */
  private next = (e: KeyboardEvent) => {
    if (e.key !== 'Enter') return
    const fields = [...this.renderRoot.querySelectorAll('input')]
    const following = fields[fields.indexOf(e.target as HTMLInputElement) + 1]
    if (!following) return
    e.preventDefault()
    following.focus()
  }

  private submit = (e: Event) => {
    e.preventDefault()
    if (this.waiting) return
    const { volts } = this
    const empty = volts.indexOf(undefined)
    this.missing = empty < 0 ? undefined : empty
    if (empty >= 0) return void this.renderRoot.querySelectorAll('input')[empty]?.focus()
    this.act({ type: 'answer', answers: [{ check: this.check, blocks: volts as number[] }] })
  }
}

define('bl-block-entry', BlockEntry)
