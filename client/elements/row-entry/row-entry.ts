import { html } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { AskBody } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part } from '../part.ts'
import { answerOf } from '../reading/parse.ts'
import { rowEntryStyles } from './row-entry.styles.ts'

/**
 * Several readings taken in one go, entered as one row; what is left empty is not answered.
 *
 * @csspart rows - The list of readings.
 */
export class RowEntry extends Part {
  static override styles = [controls, rowEntryStyles]

  @property({ attribute: false }) row: NonNullable<AskBody['row']> = []
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  @state() private typed: Record<string, string> = {}
  @state() private chosen: Record<string, string> = {}

  private get answers() {
    return this.row.flatMap(({ check, unit }) => {
      const typed = this.typed[check]?.trim()
      if (unit && typed) return [answerOf(check, typed, unit)]
      const outcome = this.chosen[check]
      return outcome ? [{ check, outcome }] : []
    })
  }

  override render() {
    const bad = this.answers[Number(/answers\[(\d+)\]/.exec(this.problem?.field ?? '')?.[1] ?? -1)]?.check
    const left = this.row.length - this.answers.length
    return html`<form @submit=${this.submit}>
      <div class="rows" part="rows">
        ${this.row.map(
          (r, i) => html`<div class="${r.unit ? '' : 'choice'} ${bad === r.check ? 'bad' : ''}">
            <label class="title" id="t${i}" for="i${i}">${r.title}</label>
            ${
              r.unit
                ? html`<span class="entry"><input id="i${i}" ?data-next=${i === 0} inputmode="decimal" autocomplete="off" maxlength="60"
                    enterkeyhint=${i === this.row.length - 1 ? 'send' : 'next'} aria-invalid=${bad === r.check} .value=${this.typed[r.check] ?? ''}
                    @input=${(e: Event) => (this.typed = { ...this.typed, [r.check]: (e.target as HTMLInputElement).value })}
                    @keydown=${this.next} /><span class="unit" aria-hidden="true">${r.unit}</span></span>`
                : html`<span class="entry" role="group" aria-labelledby="t${i}">${r.outcomes
                    .filter((o) => o.id !== 'dont-know')
                    .map(
                      (o) =>
                        html`<button type="button" aria-pressed=${this.chosen[r.check] === o.id} @click=${() => this.choose(r.check, o.id)}>${o.label}</button>`,
                    )}</span>`
            }</div>`,
        )}
      </div>
      <button class="main" aria-disabled=${this.waiting}>${this.t('record-row', { n: this.answers.length })}</button>
      ${left > 0 && this.answers.length > 0 ? html`<p class="soft">${this.t('row-left', { n: left })}</p>` : ''}
    </form>`
  }

  private choose(check: string, outcome: string) {
    this.chosen = { ...this.chosen, [check]: this.chosen[check] === outcome ? '' : outcome }
  }

  /** Enter goes to the next reading; in the last one it records. */
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
    const { answers } = this
    if (this.waiting || answers.length === 0) return this.focusNext()
    this.act({ type: 'answer', answers })
  }
}

define('bl-row-entry', RowEntry)
