import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { Because, Standing as StandingMessage } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { firm } from '../firm.ts'
import { define, Part, rangeOf } from '../part.ts'
import { standingStyles } from './standing.styles.ts'

/**
 * What can still be wrong, as bars with words and figures; what is out; where the answers disagree; the estimate so far.
 *
 * @csspart bars - The list of causes.
 */
export class Standing extends Part {
  static override styles = [controls, standingStyles]

  @property({ attribute: false }) standing?: StandingMessage
  @property({ attribute: false }) why?: Because
  /** the check that is asked now */
  @property() asked = ''
  /** it is known what was wrong: nothing is left to guess or to reckon with */
  @property({ type: Boolean }) done = false

  override render() {
    const { standing: s } = this
    if (!s) return nothing
    const row = (
      name: string,
      p: number,
    ) => html`<span>${firm(name)}</span><span class="number">${this.percent(p)}</span>
      <span class="bar" aria-hidden="true"><i .style=${`inline-size:${(p * 100).toFixed(1)}%`}></i></span>`
    return html`
      ${this.disagreement()}
      <section><h3>${this.t(this.done ? 'was-wrong' : 'still-possible')}</h3>
        <ul part="bars">
          ${s.rows.map(
            (r, i) => html`<li class=${i === 0 ? 'first' : ''}>
              <button class="row" aria-expanded=${this.why?.cause === r.cause} @click=${() => this.act({ type: 'why', cause: r.cause })}>${row(r.name, r.p)}</button>
              ${this.why?.cause === r.cause ? html`<div class="why" role="status">${this.why.say.map((x) => html`<p>${x}</p>`)}</div>` : nothing}</li>`,
          )}
          ${s.others.count > 0 ? html`<li><div class="row">${row(this.t('others-together', { n: s.others.count }), s.others.p)}</div></li>` : nothing}
          <li><div class="row">${row(this.t('not-one-of-these'), s.other)}</div></li>
        </ul>
        ${this.out(s.out)}
      </section>
      ${this.done ? nothing : this.estimate()}`
  }

  private estimate() {
    const s = this.standing!
    return html`<section><h3>${this.t('estimate')}</h3>
        <dl><dt>${this.t('estimate-likely')}</dt><dd class="number">${this.range(s.estimate.likely, s.estimate.likely)}</dd>
          <dt class="soft">${this.t('estimate-range')}</dt><dd class="number soft">${this.range(s.estimate.low, s.estimate.high)}</dd></dl>
      </section>`
  }

  private out(names: string[]) {
    if (names.length === 0) return nothing
    const list = new Intl.ListFormat(this.t('locale'), { type: 'conjunction' }).format(names)
    return names.length < 6
      ? html`<p class="out">${this.t('out-so-far')} ${list}.</p>`
      : html`<details class="out"><summary>${this.t('out-many', { n: names.length })}</summary><p>${list}.</p></details>`
  }

  private disagreement() {
    const d = this.standing?.disagreement
    if (!d) return nothing
    return html`<section class="disagree"><h3>${this.t('disagree')}</h3><p>${d.say}</p>
      ${
        d.pairs.length > 0
          ? html`<p class="label">${this.t('both-at-once')}</p>
        <ul>${d.pairs.map((p) => html`<li class="pair"><span>${p.names.map((n, i) => html`${i > 0 ? '+ ' : nothing}${firm(n)}<br />`)}</span><span class="number">${this.percent(p.p)}</span></li>`)}</ul>`
          : nothing
      }
      ${d.check === this.asked ? nothing : html`<button @click=${() => this.act({ type: 'pick', check: d.check })}>${this.t('ask-it-again')}</button>`}</section>`
  }

  private percent(p: number) {
    const shown = p > 0 && p < 0.005 ? 0.01 : p
    const text = new Intl.NumberFormat(this.t('locale'), { style: 'percent', maximumFractionDigits: 0 }).format(shown)
    return p > 0 && p < 0.005 ? `< ${text}` : text
  }

  private range(low: number, high: number) {
    return rangeOf(low, high, this.t('locale'), this.standing?.estimate.currency)
  }
}

define('bl-standing', Standing)
