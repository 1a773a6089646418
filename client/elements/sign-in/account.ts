import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { ShopError } from '../../session/api.ts'
import type { SignedIn } from '../../session/session.ts'
import { ourPage } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { dialogStyles } from '../ask-first/dialog.styles.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import { accountStyles } from './account.styles.ts'

/**
 * Who is signed in, with what belongs to that: another password, signing out.
 *
 * @tag bl-account
 *
 * @event {CustomEvent<SignedIn>} bl-signed-in - The password was changed, and with it the pass.
 * @event {CustomEvent} bl-signed-out - Signed out.
 * @event {CustomEvent} bl-sign-in-wanted - Nobody is signed in, and somebody wants to.
 */
export class Account extends DeskPart {
  static override styles = [tokens, controls, dialogStyles, accountStyles]

  /** where else to go: `bench`, `desk` */
  @property() other: 'bench' | 'desk' | '' = ''
  /** offers to sign in where nobody is */
  @property({ type: Boolean }) offer = false
  @state() private changing = false
  private get dialog() {
    return this.renderRoot.querySelector<HTMLDialogElement>('dialog')!
  }

  override render() {
    const { t, api } = this
    if (!api) {
      return this.offer
        ? html`<div class="bar"><span class="who soft">${t('nobody-signed-in')}</span><button class="quiet" @click=${() => this.tell('bl-sign-in-wanted')}>${t('sign-in')}</button></div>`
        : nothing
    }
    const { name, role, endsAt } = api.who
    const at = endsAt
      ? t('until-hour', {
          at: new Intl.DateTimeFormat(t('locale'), { hour: 'numeric', minute: '2-digit' }).format(new Date(endsAt)),
        })
      : ''
    return html`<div class="bar">
        <span class="who"><b>${name ?? t('by-link')}</b>${role ? html` <span class="soft">${t(`role-${role}`)}</span>` : nothing}
          ${at ? html` <span class="soft until">${at}</span>` : nothing}</span>
        ${this.other ? html`<a href=${ourPage(`/${this.other}`)}>${t(this.other === 'desk' ? 'to-desk' : 'to-bench')}</a>` : nothing}
        ${api.who.login ? html`<button class="quiet" @click=${this.change}>${t('change-password')}</button>` : nothing}
        <button class="quiet" @click=${this.leave}>${t('sign-out')}</button>
      </div>
      ${this.changing ? nothing : this.wrongBox()}
      <dialog aria-labelledby="title" @cancel=${this.shut}>${
        this.changing
          ? html`<form @submit=${this.send}>
              <h2 id="title">${t('change-password')}</h2>
              <p class="soft">${t('change-password-lead')}</p>
              ${this.wrongBox()}
              <input class="hidden" name="login" autocomplete="username" .value=${api.who.login ?? ''} tabindex="-1" aria-hidden="true" readonly />
              <label>${t('old-password')}<input name="old" type="password" autocomplete="current-password" required maxlength="200" /></label>
              <label>${t('new-password')}<input name="new" type="password" autocomplete="new-password" required minlength="10" maxlength="200" /><span class="soft">${t('password-rule')}</span></label>
              <label>${t('new-again')}<input name="again" type="password" autocomplete="new-password" required maxlength="200" /></label>
              <div class="acts"><button class="main" aria-disabled=${this.busy}>${t('change-password')}</button><button type="button" @click=${this.shut}>${t('leave-it')}</button></div>
            </form>`
          : nothing
      }</dialog>
      ${this.done ? this.doneLine() : nothing}`
  }

  private change = async () => {
    this.changing = true
    this.wrong = undefined
    await this.updateComplete
    this.dialog.showModal()
  }

  private shut = (e?: Event) => {
    e?.preventDefault()
    this.dialog.close()
    this.changing = false
  }

  private send = async (e: Event) => {
    e.preventDefault()
    const data = new FormData(e.target as HTMLFormElement)
    if (data.get('new') !== data.get('again')) {
      this.wrong = new ShopError(this.t('not-the-same'), this.t('not-the-same-mend'))
      return
    }
    await this.run(async (api) => {
      type Reply = { pass: string; endsAt: string }
      const body = { old: String(data.get('old')), new: String(data.get('new')) }
      const { pass, endsAt } = await api.json<Reply>('POST', 'shop/password', { body })
      api.who = { ...api.who, pass, endsAt }
      this.shut()
      this.done = this.t('password-changed')
      this.tell('bl-signed-in', api.who)
    })
  }

  private leave = async () => {
    // A session that is over is signed out already; a server that does not answer is said, or the pass would stay good.
    if (this.api) {
      const { renew } = this.api
      this.api.renew = undefined
      await this.run((api) => api.send('POST', 'shop/sign-out'))
      this.api.renew = renew
    }
    if (this.wrong?.code === 'bad-pass') this.wrong = undefined
    if (!this.wrong) this.tell('bl-signed-out')
  }

  private tell(name: string, detail?: SignedIn) {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }))
  }
}

define('bl-account', Account)
