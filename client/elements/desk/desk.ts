import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { ShopApi, ShopError } from '../../session/api.ts'
import { wearColour } from '../../session/colour.ts'
import { keepSignIn, keptSignIn, type SignedIn, takeLink } from '../../session/session.ts'
import { type DeskText, deskInEnglish, deskTexts, pageLanguage } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { define } from '../part.ts'
import type { SignIn } from '../sign-in/sign-in.ts'
import '../mark/mark.ts'
import '../sign-in/account.ts'
import '../sign-in/sign-in.ts'
import './case-page.ts'
import './cases.ts'
import { deskStyles } from './desk.styles.ts'
import './overlay.ts'
import './people.ts'
import './price-book.ts'
import './settings.ts'

const SECTIONS = ['cases', 'prices', 'own', 'people', 'settings'] as const
type Section = (typeof SECTIONS)[number]

/**
 * The dealer's desk: cases and what they come to, the price book, the shop's own causes and checks, who signs in, the
 * shop's settings. Technicians see the cases. What stands behind the `#` says which section, so that the browser's back
 * button works.
 *
 * @tag bl-desk
 */
export class Desk extends LitElement {
  static override styles = [tokens, controls, deskStyles]

  @property({ attribute: false }) api?: ShopApi
  @property({ attribute: false }) t: DeskText = deskInEnglish
  /** a section or case in place of what stands behind the `#`: for the gallery */
  @property() at = ''
  @state() private section: Section = 'cases'
  @state() private case?: string
  @state() private as?: SignedIn['role']
  @state() private shopName = ''
  @state() private wrong?: ShopError
  private get form() {
    return this.renderRoot.querySelector<SignIn>('bl-sign-in')!
  }

  override connectedCallback() {
    super.connectedCallback()
    addEventListener('hashchange', this.#routed)
    void this.#begin()
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    removeEventListener('hashchange', this.#routed)
  }

  async #begin() {
    const language = this.api ? document.documentElement.lang : pageLanguage()
    document.documentElement.lang = language
    this.t = await deskTexts(language)
    if (!this.api) {
      const { signedIn } = takeLink()
      if (signedIn) keepSignIn(signedIn)
      await this.#enter(keptSignIn())
    } else await this.#look()
    this.#routed()
  }

  /** Goes on with who is signed in, or asks who it is. */
  async #enter(who: SignedIn | undefined): Promise<void> {
    await this.updateComplete
    const known = who ?? (await this.form.ask('first'))
    keepSignIn(known)
    const api = new ShopApi(known, this.t)
    api.renew = async () => {
      const next = await this.form.ask('over')
      keepSignIn(next)
      this.as = next.role
      return next
    }
    this.api = api
    await this.#look()
  }

  async #look() {
    try {
      type Me = { role: SignedIn['role'] | 'customer'; name?: string; endsAt?: string; shop: { name: string } }
      const me = await this.api!.json<Me>('GET', 'shop/me')
      if (me.role === 'customer') throw new ShopError(this.t('not-for-customers'), this.t('sign-in-lead'))
      this.as = me.role
      this.shopName = me.shop.name
      this.wrong = undefined
      this.api!.who = {
        ...this.api!.who,
        role: me.role,
        ...(me.name && { name: me.name }),
        ...(me.endsAt && { endsAt: me.endsAt }),
      }
      void this.#dress()
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.wrong = error
    }
  }

  async #dress() {
    const about = await this.api!.json<{ name: string; colour?: string }>('GET', 'shop/about').catch(() => undefined)
    if (!about) return
    wearColour(this, about.colour)
    this.shopName = about.name
  }

  #routed = () => {
    const [name, id] = (this.at || location.hash.slice(1)).split('/')
    const section = SECTIONS.find((s) => s === name) ?? 'cases'
    const allowed = section === 'cases' || this.as === 'dealer'
    this.section = allowed ? section : 'cases'
    this.case = section === 'cases' && id ? decodeURIComponent(id) : undefined
  }

  override render() {
    const { t, api } = this
    const dealer = this.as === 'dealer'
    return html`
      <header>
        <h1><bl-mark brightness="0.9"></bl-mark><span>${this.shopName || t('desk')}${this.shopName ? html`<small>${t('desk')}</small>` : nothing}</span></h1>
        <bl-account .t=${t} .api=${this.as ? api : undefined} other="bench" @bl-signed-in=${this.renewed} @bl-signed-out=${this.left}></bl-account>
      </header>
      ${
        this.as && dealer
          ? html`<nav aria-label=${t('desk')}>${SECTIONS.map(
              (s) => html`<a href="#${s}" aria-current=${s === this.section ? 'page' : 'false'}>${t(`tab-${s}`)}</a>`,
            )}</nav>`
          : nothing
      }
      ${
        this.wrong
          ? html`<p class="problem" role="alert"><b>${this.wrong.message}</b><span>${this.wrong.mend}</span>
          <button @click=${this.again}>${t('sign-in')}</button></p>`
          : nothing
      }
      ${api && this.as ? this.shown(dealer) : html`<p class="soft" role="status">${this.wrong ? '' : t('opening-desk')}</p>`}
      <bl-sign-in .t=${t} shop=${keptSignIn()?.shop ?? new URLSearchParams(location.search).get('shop') ?? 'demo'}></bl-sign-in>`
  }

  private shown(dealer: boolean) {
    const { t, api, section } = this
    // The list stays where it is while a case is looked at: search and place are found again.
    return html`
      <bl-desk-cases .t=${t} .api=${api} ?dealer=${dealer} ?hidden=${section !== 'cases' || this.case !== undefined} @bl-desk-changed=${this.changed}></bl-desk-cases>
      ${section === 'cases' && this.case ? html`<bl-desk-case .t=${t} .api=${api} ?dealer=${dealer} case=${this.case} @bl-desk-changed=${this.changed}></bl-desk-case>` : nothing}
      ${section === 'prices' ? html`<bl-desk-prices .t=${t} .api=${api}></bl-desk-prices>` : nothing}
      ${section === 'own' ? html`<bl-desk-own .t=${t} .api=${api}></bl-desk-own>` : nothing}
      ${section === 'people' ? html`<bl-desk-people .t=${t} .api=${api}></bl-desk-people>` : nothing}
      ${section === 'settings' ? html`<bl-desk-settings .t=${t} .api=${api} @bl-desk-changed=${() => this.#dress()}></bl-desk-settings>` : nothing}`
  }

  /** A case was erased or put back: the list is read anew. */
  private changed = () => {
    this.renderRoot.querySelector('bl-desk-cases')?.load()
  }

  private renewed = (e: CustomEvent<SignedIn>) => keepSignIn(e.detail)

  private left = () => {
    keepSignIn(undefined)
    this.as = undefined
    this.api = undefined
    void this.#enter(undefined)
  }

  private again = () => {
    this.wrong = undefined
    this.left()
  }
}

define('bl-desk', Desk)
declare global {
  interface HTMLElementTagNameMap {
    'bl-desk': Desk
  }
}
