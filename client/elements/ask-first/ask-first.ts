import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { type DeskText, deskInEnglish } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { define } from '../part.ts'
import { askFirstStyles } from './ask-first.styles.ts'
import { dialogStyles } from './dialog.styles.ts'

export interface Question {
  title: string
  /** what goes */
  goes: readonly string[]
  /** what stays */
  stays?: readonly string[]
  /** what the button is called that does it */
  yes: string
  /** has to be typed first, where nothing brings it back */
  typed?: string
}

/** Asks before something that can not be taken back, and says what goes and what stays. */
export class AskFirst extends LitElement {
  static override styles = [controls, dialogStyles, askFirstStyles]

  @property({ attribute: false }) t: DeskText = deskInEnglish
  @state() private question?: Question
  @state() private off = false
  private get dialog() {
    return this.renderRoot.querySelector<HTMLDialogElement>('dialog')!
  }
  #settle?: (yes: boolean) => void

  ask(question: Question): Promise<boolean> {
    this.#settle?.(false)
    this.question = question
    this.off = false
    return new Promise<boolean>((settle) => {
      this.#settle = settle
      void this.updateComplete.then(() => this.dialog.showModal())
    }).finally(() => {
      this.#settle = undefined
      this.dialog.close()
      this.question = undefined
    })
  }

  override render() {
    const { t, question: q } = this
    return html`<dialog aria-labelledby="title" @cancel=${this.no}>
      ${
        q
          ? html`<form @submit=${this.yes}>
              <h2 id="title">${q.title}</h2>
              <div><h3>${t('goes')}</h3><ul class="goes">${q.goes.map((x) => html`<li>${x}</li>`)}</ul></div>
              ${q.stays?.length ? html`<div><h3>${t('stays')}</h3><ul>${q.stays.map((x) => html`<li>${x}</li>`)}</ul></div>` : nothing}
              ${
                q.typed
                  ? html`<label>${t('type-to-confirm', { word: q.typed })}<input name="typed" autocomplete="off" autocapitalize="characters" spellcheck="false" aria-invalid=${this.off} />
                      ${this.off ? html`<span class="bad" role="alert">${t('typed-otherwise', { word: q.typed })}</span>` : nothing}</label>`
                  : nothing
              }
              <div class="acts"><button class="main hard">${q.yes}</button><button type="button" ?autofocus=${!q.typed} @click=${this.no}>${t('leave-it')}</button></div>
            </form>`
          : nothing
      }
    </dialog>`
  }

  private yes = (e: Event) => {
    e.preventDefault()
    const typed = String(new FormData(e.target as HTMLFormElement).get('typed') ?? '')
    const plain = (text: string) => text.replace(/[^\p{L}\p{N}]/gu, '').toUpperCase()
    this.off = this.question?.typed !== undefined && plain(typed) !== plain(this.question.typed)
    if (!this.off) this.#settle?.(true)
  }

  private no = (e: Event) => {
    e.preventDefault()
    this.#settle?.(false)
  }
}

define('bl-ask-first', AskFirst)
