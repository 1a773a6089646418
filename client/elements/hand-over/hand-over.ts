import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { FindingBody, Noted, Opened, Standing } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine, rangeOf } from '../part.ts'
import { handOverStyles } from './hand-over.styles.ts'
import '../qr/qr.ts'

/**
 * What a customer takes along: what it most likely is in plain words, the code for the shop, and what to do until then.
 *
 * @slot hand-over - Below the code: the shop's own words, such as where to bring the car.
 * @csspart code - The hand-over code.
 */
export class HandOver extends Part {
  static override styles = [controls, handOverStyles]

  @property({ attribute: false }) finding!: FindingBody
  @property({ attribute: false }) opened?: Opened
  @property({ attribute: false }) noted?: Noted
  @property({ attribute: false }) standing?: Standing
  @property({ attribute: false }) problem?: Problem
  /** where the code leads when it is scanned */
  @property() link = ''
  @property({ type: Boolean }) waiting = false
  /** the job is still in this browser: the shop does not know the code yet */
  @property({ type: Boolean }) here = false
  @state() private phone = ''

  override render() {
    const { finding: f, opened, standing } = this
    const estimate = standing?.estimate
    const told = (this.noted?.notes ?? []).some((n) => n.by === 'customer')
    return html`<article>
      <header><h2 tabindex="-1" data-next>${f.title}</h2><p class="say">${f.say}</p></header>
      <div class="pass"><bl-qr .text=${this.link} label=${this.t('qr')}></bl-qr>
        <div><p>${opened?.shop.name ? this.t('show-this', { shop: opened.shop.name }) : this.t('show-this-shop')}</p><p class="code" part="code">${f.code}</p>
          <p class="soft">${[opened?.shop.phone, opened?.shop.hours].filter(Boolean).join(' · ')}</p>
          ${this.here ? html`<p class="soft">${this.t('code-later')}</p>` : nothing}</div></div>
      <slot name="hand-over"></slot>
      ${
        f.until.length > 0 || (estimate && estimate.high > 0)
          ? html`<section><h3>${this.t('until')}</h3><ul class="until">
              ${f.until.map((u) => html`<li>${u}</li>`)}
              ${estimate && estimate.high > 0 ? html`<li>${this.t('estimate-customer', { range: rangeOf(estimate.low, estimate.high, this.t('locale')) })}</li>` : nothing}
            </ul></section>`
          : nothing
      }
      <form class="no-print" @submit=${this.submit}>
        ${
          told
            ? html`<p class="sent" role="status">${this.t(this.here ? 'told-here' : 'told')}</p>`
            : html`<label for="phone">${this.t('phone')}</label><div>
                <input id="phone" type="text" inputmode="tel" autocomplete="tel" maxlength="80" .value=${this.phone}
                  @input=${(e: Event) => (this.phone = (e.target as HTMLInputElement).value)} />
                <button class="main" aria-disabled=${this.waiting}>${this.t('phone-send')}</button></div>`
        }
        ${problemLine(this.problem)}
      </form>
    </article>`
  }

  private submit = (e: Event) => {
    e.preventDefault()
    const text = this.phone.trim()
    if (text === '' || this.waiting) return this.renderRoot.querySelector('input')?.focus()
    this.act({ type: 'tell', text: `${this.t('phone-note')} ${text}` })
  }
}

define('bl-hand-over', HandOver)
