import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Opened, Understood } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { sayStyles } from './say.styles.ts'

/**
 * The first question: what is wrong, in free words or picked from the list; and, when the words were not understood for
 * sure, what they may have meant.
 *
 * @csspart question - The heading.
 * @csspart words - The field for free words.
 */
export class Say extends Part {
  static override styles = [controls, sayStyles]

  @property({ attribute: false }) complaints: Opened['complaints'] = []
  @property({ attribute: false }) understood?: Understood
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  @property({ type: Boolean }) technician = false
  /** the question and its hint, where the server words them */
  @property() heading = ''
  @property() hint = ''
  /** what is being typed: it stays until it was taken */
  @state() private words = ''
  @state() private picking = false

  override render() {
    const unsure = this.understood && !this.understood.sure && !this.understood.check ? this.understood : undefined
    return unsure ? this.asked(unsure) : this.first()
  }

  private first() {
    return html`
      <div>
        <h2 tabindex="-1" data-next part="question">${this.heading || this.t(this.technician ? 'say-title-technician' : 'say-title')}</h2>
        <p class="lead" id="lead">${this.hint || this.t(this.technician ? 'say-lead-technician' : 'say-lead')}</p>
      </div>
      ${this.form(this.t('say-example'))}
      ${this.list()}`
  }

  private asked(understood: Understood) {
    const recognised = understood.options.length > 0 || understood.complaints.length > 0
    const options =
      understood.options.length > 0 ? understood.options : understood.complaints.map((c) => ({ ...c, plain: '' }))
    const circumstances = understood.circumstances.map((c) => c.id)
    return html`
      <div>
        <h2 tabindex="-1" data-next part="question">${this.t(recognised ? 'say-unsure' : 'say-unknown')}</h2>
        <p class="lead">${understood.text}</p>
      </div>
      ${
        recognised
          ? html`<div class="options" role="group" aria-label=${this.t('say-unsure')}>
            ${options.map(
              (o) => html`<button aria-disabled=${this.waiting} @click=${() => this.pick(o.id, circumstances)}>
                ${this.technician || !o.plain ? o.name : o.plain}${this.technician && o.plain ? html`<small>${o.plain}</small>` : nothing}
              </button>`,
            )}
          </div>`
          : nothing
      }
      ${this.form(this.t('say-again'))}
      ${this.list(!recognised)}`
  }

  private form(label: string) {
    return html`<form @submit=${this.submit}>
      <textarea part="words" rows="3" maxlength="2000" enterkeyhint="send" aria-label=${label} placeholder=${label}
        aria-describedby=${this.problem ? 'problem' : nothing} .value=${this.words}
        @input=${(e: Event) => (this.words = (e.target as HTMLTextAreaElement).value)}
        @keydown=${this.enter}></textarea>
      ${problemLine(this.problem)}
      <button class="main" aria-disabled=${this.waiting}>${this.t(this.waiting ? 'sending' : 'say-send')}</button>
    </form>`
  }

  private list(open = false) {
    return html`<details class="pick" ?open=${open || this.picking} @toggle=${this.toggled}>
      <summary>${this.t('say-pick')}</summary>
      ${
        this.complaints.length === 0
          ? html`<p class="soft">${this.t('say-list-coming')}</p>`
          : html`<div class="list two">
            ${this.complaints.map(
              (c) => html`<button aria-disabled=${this.waiting} @click=${() => this.pick(c.id)}>
                ${this.technician ? c.name : c.plain}</button>`,
            )}
          </div>`
      }
    </details>`
  }

  private toggled = (e: Event) => {
    this.picking = (e.target as HTMLDetailsElement).open
    if (this.picking && this.complaints.length === 0) this.wish('open')
  }

  private pick(id: string, circumstances: string[] = []) {
    if (this.waiting) return
    this.act({ type: 'say', complaints: [id], ...(circumstances.length > 0 && { circumstances }) })
  }

  private enter = (e: KeyboardEvent) => {
    // Enter sends, as on a form of one line; Shift and Enter makes a new line.
    if (e.key === 'Enter' && !e.shiftKey && !e.isComposing) this.submit(e)
  }

  private submit = (e: Event) => {
    e.preventDefault()
    const text = this.words.trim()
    if (text === '' || this.waiting) return this.renderRoot.querySelector('textarea')?.focus()
    this.act({ type: 'say', text })
  }
}

define('bl-say', Say)
