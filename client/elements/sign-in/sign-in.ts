import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { ShopError, signIn } from '../../session/api.ts'
import type { SignedIn } from '../../session/session.ts'
import { type DeskText, deskInEnglish } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { dialogStyles } from '../ask-first/dialog.styles.ts'
import '../mark/mark.ts'
import { define } from '../part.ts'
import { signInStyles } from './sign-in.styles.ts'

/**
 * The sign-in form for technicians and dealers, over the page: what is under it stays as it is, so that a session that
 * ends in mid-work costs nothing.
 *
 * @tag bl-sign-in
 */
export class SignIn extends LitElement {
  static override styles = [tokens, controls, dialogStyles, signInStyles]

  @property({ attribute: false }) t: DeskText = deskInEnglish
  @property() shop = 'demo'
  /** asked for in the gallery and the tests of other elements */
  @property({ attribute: false }) signsIn = signIn
  @state() private why: 'first' | 'over' = 'first'
  @state() private may = false
  @state() private wrong?: ShopError
  @state() private busy = false
  @state() private open = false
  private get dialog() {
    return this.renderRoot.querySelector<HTMLDialogElement>('dialog')!
  }
  #settle?: { done: (who: SignedIn) => void; failed: (error: ShopError) => void }
  #asking?: Promise<SignedIn>

  /**
   * Shows the form until somebody is signed in.
   *
   * @param why `first`: nobody is; `over`: the session ended
   * @param may may the form be put away
   * @throws ShopError where it was put away
   */
  ask(why: 'first' | 'over', may = why === 'over'): Promise<SignedIn> {
    this.#asking ??= new Promise<SignedIn>((done, failed) => {
      this.#settle = { done, failed }
      this.why = why
      this.may = may
      this.wrong = undefined
      this.open = true
      void this.updateComplete.then(() => {
        this.dialog.showModal()
        this.renderRoot.querySelector<HTMLInputElement>('[name=login]')?.focus()
      })
    }).finally(() => {
      this.#asking = undefined
      this.#settle = undefined
      this.dialog.close()
      this.open = false
    })
    return this.#asking
  }

  override render() {
    const { t } = this
    const over = this.why === 'over'
    return html`<dialog class=${over ? '' : 'first'} aria-labelledby="title" @cancel=${this.putAway}>
      ${
        this.open
          ? html`<form @submit=${this.send}>
              ${over ? nothing : html`<bl-mark brightness="0.9"></bl-mark>`}
              <h2 id="title">${t(over ? 'sign-in-over' : 'sign-in')}</h2>
              <p class="soft">${t(over ? 'sign-in-over-lead' : 'sign-in-lead')}</p>
              ${this.wrong ? html`<p class="problem" role="alert"><b>${this.wrong.message}</b><span>${this.wrong.mend}</span></p>` : nothing}
              <label>${t('login')}<input name="login" autocomplete="username" autocapitalize="none" spellcheck="false" maxlength="80" required /></label>
              <label>${t('password')}<input name="password" type="password" autocomplete="current-password" maxlength="200" required /></label>
              <div class="acts"><button class="main" aria-disabled=${this.busy}>${t('sign-in')}</button>
                ${this.may ? html`<button type="button" @click=${this.putAway}>${t('not-now')}</button>` : nothing}</div>
              ${over ? nothing : html`<details><summary class="soft small">${t('no-password')}</summary><p class="soft small">${t('sign-in-link-too')}</p></details>`}
            </form>`
          : nothing
      }
    </dialog>`
  }

  private send = async (e: Event) => {
    e.preventDefault()
    if (this.busy) return
    const form = e.target as HTMLFormElement
    const data = new FormData(form)
    this.busy = true
    try {
      this.#settle?.done(
        await this.signsIn(this.shop, String(data.get('login')).trim(), String(data.get('password')), this.t),
      )
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.wrong = error
      const field = form.elements.namedItem('password') as HTMLInputElement
      field.select()
      field.focus()
    } finally {
      this.busy = false
    }
  }

  private putAway = (e: Event) => {
    e.preventDefault()
    // Without a session there may be nothing behind it to go back to.
    if (this.may) this.#settle?.failed(new ShopError(this.t('signed-out'), this.t('signed-out-mend'), 'bad-pass'))
  }
}

define('bl-sign-in', SignIn)
