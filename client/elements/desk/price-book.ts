import { html, nothing } from 'lit'
import { state } from 'lit/decorators.js'
import { controls } from '../../theme/controls.ts'
import type { AskFirst } from '../ask-first/ask-first.ts'
import '../ask-first/ask-first.ts'
import { DeskPart, handOut } from '../desk-part.ts'
import { define } from '../part.ts'
import type { Catalogue, Settings } from './data.ts'
import { paperStyles } from './paper.styles.ts'
import { priceBookStyles } from './price-book.styles.ts'

interface Book {
  version: number
  at: string
  lines: { remedy: string; part?: string; price: number }[]
}

/** The shop's prices: a whole CSV or nothing of it, every bad line named, and back to the book before. */
export class DeskPrices extends DeskPart {
  static override styles = [controls, paperStyles, priceBookStyles]

  /** undefined: not read yet */
  @state() private book?: Book | null
  @state() private catalogue?: Catalogue
  @state() private currency?: string
  /** what the file that was refused is called */
  @state() private refused = ''
  private get askFirst() {
    return this.renderRoot.querySelector<AskFirst>('bl-ask-first')!
  }

  override firstUpdated() {
    void this.attempt(async (api) => {
      const [{ book }, catalogue, settings] = await Promise.all([
        api.json<{ book: Book | null }>('GET', 'shop/price-book'),
        api.json<Catalogue>('GET', 'shop/catalogue'),
        api.json<Settings>('GET', 'shop/settings'),
      ])
      this.catalogue = catalogue
      this.currency = settings.currency
      this.book = book
    })
  }

  override render() {
    const { t, book } = this
    if (book === undefined) return html`${this.wrongBox()}`
    return html`
      <section class="paper"><h2 class="small">${t('prices-title')}</h2>
        <p class="soft lead">${t('prices-lead')}</p>
        <div class="acts">
          <button @click=${this.download}>${t('download-prices')}</button>
          ${book ? html`<button class="hard" @click=${this.undo}>${t('prices-undo')}</button>` : nothing}
        </div>
        <label class="file">${t('upload-prices')}<input type="file" accept=".csv,text/csv,.txt,.tsv" @change=${this.upload} /></label>
      </section>
      ${this.wrong && this.refused ? html`<div><h3 class="refused">${t('file-refused', { file: this.refused })}</h3>${this.wrongBox()}</div>` : this.wrongBox()}
      ${this.doneLine()}
      ${book ? this.lines(book) : html`<section class="paper"><p class="soft">${t('no-prices')}</p></section>`}
      <bl-ask-first .t=${t}></bl-ask-first>`
  }

  private lines(book: Book) {
    const { t } = this
    const known = new Map(this.catalogue?.remedies.map((r) => [r.id, r]))
    const total = known.size
    return html`<section class="paper"><h2 class="small">${t('book-n', { n: book.version })}</h2>
      <p class="soft lead">${t('book-about', { at: this.moment(book.at), n: book.lines.length, rest: Math.max(0, total - book.lines.length) })}</p>
      <table class="narrow"><thead><tr><th scope="col">${t('remedy')}</th><th scope="col">${t('part')}</th><th scope="col" class="end">${t('price')}</th><th scope="col" class="end">${t('without-book')}</th></tr></thead>
      <tbody>${book.lines.map((line) => {
        const r = known.get(line.remedy)
        return html`<tr><th scope="row">${r?.name ?? line.remedy}<span class="soft id">${line.remedy}</span></th><td>${line.part ?? r?.part ?? ''}</td>
          <td class="end number">${this.money(line.price, this.currency)}</td><td class="end soft" data-label=${t('without-book')}>${r ? t('range', { low: this.money(r.low, this.currency), high: this.money(r.high, this.currency) }) : ''}</td></tr>`
      })}</tbody></table></section>`
  }

  private upload = async (e: Event) => {
    const field = e.target as HTMLInputElement
    const file = field.files?.[0]
    if (!file) return
    this.refused = file.name
    await this.run(async (api) => {
      const body = await decoded(file)
      type Reply = { version: number; lines: number; notPriced: string[] }
      const took = await api.json<Reply>('PUT', 'shop/price-book', { body, type: 'text/csv' })
      this.book = (await api.json<{ book: Book | null }>('GET', 'shop/price-book')).book
      this.done = this.t('book-taken', { n: took.lines, rest: took.notPriced.length })
      this.refused = ''
    })
    // The same file can be picked again once it was mended.
    field.value = ''
  }

  private download = () =>
    this.run(async (api) => {
      handOut(await api.blob('shop/price-book.csv'), 'price-book.csv')
    })

  private undo = async () => {
    const { t } = this
    const yes = await this.askFirst.ask({
      title: t('prices-undo-ask'),
      goes: [t('goes-book', { n: this.book!.version, lines: this.book!.lines.length })],
      stays: [t('stays-book')],
      yes: t('prices-undo'),
    })
    if (!yes) return
    await this.run(async (api) => {
      this.book = (await api.json<{ book: Book | null }>('DELETE', 'shop/price-book')).book
      this.done = this.book ? t('book-back', { n: this.book.version }) : t('book-none')
    })
  }
}

/** Spreadsheets still write CSV in the system's old encoding: read as such where it is no UTF-8. */
async function decoded(file: File): Promise<string> {
  const bytes = await file.arrayBuffer()
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return new TextDecoder('windows-1252').decode(bytes)
  }
}

define('bl-desk-prices', DeskPrices)
