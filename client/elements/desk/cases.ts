import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { controls } from '../../theme/controls.ts'
import type { AskFirst } from '../ask-first/ask-first.ts'
import '../ask-first/ask-first.ts'
import { DeskPart, handOut } from '../desk-part.ts'
import { define } from '../part.ts'
import { casesStyles } from './cases.styles.ts'
import type { Catalogue, Counts, ListedCase } from './data.ts'
import { paperStyles } from './paper.styles.ts'

const PAGE = 100

/** The shop's cases: found, counted, taken out as CSV; a case file put back, a customer erased. */
export class DeskCases extends DeskPart {
  static override styles = [controls, paperStyles, casesStyles]

  @property({ type: Boolean }) dealer = false
  @state() private cases: ListedCase[] = []
  @state() private total = 0
  @state() private counts?: Counts
  @state() private catalogue?: Catalogue
  @state() private search: Record<string, string> = {}
  @state() private loaded = false
  /** on a phone: all fields, not only those used most */
  @state() private further = false
  private get form() {
    return this.renderRoot.querySelector<HTMLFormElement>('form[role=search]')!
  }
  private get askFirst() {
    return this.renderRoot.querySelector<AskFirst>('bl-ask-first')!
  }

  override firstUpdated() {
    void this.load()
  }

  async load(): Promise<void> {
    await this.attempt(async (api) => {
      const { search } = this
      const query = { ...search, limit: String(PAGE) }
      const [list, counts, catalogue] = await Promise.all([
        api.json<{ total: number; cases: ListedCase[] }>('GET', 'shop/cases', { query }),
        api.json<Counts>('GET', 'shop/counts', { query: this.search }),
        this.catalogue ?? api.json<Catalogue>('GET', 'shop/catalogue'),
      ])
      // Another search was begun meanwhile: its answer is the one to show.
      if (search === this.search) Object.assign(this, { ...list, counts, catalogue, loaded: true })
    })
  }

  override render() {
    const { t, counts } = this
    return html`
      <form role="search" class=${this.further ? 'all' : ''} @submit=${this.find} @reset=${this.clear}>
        <label>${t('car')}<input name="tag" autocomplete="off" maxlength="40" /></label>
        <label>${t('code')}<input name="code" autocomplete="off" maxlength="20" autocapitalize="characters" spellcheck="false" /></label>
        <label>${t('state')}<select name="status"><option value="">${t('status-any')}</option><option value="open">${t('status-open')}</option><option value="closed">${t('status-closed')}</option></select></label>
        <label class="further">${t('complaint')}${this.choices('complaint', this.catalogue?.complaints)}</label>
        <label class="further">${t('cause')}${this.choices('cause', this.catalogue?.causes)}</label>
        <label class="further">${t('from')}<input name="from" type="date" /></label>
        <label class="further">${t('before')}<input name="to" type="date" /></label>
        <div class="acts"><button class="main">${t('search')}</button>
          <button type="button" class="quiet more" aria-expanded=${this.further} @click=${() => (this.further = !this.further)}>${t(this.further ? 'less-fields' : 'more-fields')}</button>
          ${Object.keys(this.search).length > 0 ? html`<button type="reset">${t('all-cases')}</button>` : nothing}
          ${this.dealer ? html`<button type="button" @click=${this.csv}>${t('take-csv')}</button>` : nothing}</div>
      </form>
      ${this.wrongBox()}${this.doneLine()}
      ${
        counts
          ? html`<dl class="figures" aria-label=${t('figures')}>
              <div><dt>${t('cases')}</dt><dd class="number">${counts.cases}</dd></div>
              <div><dt>${t('still-open')}</dt><dd class="number">${counts.open}</dd></div>
              <div><dt>${t('came-back')}</dt><dd class="number">${counts.cameBack}</dd></div>
              <div><dt>${t('to-finding')}</dt><dd>${
                counts.minutesToFinding
                  ? html`<span class="number">${this.minutes(counts.minutesToFinding.median)}</span><small>${t(
                      'to-finding-more',
                      {
                        n: counts.minutesToFinding.cases,
                        mean: this.minutes(counts.minutesToFinding.mean),
                        most: this.minutes(counts.minutesToFinding.most),
                      },
                    )}</small>`
                  : html`<small>${t('none-yet')}</small>`
              }</dd></div></dl>
            <p class="hidden" role="status">${t('counted', { n: counts.cases, open: counts.open, back: counts.cameBack })}</p>`
          : nothing
      }
      <div class="two">${this.list()}<div class="side">${this.often('cause')}${this.often('complaint')}${this.dealer ? this.data() : nothing}</div></div>
      <bl-ask-first .t=${t}></bl-ask-first>`
  }

  private choices(name: string, list: readonly { id: string; name: string }[] = []) {
    return html`<select name=${name}><option value="">${this.t('any')}</option>${[...list]
      .sort((a, b) => a.name.localeCompare(b.name, this.t('locale')))
      .map((x) => html`<option value=${x.id}>${x.name}</option>`)}</select>`
  }

  private minutes(n: number): string {
    return n < 90
      ? this.t('n-min', { n: Math.max(1, Math.round(n)) })
      : this.t('n-hours', { n: Math.round(n / 6) / 10 })
  }

  private list() {
    const { t } = this
    if (!this.loaded)
      return html`<section class="paper"><p class="soft">${this.wrong ? '' : t('opening-desk')}</p></section>`
    if (this.cases.length === 0) {
      const none = Object.keys(this.search).length > 0 ? 'no-case-fits' : 'no-case-yet'
      return html`<section class="paper"><p class="soft">${t(none)}</p></section>`
    }
    return html`<section class="paper" aria-label=${t('cases')}>
      <table>
        <thead><tr><th scope="col">${t('car')}</th><th scope="col">${t('complaint')}</th><th scope="col">${t('cause')}</th><th scope="col">${t('opened')}</th></tr></thead>
        <tbody>${this.cases.map(
          (c) => html`<tr>
            <th scope="row"><a href="#cases/${encodeURIComponent(c.case)}">${c.tag ?? t('no-name')}</a>
              <span class="soft"><span class="number">${c.code}</span> · ${t(`status-${c.status}`)}</span>
              ${c.earlierVisits > 0 ? html`<span class="back">${t('came-back-visit', { n: c.earlierVisits + 1 })}</span>` : nothing}</th>
            <td>${c.complaints.map((x) => x.name).join('; ')}</td>
            <td>${c.causes.map((x) => x.name).join('; ')}${c.signedOffAt ? html`<span class="soft">${t('signed-off-on', { day: this.day(c.signedOffAt) })}</span>` : nothing}</td>
            <td class="when" data-label=${t('opened')}>${this.day(c.openedAt)}${c.minutesToFinding === undefined ? nothing : html`<span class="soft">${t('found-in', { time: this.minutes(c.minutesToFinding) })}</span>`}</td>
          </tr>`,
        )}</tbody>
      </table>
      ${this.total > this.cases.length ? html`<p class="older"><button @click=${this.more}>${t('older', { n: this.total - this.cases.length })}</button></p>` : nothing}
    </section>`
  }

  private often(kind: 'cause' | 'complaint') {
    const { t } = this
    const rows = (kind === 'cause' ? this.counts?.byCause : this.counts?.byComplaint) ?? []
    if (rows.length === 0) return nothing
    const most = rows[0]!.count
    return html`<section class="paper"><h2 class="small">${t(kind === 'cause' ? 'often-cause' : 'often-complaint')}</h2><ul class="bars">${rows
      .slice(0, 10)
      .map(
        (
          x,
        ) => html`<li><button class="quiet" @click=${() => this.only(kind, x.id)} title=${t('show-these')}><span>${x.name}</span><span class="number">${x.count}</span></button>
        <span class="bar" aria-hidden="true"><span .style=${`inline-size: ${((100 * x.count) / most).toFixed(1)}%`}></span></span></li>`,
      )}</ul></section>`
  }

  /** What a dealer does with the data as a whole; folded, since it is seldom needed. */
  private data() {
    const { t } = this
    return html`<section class="paper"><details><summary>${t('put-back')}</summary>
        <p class="soft">${t('put-back-lead')}</p>
        <label class="file">${t('case-file')}<input type="file" accept=".json,application/json" @change=${this.putBack} /></label></details></section>
      <section class="paper"><details><summary>${t('erase-customer')}</summary>
        <form class="stack" @submit=${this.eraseCustomer}>
          <p class="soft">${t('erase-customer-lead')}</p>
          <label>${t('name')}<input name="name" autocomplete="off" maxlength="80" /></label>
          <label>${t('phone')}<input name="phone" type="tel" autocomplete="off" maxlength="40" /></label>
          <button>${t('erase-customer')}</button>
        </form></details></section>`
  }

  private find = (e: Event) => {
    e.preventDefault()
    this.search = Object.fromEntries(
      [...new FormData(this.form)].map(([k, v]) => [k, String(v).trim()] as const).filter(([, v]) => v !== ''),
    )
    void this.load()
  }

  private clear = () => {
    this.search = {}
    void this.load()
  }

  private only(kind: 'cause' | 'complaint', id: string) {
    this.further = true
    ;(this.form.elements.namedItem(kind) as HTMLSelectElement).value = id
    this.form.requestSubmit()
  }

  private more = () =>
    this.run(async (api) => {
      const query = { ...this.search, limit: String(PAGE), offset: String(this.cases.length) }
      const next = await api.json<{ cases: ListedCase[] }>('GET', 'shop/cases', { query })
      this.cases = [...this.cases, ...next.cases]
    })

  private csv = () =>
    this.run(async (api) => {
      handOut(await api.blob('shop/cases.csv', this.search), 'cases.csv')
    })

  private putBack = async (e: Event) => {
    const field = e.target as HTMLInputElement
    const file = field.files?.[0]
    if (!file) return
    const body = await file.text()
    const went = await this.run(async (api) => {
      const put = await api.json<{ code: string }>('POST', 'shop/cases/import', { body, type: 'application/json' })
      this.done = this.t('was-put-back', { code: put.code })
    })
    // The same file can be picked again once it was mended.
    field.value = ''
    if (went) await this.load()
  }

  private eraseCustomer = async (e: Event) => {
    e.preventDefault()
    const { t } = this
    const form = e.target as HTMLFormElement
    const given = Object.fromEntries(
      [...new FormData(form)].map(([k, v]) => [k, String(v).trim()] as const).filter(([, v]) => v !== ''),
    )
    const whom = Object.values(given).join(', ')
    if (!whom) return form.querySelector('input')?.focus()
    const yes = await this.askFirst.ask({
      title: t('erase-whom', { whom }),
      goes: [t('goes-words'), t('goes-contact'), t('goes-photos')],
      stays: [t('stays-answers')],
      yes: t('erase'),
    })
    if (!yes) return
    const went = await this.run(async (api) => {
      const { erased } = await api.json<{ erased: string[] }>('POST', 'shop/erase', { body: given })
      this.done = t('were-erased', { n: erased.length })
    })
    if (went) form.reset()
  }
}

define('bl-desk-cases', DeskCases)
declare global {
  interface HTMLElementTagNameMap {
    'bl-desk-cases': DeskCases
  }
}
