import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import type { Drafts } from '../../connection/drafts.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { notesStyles } from './notes.styles.ts'

/** Notes on the job card, a place to add one, and closing the card. */
export class Notes extends Part {
  static override styles = [controls, notesStyles]

  @property({ attribute: false }) noted?: Noted
  @property({ attribute: false }) tellProblem?: Problem
  @property({ attribute: false }) closeProblem?: Problem
  @property({ type: Boolean }) waiting = false
  @property({ attribute: false }) drafts?: Drafts
  /** the card is closed at the end of the job */
  @property({ type: Boolean }) job = false
  @state() private text = ''
  #read = false
  #count = 0

  override willUpdate() {
    if (!this.#read && this.drafts) {
      this.#read = true
      this.text = this.drafts.read('note').text ?? ''
    }
    // What was typed goes only when it stands in the notes.
    const count = this.noted?.notes.length ?? 0
    if (count > this.#count && this.noted?.notes.some((n) => n.text === this.text.trim())) this.keep('')
    this.#count = count
  }

  override render() {
    const notes = this.noted?.notes ?? []
    const closed = this.noted?.status === 'closed'
    const time = new Intl.DateTimeFormat(this.t('locale'), { hour: 'numeric', minute: '2-digit' })
    return html`
      <section><h3>${this.t('notes')}</h3>
        ${notes.length > 0 ? html`<ul>${notes.map((n) => html`<li>${n.text}<span>${this.t(`role-${n.by}`)}, ${time.format(new Date(n.at))}</span></li>`)}</ul>` : nothing}
        ${
          closed
            ? nothing
            : html`<form class="no-print" @submit=${this.tell}>
              <textarea rows="2" maxlength="2000" aria-label=${this.t('note')} placeholder=${this.t('note')} .value=${this.text}
                @input=${(e: Event) => this.keep((e.target as HTMLTextAreaElement).value)}></textarea>
              ${problemLine(this.tellProblem, 'tell-problem')}
              <button aria-disabled=${this.waiting}>${this.t('note-send')}</button></form>`
        }
      </section>
      ${
        closed || this.job
          ? nothing
          : html`<section class="no-print"><h3>${this.t('close-title')}</h3><p class="soft">${this.t('close-lead')}</p>
        ${problemLine(this.closeProblem, 'close-problem')}<p><button @click=${() => this.act({ type: 'close' })}>${this.t('close')}</button></p></section>`
      }`
  }

  private keep(text: string) {
    this.text = text
    this.drafts?.write('note', { text })
  }

  private tell = (e: Event) => {
    e.preventDefault()
    const text = this.text.trim()
    if (text && !this.waiting) this.act({ type: 'tell', text })
  }
}

define('bl-notes', Notes)
