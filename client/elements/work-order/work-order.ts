import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { ShopApi, ShopError } from '../../session/api.ts'
import { keepSignIn, keptSignIn, takeLink } from '../../session/session.ts'
import { type DeskText, deskInEnglish, deskTexts, ourPage, pageLanguage } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import type { CaseRecord } from '../desk/data.ts'
import { define } from '../part.ts'
import '../sign-in/sign-in.ts'
import type { SignIn } from '../sign-in/sign-in.ts'
import './order-paper.ts'
import './sheet-paper.ts'
import { workOrderStyles } from './work-order.styles.ts'

const SHOWS = ['order', 'sheet', 'both'] as const
type Show = (typeof SHOWS)[number]

/**
 * The work order and the test sheet of a case, as paper: `/work-order?case=…`, with `&show=sheet` or `both`. What is shown
 * is what is printed.
 *
 * @tag bl-work-order
 */
export class WorkOrder extends LitElement {
  static override styles = [tokens, controls, workOrderStyles]

  @property({ attribute: false }) api?: ShopApi
  @property({ attribute: false }) t: DeskText = deskInEnglish
  /** when it is printed; set by the gallery */
  @property({ attribute: false }) now = new Date().toISOString()
  @property() case = ''
  @property() show: Show = 'order'
  @state() private record?: CaseRecord
  @state() private wrong?: ShopError
  private get form() {
    return this.renderRoot.querySelector<SignIn>('bl-sign-in')!
  }

  override connectedCallback() {
    super.connectedCallback()
    void this.#begin()
  }

  async #begin() {
    const wanted = new URLSearchParams(location.search)
    this.case ||= wanted.get('case') ?? ''
    const show = SHOWS.find((s) => s === wanted.get('show'))
    if (show) this.show = show
    const language = this.api ? document.documentElement.lang : pageLanguage()
    document.documentElement.lang = language
    this.t = await deskTexts(language)
    if (!this.case) {
      this.wrong = new ShopError(this.t('no-such-paper'), this.t('no-such-paper-mend'))
      return
    }
    if (!this.api) {
      const { signedIn } = takeLink()
      if (signedIn) keepSignIn(signedIn)
      await this.updateComplete
      const renew = async (why: 'first' | 'over') => {
        const who = await this.form.ask(why)
        keepSignIn(who)
        return who
      }
      const api = new ShopApi(keptSignIn() ?? (await renew('first')), this.t)
      api.renew = () => renew('over')
      this.api = api
    }
    await this.load()
  }

  private load = async () => {
    this.wrong = undefined
    try {
      const record = await this.api!.json<CaseRecord>('GET', `shop/cases/${encodeURIComponent(this.case)}`)
      // Whole before it can be printed; and better printed without the pictures than not at all.
      const { circuit, steps, blocks } = record.pictures
      if (circuit || steps.length > 0 || blocks) await import('./paper-pictures.ts').catch(() => undefined)
      this.record = record
      const { code, tag } = record.listed
      // What a browser calls the PDF.
      document.title = [this.t(this.show === 'sheet' ? 'test-sheet' : 'work-order'), code, tag]
        .filter(Boolean)
        .join(' ')
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.wrong = error
    }
  }

  override render() {
    const { t, record, show } = this
    return html`<div class="tools">
        ${
          this.wrong
            ? html`<a class="button" href=${ourPage('/desk#cases')}>${t('back-to-cases')}</a>`
            : this.case
              ? html`<a class="button" href=${ourPage(`/desk#cases/${encodeURIComponent(this.case)}`)}>${t('back-to-case')}</a>`
              : nothing
        }
        ${
          this.wrong
            ? nothing
            : html`<fieldset><legend class="hidden">${t('which-paper')}</legend>${SHOWS.map(
                (s) =>
                  html`<label><input type="radio" name="show" .checked=${s === show} @change=${() => (this.show = s)} /><span>${t(`paper-${s}`)}</span></label>`,
              )}</fieldset>
        <button class="main" aria-disabled=${!record} @click=${() => record && print()}>${t('print')}</button>`
        }
      </div>
      ${this.wrong ? html`<p class="problem" role="alert"><b>${this.wrong.message}</b><span>${this.wrong.mend}</span>${this.api ? html`<button @click=${this.load}>${t('try-again')}</button>` : nothing}</p>` : nothing}
      ${record || this.wrong ? nothing : html`<p class="soft" role="status">${t('opening-paper')}</p>`}
      ${record && show !== 'sheet' ? html`<bl-order-paper .t=${t} .api=${this.api} .record=${record} .now=${this.now}></bl-order-paper>` : nothing}
      ${record && show !== 'order' ? html`<bl-sheet-paper ?alone=${show === 'sheet'} .t=${t} .record=${record} .now=${this.now}></bl-sheet-paper>` : nothing}
      <bl-sign-in .t=${t} shop=${keptSignIn()?.shop ?? 'demo'}></bl-sign-in>`
  }
}

define('bl-work-order', WorkOrder)
