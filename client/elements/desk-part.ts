import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { type ShopApi, ShopError } from '../session/api.ts'
import { type DeskText, deskInEnglish } from '../texts/desk.ts'
import { momentOf } from './moment.ts'

/** What every part of the desk is: it talks to the shop's API and says in its own place what went wrong. */
export class DeskPart extends LitElement {
  /** the texts, in the page's language */
  @property({ attribute: false }) t: DeskText = deskInEnglish
  @property({ attribute: false }) api?: ShopApi
  @state() protected wrong?: ShopError
  /** what was done, in words, until the next thing is done */
  @state() protected done = ''
  @state() protected busy = false

  /** One thing at a time: a second press while the first is on its way does nothing. */
  protected async run(act: (api: ShopApi) => Promise<unknown>): Promise<boolean> {
    if (this.busy) return false
    this.busy = true
    this.done = ''
    try {
      return await this.attempt(act)
    } finally {
      this.busy = false
    }
  }

  /** What only reads may be asked for again before it has come. */
  protected async attempt(act: (api: ShopApi) => Promise<unknown>): Promise<boolean> {
    if (!this.api) return false
    try {
      await act(this.api)
      this.wrong = undefined
      return true
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.wrong = error
      void this.updateComplete.then(() =>
        this.renderRoot.querySelector('[role=alert]')?.scrollIntoView({ block: 'nearest' }),
      )
      return false
    }
  }

  /** What went wrong, what to do, and each bad line of a file. */
  protected wrongBox(wrong = this.wrong) {
    if (!wrong) return nothing
    const { t } = this
    return html`<div class="problem" role="alert"><b>${wrong.message}</b><span>${wrong.mend}</span>
      ${
        wrong.problems.length > 0
          ? html`<ul class="problems">${wrong.problems.map(
              (p) =>
                html`<li><span class="where">${[
                  p.line === undefined ? '' : t('line-n', { n: p.line }),
                  p.column ?? '',
                  p.path ?? '',
                ]
                  .filter(Boolean)
                  .join(', ')}</span><b>${p.what}</b><span>${p.mend}</span></li>`,
            )}</ul>`
          : nothing
      }</div>`
  }

  protected doneLine() {
    return html`<p class="said-done" role="status">${this.done}</p>`
  }

  protected money(amount: number, currency?: string): string {
    const locale = this.t('locale')
    if (!currency)
      return new Intl.NumberFormat(locale, { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(amount)
    return new Intl.NumberFormat(locale, { style: 'currency', currency }).format(amount)
  }

  protected day(iso: string): string {
    return new Intl.DateTimeFormat(this.t('locale'), { dateStyle: 'medium' }).format(new Date(iso))
  }

  protected moment(iso: string): string {
    return momentOf(iso, this.t('locale'))
  }
}

/** Gives a file to the person, under a name. */
export function handOut(blob: Blob, name: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(blob)
  link.download = name
  link.click()
  // Not at once: the browser reads it after the click.
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000)
}
