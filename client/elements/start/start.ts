import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { startStyles } from './start.styles.ts'

/** How a technician begins: a new job card, or the one that a customer's code stands for. */
export class Start extends Part {
  static override styles = [controls, startStyles]

  @property({ attribute: false }) problem?: Problem
  @property() code = ''
  @property({ type: Boolean }) waiting = false

  override render() {
    return html`
      <div><h2 tabindex="-1">${this.t('start-title')}</h2><p class="soft">${this.t('start-lead')}</p></div>
      <div class="ways">
        <form @submit=${(e: Event) => this.begin(e, 'tag')}><h3>${this.t('start-new')}</h3>
          <label>${this.t('tag')}<input data-next name="tag" maxlength="40" autocomplete="off" placeholder=${this.t('tag-example')} /></label>
          <button class="main" aria-disabled=${this.waiting}>${this.t('start-new-send')}</button></form>
        <form @submit=${(e: Event) => this.begin(e, 'code')}><h3>${this.t('start-code')}</h3>
          <label>${this.t('code')}<input name="code" class="code" maxlength="20" autocomplete="off" autocapitalize="characters" spellcheck="false" .value=${this.code}
            aria-invalid=${this.problem !== undefined} aria-describedby=${this.problem ? 'problem' : nothing} /></label>
          ${problemLine(this.problem)}
          <button class="main" aria-disabled=${this.waiting}>${this.t('start-code-send')}</button></form>
      </div>`
  }

  private begin(e: Event, name: 'tag' | 'code') {
    e.preventDefault()
    if (this.waiting) return
    const value = String(new FormData(e.target as HTMLFormElement).get(name) ?? '').trim()
    if (name === 'code' && !value) return this.renderRoot.querySelector<HTMLElement>('[name=code]')?.focus()
    this.wish('begin', value ? { [name]: name === 'code' ? value.toUpperCase() : value } : {})
  }
}

define('bl-start', Start)
