import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { TrailItem } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { trailStyles } from './trail.styles.ts'

/**
 * What has been answered, a punched hole for each: tap one to change it or take it back.
 *
 * @csspart trail - The list.
 */
export class Trail extends Part {
  static override styles = [controls, trailStyles]

  @property({ attribute: false }) trail: readonly TrailItem[] = []
  @property({ attribute: false }) problems: Readonly<Record<string, Problem>> = {}
  /** the current question, the last entry */
  @property() now = ''
  @property({ type: Boolean }) technician = false
  @property({ type: Boolean }) closed = false
  @state() private reopened?: string

  override render() {
    if (this.trail.length === 0 && !this.now) return html`<p class="empty">${this.t('trail-empty')}</p>`
    return html`<ol part="trail">
      ${this.trail.map((item) => this.item(item))}
      ${this.now ? html`<li class="now"><div class="item"><span class="q">${this.t('now')}</span><span class="a">${this.now}</span></div></li>` : nothing}
    </ol>`
  }

  private item(item: TrailItem) {
    const open = this.reopened === item.check && !this.closed
    const said = item.check.startsWith('complaint.') || item.check.startsWith('circumstance.')
    const { instrument } = item
    return html`<li class="${item.doubted ? 'doubted' : ''} ${item.outcome === 'dont-know' ? 'open' : ''}">
      <button class="item" aria-expanded=${this.closed ? nothing : open} @click=${() => (this.reopened = open ? undefined : item.check)}>
        <span class="q">${item.question}</span><span class="a">${item.answer}</span>
        ${this.technician && (item.by === 'customer' || instrument) ? html`<span class="by">${item.by === 'customer' ? this.t('by-customer') : instrument}</span>` : nothing}
        ${item.doubted ? html`<span class="doubt">${this.t('doubted')}</span>` : nothing}
      </button>
      ${
        open
          ? html`<div class="reopen">
            ${said || !this.technician ? nothing : html`<button @click=${() => this.change(item.check)}>${this.t('change-answer')}</button>`}
            <button @click=${() => this.retract(item.check)}>${this.t('take-back')}</button></div>`
          : nothing
      }
      ${problemLine(this.problems[`retract:${item.check}`])}
    </li>`
  }

  private change(check: string) {
    this.reopened = undefined
    this.act({ type: 'pick', check })
  }

  private retract(check: string) {
    this.reopened = undefined
    this.act({ type: 'retract', check })
  }
}

define('bl-trail', Trail)
