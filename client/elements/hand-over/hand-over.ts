import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { CautionBody, FindingBody, Noted, Opened, Standing } from '../../../rules/protocol/index.ts'
import type { Drafts } from '../../connection/drafts.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { noteOf } from '../finding/note.ts'
import { define, Part, rangeOf } from '../part.ts'
import { handOverStyles } from './hand-over.styles.ts'
import '../qr/qr.ts'
import '../take-along/take-along.ts'
import '../work/contact.ts'

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
  /** what stands above it already */
  @property({ attribute: false }) cautions: readonly CautionBody[] = []
  @property({ attribute: false }) problem?: Problem
  @property({ attribute: false }) drafts?: Drafts
  /** where the code leads when it is scanned */
  @property() link = ''
  @property({ type: Boolean }) waiting = false
  /** the job is still in this browser: the shop does not know the code yet */
  @property({ type: Boolean }) here = false

  override render() {
    const { finding: f, opened, standing } = this
    const estimate = standing?.estimate
    const until = f.until.filter((u) => !this.cautions.some((c) => c.hazard.startsWith(u.replace(/\.$/, ''))))
    return html`<article>
      <header><h2 tabindex="-1" data-next>${f.title}</h2><p class="say">${f.say}</p></header>
      <div class="pass"><bl-qr .text=${this.link} label=${this.t('qr')}></bl-qr>
        <div><p>${opened?.shop.name ? this.t('show-this', { shop: opened.shop.name }) : this.t('show-this-shop')}</p><p class="code" part="code">${f.code}</p>
          <p class="soft">${[opened?.shop.phone, opened?.shop.hours].filter(Boolean).join(' · ')}</p>
          ${this.here ? html`<p class="soft">${this.t('code-later')}</p>` : nothing}</div></div>
      <slot name="hand-over"></slot>
      ${estimate && estimate.high > 0 ? html`<p>${this.t('estimate-customer', { range: rangeOf(estimate.low, estimate.high, this.t('locale'), estimate.currency) })}</p>` : nothing}
      ${until.length > 0 ? html`<section><h3>${this.t('until')}</h3><ul class="until">${until.map((u) => html`<li>${u}</li>`)}</ul></section>` : nothing}
      <bl-take-along class="no-print" .t=${this.t} heading=${f.title} .text=${this.asText()}></bl-take-along>
      <section class="contact"><bl-contact .t=${this.t} .noted=${this.noted} .drafts=${this.drafts} .problem=${this.problem} ?waiting=${this.waiting}></bl-contact>
        ${this.here && this.noted?.work?.contact ? html`<p class="soft">${this.t('told-here')}</p>` : nothing}</section>
    </article>`
  }

  private asText() {
    const { opened, t } = this
    const { name, phone, hours } = opened?.shop ?? {}
    const shop = [name ? t('show-this', { shop: name }) : t('show-this-shop'), phone, hours].filter(Boolean).join(' · ')
    return `${noteOf(this.finding, this.noted, opened, t)}\n\n${shop}`
  }
}

define('bl-hand-over', HandOver)
