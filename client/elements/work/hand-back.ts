import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, problemLine } from '../part.ts'
import { Form } from './form.ts'
import { formStyles, listStyles } from './work.styles.ts'

type Item = NonNullable<Noted['work']>['handBack'][number]
const RESULTS = ['done', 'not-needed'] as const
/** Those of which a figure says more than a tick. */
const WITH_FIGURE = ['torque', 'brake-test', 'road-test', 'charge-cycle'] as const
const figureOf = (item: Item['item']) => WITH_FIGURE.find((x) => x === item)

/** What is gone through before a car is handed back, one at a time: done or not needed, with the figure. */
export class HandBack extends Form {
  static override styles = [controls, formStyles, listStyles]

  @property({ attribute: false }) noted?: Noted
  /** by item */
  @property({ attribute: false }) problems: Readonly<Record<string, Problem>> = {}
  /** items on their way */
  @property({ attribute: false }) sending: readonly string[] = []
  @property({ type: Boolean }) kept = false
  @state() private reopened?: string
  protected readonly form = 'hand-back'

  override willUpdate(changed: Map<PropertyKey, unknown>) {
    super.willUpdate(changed)
    const before = changed.get('sending') as readonly string[] | undefined
    for (const item of before ?? []) {
      if (this.sending.includes(item) || this.problems[`hand-back:${item}`]) continue
      this.put(item, '')
      if (this.reopened === item) this.reopened = undefined
    }
  }

  override render() {
    const toDo = this.noted?.toDo ?? []
    // Said at its own entry once that was refused: not twice.
    const blocks = toDo.filter(
      (x) =>
        (x.what === 'bridge' && !this.problems['hand-back:bridges-out']) ||
        (x.what === 'lead' && !this.problems['hand-back:leads-back']),
    )
    const entries: readonly Item[] =
      this.noted?.work?.handBack ??
      toDo.flatMap((x) => (x.what === 'hand-back' && x.item ? [{ item: x.item, name: x.text }] : []))
    const next = this.reopened ?? entries.find((x) => !x.result)?.item
    return html`
      ${blocks.map((b) => html`<p class="problem"><b>${b.text}</b><span>${this.w('work-block-mend')}</span></p>`)}
      <ul class="list">${entries.map((x) => {
        if (x.item === next) return this.open(x)
        const result = x.result
          ? [this.w(`result-${x.result}`), x.text].filter(Boolean).join(' · ')
          : this.w('work-to-do')
        return html`<li><button class="entry" @click=${() => this.reopen(x.item)}><span>${x.name}</span>
          <span class="result ${x.result ? '' : 'none'}">${result}</span></button>${problemLine(this.problems[`hand-back:${x.item}`])}</li>`
      })}</ul>`
  }

  private open(x: Item) {
    const busy = this.sending.includes(x.item)
    const figure = figureOf(x.item)
    return html`<li class="open"><b id="item">${x.name}</b>
      ${
        figure
          ? html`<div class="field"><label for="figure">${this.w(`figure-${figure}`)}</label>
              <input id="figure" name=${x.item} maxlength="200" autocomplete="off" .value=${this.draft[x.item] || x.text || ''}
                @input=${this.typed} @keydown=${(e: KeyboardEvent) => e.key === 'Enter' && this.answer(x.item, 'done')} /></div>`
          : nothing
      }
      ${problemLine(this.problems[`hand-back:${x.item}`])}
      <div class="answers" role="group" aria-labelledby="item">${RESULTS.map(
        (result, i) =>
          html`<button ?data-next=${i === 0} aria-pressed=${x.result === result} aria-disabled=${busy} @click=${() => this.answer(x.item, result)}>${this.w(`result-${result}`)}</button>`,
      )}</div>
      ${busy ? html`<p class="kept" role="status">${this.t(this.kept ? 'kept' : 'sending')}</p>` : nothing}</li>`
  }

  private reopen(item: string) {
    this.reopened = item
    void this.updateComplete.then(() => this.focusNext())
  }

  private answer(item: Item['item'], result: (typeof RESULTS)[number]) {
    if (this.sending.includes(item)) return
    const text = this.renderRoot.querySelector<HTMLInputElement>('#figure')?.value.trim()
    this.act({ type: 'hand-back', items: [{ item, result, ...(text && { text }) }] })
  }
}

define('bl-hand-back', HandBack)
