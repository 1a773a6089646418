import { html, LitElement, nothing } from 'lit'
import { state } from 'lit/decorators.js'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { type Counts, DeskApi, DeskError, type ListedCase } from './api.ts'
import { styles } from './desk.styles.ts'

const KEPT = 'benchlamp desk sign-in'

/**
 * The dealer's desk: the shop's cases, searched, counted, and taken out as CSV. The sign-in link carries the pass behind
 * the `#`; it is kept in this tab and taken out of the address.
 */
export class Desk extends LitElement {
  static override styles = [tokens, controls, styles]

  @state() private cases: ListedCase[] = []
  @state() private total = 0
  @state() private counts: Counts | undefined
  @state() private wrong: { text: string; mend: string } | undefined
  private search: Record<string, string> = {}
  private api: DeskApi | undefined

  override connectedCallback(): void {
    super.connectedCallback()
    const link = new URLSearchParams(location.hash.slice(1))
    let kept: { pass?: string; shop?: string } = {}
    try {
      kept = JSON.parse(sessionStorage.getItem(KEPT) ?? '{}')
      const pass = link.get('pass')
      if (pass) {
        kept = { pass, shop: link.get('shop') ?? 'demo' }
        sessionStorage.setItem(KEPT, JSON.stringify(kept))
      }
    } catch {
      kept = { pass: link.get('pass') ?? undefined, shop: link.get('shop') ?? undefined }
    }
    if (location.hash) history.replaceState(null, '', location.pathname + location.search)
    if (kept.pass) {
      this.api = new DeskApi(kept.pass, kept.shop ?? 'demo')
      void this.load()
    } else {
      this.wrong = {
        text: 'This is the desk of a shop.',
        mend: 'Open it with the sign-in link that the server prints (npm run sign-in -- --role dealer).',
      }
    }
  }

  private async load(): Promise<void> {
    if (!this.api) return
    try {
      const [list, counts] = await Promise.all([this.api.cases(this.search), this.api.counts(this.search)])
      this.cases = list.cases
      this.total = list.total
      this.counts = counts
      this.wrong = undefined
    } catch (error) {
      this.fail(error)
    }
  }

  private fail(error: unknown): void {
    if (!(error instanceof DeskError)) throw error
    this.wrong = { text: error.message, mend: error.mend }
  }

  private find(event: Event): void {
    event.preventDefault()
    const data = new FormData(event.target as HTMLFormElement)
    this.search = Object.fromEntries(
      [...data].filter(([, v]) => String(v).trim() !== '').map(([k, v]) => [k, String(v).trim()]),
    )
    void this.load()
  }

  private async takeCsv(): Promise<void> {
    if (!this.api) return
    try {
      const link = document.createElement('a')
      link.href = URL.createObjectURL(await this.api.csv(this.search))
      link.download = 'cases.csv'
      link.click()
      URL.revokeObjectURL(link.href)
    } catch (error) {
      this.fail(error)
    }
  }

  override render() {
    return html`
      <header>
        <h1>Desk</h1>
        ${
          this.counts
            ? html`<span class="soft" role="status"
                >${this.counts.cases} ${this.counts.cases === 1 ? 'case' : 'cases'}, ${this.counts.open} open, ${this.counts.cameBack} came back</span
              >`
            : nothing
        }
      </header>
      <form @submit=${this.find} role="search">
        <label>Car<input name="tag" autocomplete="off" /></label>
        <label>Code<input name="code" autocomplete="off" /></label>
        <label>Opened from<input name="from" type="date" /></label>
        <label>Opened before<input name="to" type="date" /></label>
        <label
          >State<select name="status">
            <option value="">open and closed</option>
            <option value="open">open</option>
            <option value="closed">closed</option>
          </select></label
        >
        <button class="main">Search</button>
        <button type="button" @click=${this.takeCsv}>Take as CSV</button>
      </form>
      ${
        this.wrong
          ? html`<p class="wrong" role="alert"><b>${this.wrong.text}</b><br />${this.wrong.mend}</p>`
          : html`<div class="two">${this.list()} ${this.causes()}</div>`
      }
    `
  }

  private list() {
    if (this.cases.length === 0) return html`<section class="paper"><p class="soft">No case fits.</p></section>`
    return html`<section class="paper" aria-label="Cases">
      <table>
        <thead>
          <tr>
            <th scope="col">Car</th>
            <th scope="col">Complaint</th>
            <th scope="col">Cause</th>
            <th scope="col">Opened</th>
          </tr>
        </thead>
        <tbody>
          ${this.cases.map(
            (c) => html`<tr>
              <td>
                <b>${c.tag ?? 'no name'}</b>
                <div class="soft"><span class="number">${c.code}</span> · ${c.status}</div>
                ${c.earlierVisits > 0 ? html`<div class="soft">came back: visit ${c.earlierVisits + 1}</div>` : nothing}
              </td>
              <td>${c.complaints.map((x) => x.name).join('; ')}</td>
              <td>${c.causes.map((x) => x.name).join('; ')}</td>
              <td class="number">${new Date(c.openedAt).toLocaleDateString()}</td>
            </tr>`,
          )}
        </tbody>
      </table>
      ${this.total > this.cases.length ? html`<p class="soft">${this.total - this.cases.length} older cases: search closer.</p>` : nothing}
    </section>`
  }

  private causes() {
    const counts = this.counts
    if (!counts || counts.byCause.length === 0) return nothing
    const most = counts.byCause[0]!.count
    return html`<section class="paper" aria-label="Causes">
      <h3>How often which cause</h3>
      ${counts.byCause.slice(0, 12).map(
        (x) => html`<div class="row"><span>${x.name}</span><span class="number">${x.count}</span></div>
          <div class="bar"><span style="inline-size:${(100 * x.count) / most}%"></span></div>`,
      )}
      ${
        counts.minutesToFinding
          ? html`<p class="soft">Half the findings within ${Math.round(counts.minutesToFinding.median)} min.</p>`
          : nothing
      }
    </section>`
  }
}

customElements.define('bl-desk', Desk)
