import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, problemLine } from '../part.ts'
import { Form } from './form.ts'
import { formStyles, listStyles } from './work.styles.ts'

const FOUND = ['yes', 'no', 'not-looked'] as const

/** Why the old part failed, one question at a time; what was answered can be reopened and given a word. */
export class WhyFailed extends Form {
  static override styles = [controls, formStyles, listStyles]

  @property({ attribute: false }) noted?: Noted
  /** by root cause */
  @property({ attribute: false }) problems: Readonly<Record<string, Problem>> = {}
  /** root causes on their way */
  @property({ attribute: false }) sending: readonly string[] = []
  /** what was pressed of them */
  @property({ attribute: false }) given: Readonly<Record<string, string>> = {}
  @property({ type: Boolean }) kept = false
  @state() private reopened?: string
  protected readonly form = 'root-cause'

  override willUpdate(changed: Map<PropertyKey, unknown>) {
    super.willUpdate(changed)
    const before = changed.get('sending') as readonly string[] | undefined
    for (const root of before ?? []) {
      if (this.sending.includes(root) || this.problems[`root-cause:${root}`]) continue
      this.put(root, '')
      if (this.reopened === root) this.reopened = undefined
    }
  }

  override render() {
    const answers = new Map((this.noted?.work?.rootCauses ?? []).map((r) => [r.root, r]))
    const asked = this.noted?.askWhy ?? []
    const rest = [...answers.values()].filter((a) => !asked.some((x) => x.root === a.root))
    const entries = [...asked, ...rest.map((a) => ({ root: a.root, name: a.name, ask: '', first: false }))]
    const next = this.reopened ?? asked.find((x) => !answers.has(x.root))?.root
    return html`<p class="soft">${this.w(asked.some((x) => x.first) ? 'work-why-first' : 'work-why-lead')}</p>
      <ul class="list">${entries.map((x) => {
        const answer = answers.get(x.root)
        if (x.root === next) return this.open(x, answer)
        const result = answer ? this.w(`root-${answer.found}`) : this.w('work-to-do')
        return html`<li><button class="entry" @click=${() => this.reopen(x.root)}><span>${x.name}</span>
          <span class="result ${answer ? (answer.found === 'yes' ? 'was' : '') : 'none'}">${result}</span>${answer?.text ? html`<span class="word">${answer.text}</span>` : nothing}</button>
          ${problemLine(this.problems[`root-cause:${x.root}`])}</li>`
      })}</ul>`
  }

  private open(
    x: { root: string; name: string; ask: string },
    answer: NonNullable<Noted['work']>['rootCauses'][number] | undefined,
  ) {
    const busy = this.sending.includes(x.root)
    return html`<li class="open"><b id="root">${x.name}</b>${x.ask ? html`<p>${x.ask}</p>` : nothing}
      <div class="field"><label for="word">${this.w('work-why-word')}</label>
        <input id="word" name=${x.root} maxlength="300" autocomplete="off" .value=${this.draft[x.root] || answer?.text || ''} @input=${this.typed} /></div>
      <div class="answers" role="group" aria-labelledby="root">${FOUND.map(
        (found, i) =>
          html`<button ?data-next=${i === 0} aria-pressed=${(this.given[x.root] ?? answer?.found) === found} aria-disabled=${busy} @click=${() => this.answer(x.root, found)}>${this.w(`root-${found}`)}</button>`,
      )}</div>
      ${busy ? html`<p class="kept" role="status">${this.t(this.kept ? 'kept' : 'sending')}</p>` : nothing}
      ${problemLine(this.problems[`root-cause:${x.root}`])}</li>`
  }

  private reopen(root: string) {
    this.reopened = root
    void this.updateComplete.then(() => this.focusNext())
  }

  private answer(root: string, found: (typeof FOUND)[number]) {
    if (this.sending.includes(root)) return
    const text = this.renderRoot.querySelector<HTMLInputElement>('#word')?.value.trim()
    this.act({ type: 'root-cause', root, found, ...(text && { text }) })
  }
}

define('bl-why-failed', WhyFailed)
