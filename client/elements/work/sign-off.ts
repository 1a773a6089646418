import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { momentOf } from '../moment.ts'
import { define, problemLine } from '../part.ts'
import { Form } from './form.ts'
import { amountOf, readAmount } from './money.ts'
import { STEP_OF } from './steps.ts'
import { formStyles } from './work.styles.ts'

/** The technician stands for the work: what is charged, a word; and before that, what is still in the way. */
export class SignOff extends Form {
  static override styles = [controls, formStyles]

  @property({ attribute: false }) noted?: Noted
  @property() currency = ''
  @state() private again = false
  @state() private wrong = false
  protected readonly form = 'sign-off'

  override render() {
    const open = (this.noted?.toDo ?? []).filter((x) => x.before !== 'repaired')
    const signed = this.noted?.work?.signedOff
    if (open.length > 0)
      return html`<p>${this.w('work-first')}</p>${toDoLinks(open, (step) => this.wish('work', { step }))}`
    if (signed && !this.again) {
      // What was charged stands in the line of the step.
      const line = [this.t(`role-${signed.by}`), momentOf(signed.at, this.t('locale')), signed.text]
      return html`<p class="by">${line.filter(Boolean).join(' · ')}</p><div class="row"><button data-next @click=${() => (this.again = true)}>${this.w('work-sign-again')}</button></div>`
    }
    const upTo = this.noted?.work?.upTo
    const over = this.problem?.code === 'over-approved'
    return html`<form @submit=${this.sign} novalidate>
      <div class="field"><label for="charged">${this.w('work-charged-label')}${this.currency ? ` (${this.currency})` : ''}</label>
        <input data-next class="amount" id="charged" name="charged" inputmode="decimal" autocomplete="off" maxlength="16" aria-describedby="agreed" aria-invalid=${this.wrong || over}
          .value=${this.draft.charged ?? ''} @input=${this.typed} />
        <p class="soft" id="agreed">${upTo === undefined ? this.w('work-nothing-agreed') : this.w('work-agreed', { amount: amountOf(upTo, this.t('locale'), this.currency) })}</p>
        ${this.wrong ? problemLine({ code: 'invalid', text: this.w('work-wrong-amount'), mend: this.w('work-wrong-charged-mend') }, 'wrong') : nothing}${over ? problemLine(this.problem) : nothing}</div>
      <div class="field"><label for="words">${this.w('work-sign-words')}</label>
        <input id="words" name="words" maxlength="500" autocomplete="off" .value=${this.draft.words ?? ''} @input=${this.typed} /></div>
      ${over ? nothing : problemLine(this.problem)}
      <div class="row"><button class="main" aria-disabled=${this.waiting}>${this.w('work-sign-send')}</button>
        ${over ? html`<button type="button" @click=${() => this.wish('work', { step: 'approve' })}>${this.w('work-approve-more')}</button>` : nothing}</div>
    </form>`
  }

  private sign = (e: Event) => {
    e.preventDefault()
    if (this.waiting) return
    const typed = this.draft.charged?.trim() ?? ''
    const charged = typed === '' ? undefined : readAmount(typed)
    this.wrong = typed !== '' && charged === undefined
    if (this.wrong) return this.renderRoot.querySelector<HTMLElement>('#charged')?.focus()
    const text = this.draft.words?.trim()
    this.act({ type: 'sign-off', ...(charged !== undefined && { charged }), ...(text && { text }) })
  }

  protected override stored() {
    super.stored()
    this.again = false
  }
}

/** What is still to do, each a way to where it is done. */
export function toDoLinks(list: readonly NonNullable<Noted['toDo']>[number][], go: (step: string) => void) {
  return html`<ul class="links">${list.map((x) => html`<li><button class="quiet" @click=${() => go(STEP_OF[x.what])}>${x.text}</button></li>`)}</ul>`
}

define('bl-sign-off', SignOff)
