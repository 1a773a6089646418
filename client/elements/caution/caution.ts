import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { CautionBody } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { cautionStyles } from './caution.styles.ts'

/**
 * One caution with its ANSI Z535.6 signal word: a band when it stands beside something, a full panel with a button when it
 * has to be acknowledged before anything else is shown.
 *
 * @csspart caution - The panel.
 * @csspart signal-word - The signal word with its safety alert symbol.
 */
export class Caution extends Part {
  static override styles = [controls, cautionStyles]

  @property({ attribute: false }) caution!: CautionBody
  /** others that were acknowledged too, folded together with this one, which is the gravest */
  @property({ attribute: false }) also: CautionBody[] = []
  /** nobody may act on it here: shown as a band, whatever it asks */
  @property({ type: Boolean }) band = false
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  @state() private unfolded = false

  override render() {
    const { id, signal, hazard, act, acknowledge, acknowledged } = this.caution
    const open = acknowledge && !acknowledged && !this.band
    // Once acknowledged it takes one line; a tap shows the rest again.
    const folds = !open && acknowledged
    return html`<article part="caution" class="${open ? 'open' : 'closed'} ${folds ? 'folds' : ''} ${folds && !this.unfolded ? 'folded' : ''}">
      <span class="word ${signal}" part="signal-word">
        ${
          // ANSI Z535.4: the safety alert symbol goes with every word but NOTICE, which is about things only.
          signal === 'NOTICE'
            ? nothing
            : html`<svg viewBox="0 0 20 18" aria-hidden="true"><path d="M10 .8 19.6 17.4H.4Z" fill="currentColor"/><path d="M10 6.2v5.4M10 13.6v1.8" stroke=${signal === 'DANGER' ? '#c8102e' : signal === 'WARNING' ? '#ff8200' : '#ffd100'} stroke-width="2"/></svg>`
        }${this.t(`signal-${signal}`)}</span>
      <div class="text">
        ${open ? html`<h2 tabindex="-1" data-next>${hazard}</h2>` : html`<p>${[hazard, ...this.also.map((c) => c.hazard)].join(' ')}</p>`}
        <ul>${[...act, ...this.also.flatMap((c) => c.act)].map((a) => html`<li>${a}</li>`)}</ul>
      </div>
      ${folds ? html`<button class="quiet fold no-print" aria-expanded=${this.unfolded} @click=${() => (this.unfolded = !this.unfolded)}><span class="hidden">${this.t(this.unfolded ? 'hide' : 'read')}</span></button>` : nothing}
      ${
        open
          ? html`<div class="do no-print">
            ${problemLine(this.problem)}
            <button class="main" aria-disabled=${this.waiting} @click=${() => this.waiting || this.act({ type: 'acknowledge', caution: id })}>
              ${this.t('caution-acknowledge')}
            </button>
          </div>`
          : nothing
      }
    </article>`
  }
}

define('bl-caution', Caution)
