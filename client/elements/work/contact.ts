import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { define, problemLine } from '../part.ts'
import { contactStyles } from './contact.styles.ts'
import { Form } from './form.ts'
import { formStyles } from './work.styles.ts'

/** What the server takes for a phone number. */
const PHONE = /^[0-9+()./ -]*$/

/** How to reach the customer: a name, a phone, both or neither; can be mended and taken out again. */
export class Contact extends Form {
  static override styles = [controls, formStyles, contactStyles]

  @property({ attribute: false }) noted?: Noted
  /** said by a technician of a customer */
  @property({ type: Boolean }) technician = false
  @property({ type: Boolean }) closed = false
  @state() private changing = false
  @state() private wrong?: 'empty' | 'phone'
  protected readonly form = 'contact'

  override render() {
    if (!this.worded) return nothing
    const contact = this.noted?.work?.contact
    const typed = Object.keys(this.draft).length > 0
    const given = contact && !this.changing && !typed
    const heading = html`<h3>${this.w(this.technician ? 'contact-technician' : given ? 'contact-given' : 'contact')}</h3>`
    if (given) {
      const { name, phone } = contact
      return html`${heading}<p class="left" role="status">${name ? html`<b>${name}</b>` : nothing}
          ${phone ? (this.technician ? html`<a class="number" href="tel:${phone.replace(/[^0-9+]/g, '')}">${phone}</a>` : html`<span class="number">${phone}</span>`) : nothing}</p>
        ${this.technician ? nothing : html`<p class="soft">${this.w('contact-kept')}</p>`}
        ${problemLine(this.problem)}
        ${
          this.closed
            ? nothing
            : html`<div class="row no-print"><button data-next @click=${() => (this.changing = true)}>${this.t('change-answer')}</button>
                <button aria-disabled=${this.waiting} @click=${this.takeOut}>${this.w('contact-out')}</button></div>`
        }`
    }
    if (this.closed) return contact ? nothing : html`${heading}<p class="soft">${this.w('contact-none')}</p>`
    if (this.technician && !this.changing && !typed) {
      return html`${heading}<p class="soft">${this.w('contact-none')}</p>
        <div class="row no-print"><button @click=${() => (this.changing = true)}>${this.w('contact-add')}</button></div>`
    }
    return html`${heading}<form class="no-print" @submit=${this.send} novalidate>
      ${this.technician ? nothing : html`<p class="soft">${this.w('contact-lead')}</p>`}
      <div class="two"><div class="field"><label for="name">${this.w('contact-name')}</label>
        <input id="name" name="name" maxlength="80" autocomplete=${this.technician ? 'off' : 'name'} .value=${this.draft.name ?? contact?.name ?? ''} @input=${this.typed} /></div>
      <div class="field"><label for="phone">${this.w('contact-phone')}</label>
        <input id="phone" name="phone" type="tel" maxlength="40" autocomplete=${this.technician ? 'off' : 'tel'} .value=${this.draft.phone ?? contact?.phone ?? ''} @input=${this.typed} /></div></div>
      ${this.wrong ? problemLine({ code: 'invalid', text: this.w(`contact-wrong-${this.wrong}`), mend: this.w(`contact-wrong-${this.wrong}-mend`) }, 'wrong') : nothing}
      ${problemLine(this.problem)}
      <div class="row"><button class="main" aria-disabled=${this.waiting}>${this.w(this.technician ? 'contact-keep' : 'contact-send')}</button></div>
    </form>`
  }

  private send = (e: Event) => {
    e.preventDefault()
    if (this.waiting) return
    const value = (id: string) => this.renderRoot.querySelector<HTMLInputElement>(`#${id}`)!.value.trim()
    const [name, phone] = [value('name'), value('phone')]
    this.wrong = name === '' && phone === '' ? 'empty' : PHONE.test(phone) ? undefined : 'phone'
    if (this.wrong)
      return this.renderRoot.querySelector<HTMLElement>(this.wrong === 'phone' ? '#phone' : '#name')?.focus()
    this.act({ type: 'contact', ...(name && { name }), ...(phone && { phone }) })
  }

  private takeOut = () => {
    if (!this.waiting) this.act({ type: 'contact' })
  }

  protected override stored() {
    super.stored()
    this.changing = false
    // What was pressed is gone with the form: whoever goes by keyboard goes on from here.
    if (this.shadowRoot?.activeElement) void this.updateComplete.then(() => this.focusNext())
  }
}

define('bl-contact', Contact)
