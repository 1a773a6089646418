import { html, LitElement, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { PaperPictures as Pictures } from '../../../rules/protocol/index.ts'
import { type DeskText, deskInEnglish } from '../../texts/desk.ts'
import '../battery-bars/battery-bars.ts'
import { define } from '../part.ts'
import '../schematic/schematic.ts'
import '../step-plot/step-plot.ts'
import { paperPicturesStyles } from './paper-pictures.styles.ts'

/**
 * What was measured, drawn in black for paper: the rows of clicks, the blocks, the circuit with its probes. The circuit is
 * the tallest and stands last, so that what is small still fills the page before it.
 */
export class PaperPictures extends LitElement {
  static override styles = paperPicturesStyles

  @property({ attribute: false }) t: DeskText = deskInEnglish
  @property({ attribute: false }) pictures!: Pictures

  override render() {
    const { t } = this
    const { circuit, steps, blocks, at, repaired } = this.pictures
    if (!circuit && steps.length === 0 && !blocks) return nothing
    const language = t('locale')
    return html`<section><h3>${t('drawn')}</h3>
      ${steps.map((plot) => html`<bl-step-plot class="whole" fixed language=${language} .plot=${plot}></bl-step-plot>`)}
      ${blocks ? html`<bl-battery-bars class="whole" fixed language=${language} .blocks=${blocks}></bl-battery-bars>` : nothing}
      ${
        circuit
          ? html`<div class="whole">
              ${this.drawn(html`<bl-schematic fixed language=${language} .picture=${circuit}></bl-schematic>`)}
              ${at ? html`<p>${at.question} <b>${at.answer}</b></p><p class="small">${repaired ? `${t('drawn-before')} ` : ''}${t('drawn-sound', { state: at.stateSay || 'none' })}</p>` : nothing}
            </div>`
          : nothing
      }
    </section>`
  }

  private drawn(picture: unknown) {
    return html`<div class="drawn" data-scrolls tabindex="0" role="group" aria-label=${this.t('drawn')}>${picture}</div>`
  }
}

define('bl-paper-pictures', PaperPictures)
