import { css, html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { controls } from '../../theme/controls.ts'
import { define, Part } from '../part.ts'

/**
 * What was found, to take along: as text to the clipboard, to another program, to paper. Over plain http, as on a workshop's own
 * network, browsers give no clipboard to write to: then the text is shown, marked, for the keyboard's own copy.
 */
export class TakeAlong extends Part {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 9px;
      }
      .tools {
        display: flex;
        flex-wrap: wrap;
        gap: 8px;
      }
      .tools button {
        border-color: var(--bl-edge);
      }
      textarea {
        font-size: 0.92em;
        background: var(--bl-stub);
      }
      @media print {
        :host {
          display: none;
        }
      }
    `,
  ]

  @property({ attribute: false }) text = ''
  @property() heading = ''
  @state() private said: '' | 'copied' | 'copy-yourself' = ''
  #back?: ReturnType<typeof setTimeout>

  override willUpdate(changed: Map<string, unknown>) {
    if (changed.has('text')) this.said = ''
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    clearTimeout(this.#back)
  }

  override render() {
    const { t, said } = this
    return html`<div class="tools">
        <button @click=${this.copy}>${t('copy')}</button>
        ${'share' in navigator ? html`<button @click=${this.share}>${t('share')}</button>` : nothing}
        <button @click=${() => print()}>${t('print')}</button></div>
      <p class="soft" role="status" ?hidden=${!said}>${said ? t(said) : ''}</p>
      ${said === 'copy-yourself' ? html`<textarea readonly rows="7" aria-label=${t('copy')} .value=${this.text}></textarea>` : nothing}`
  }

  private copy = async () => {
    clearTimeout(this.#back)
    try {
      await navigator.clipboard.writeText(this.text)
      this.said = 'copied'
      this.#back = setTimeout(() => (this.said = ''), 6000)
    } catch {
      this.said = 'copy-yourself'
      await this.updateComplete
      const field = this.renderRoot.querySelector('textarea')!
      field.focus()
      field.select()
    }
  }

  private share = () => {
    // Putting the choice away is no failure.
    navigator.share({ title: this.heading, text: this.text }).catch(() => undefined)
  }
}

define('bl-take-along', TakeAlong)
