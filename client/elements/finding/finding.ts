import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { FindingBody, Noted, Opened } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { firm } from '../firm.ts'
import { define, problemLine, rangeOf } from '../part.ts'
import { jobOf } from '../work/steps.ts'
import { WorkPart } from '../work/work-part.ts'
import { findingStyles } from './finding.styles.ts'
import { noteOf } from './note.ts'
import '../caution/caution.ts'
import '../take-along/take-along.ts'

/**
 * The finding as a technician's note: what it is, what speaks for it, why it failed, what to do, how to prove it.
 *
 * @csspart finding - The note.
 */
export class Finding extends WorkPart {
  static override styles = [controls, findingStyles]

  @property({ attribute: false }) finding!: FindingBody
  @property({ attribute: false }) noted?: Noted
  @property({ attribute: false }) opened?: Opened
  @property({ attribute: false }) problem?: Problem
  /** the shop's, where it has set one */
  @property({ attribute: false }) currency?: string
  @property({ type: Boolean }) waiting = false
  @property({ type: Boolean }) closed = false

  override render() {
    const { finding: f } = this
    const percent = new Intl.NumberFormat(this.t('locale'), { style: 'percent', maximumFractionDigits: 0 })
    const done = f.remedy !== undefined && this.noted?.repaired.some((r) => r.remedy === f.remedy?.id)
    return html`<article part="finding">
      <header>
        <p class="kicker"><span class="stamp ${f.sure ? '' : 'unsure'}">${this.t(f.sure ? 'found' : 'likely')}</span>
          <span class="soft number">${percent.format(f.p)}</span>${done ? html`<span class="done">${this.t('repaired-done')}</span>` : nothing}</p>
        <h2 tabindex="-1" data-next>${firm(f.title)}</h2>
        <p class="say">${f.say}</p>
      </header>
      ${
        f.causes.length > 1
          ? html`<section class="causes"><h3>${this.t('one-of')}</h3><ul>${f.causes.map((c) => html`<li><span>${c.name}</span><span class="number soft">${percent.format(c.p)}</span></li>`)}</ul></section>`
          : nothing
      }
      ${this.remedy(f)}
      ${
        f.evidence.length > 0
          ? html`<section class="evidence"><h3>${this.t('evidence')}</h3><ul>${f.evidence.map(
              (e) =>
                html`<li class=${e.weight}><span class="weight">${this.t(`weight-${e.weight}`)}</span><span>${e.question} <b>${e.answer}</b></span></li>`,
            )}</ul></section>`
          : nothing
      }
      ${
        f.rootCauses.length > 0 && (this.closed || !this.noted?.askWhy)
          ? html`<section class="roots"><h3>${this.t('root-causes')}</h3><ul>${f.rootCauses.map((r) => html`<li><b>${r.name}.</b> ${r.ask}</li>`)}</ul></section>`
          : nothing
      }
      ${f.until.length > 0 ? html`<section class="roots"><h3>${this.t('until')}</h3><ul>${f.until.map((u) => html`<li>${u}</li>`)}</ul></section>` : nothing}
      <bl-take-along class="no-print" .t=${this.t} heading=${f.title} .text=${noteOf(f, this.noted, this.opened, this.t, this.currency)}></bl-take-along>
      ${f.remedy && !done && !this.closed ? this.next() : nothing}
    </article>`
  }

  private remedy({ remedy, proof }: FindingBody) {
    if (!remedy) return nothing
    return html`<section><h3>${this.t('remedy')}</h3><div class="remedy">
      ${remedy.cautions.map((c) => html`<bl-caution .t=${this.t} .caution=${c} band></bl-caution>`)}
      <div><h4>${firm(remedy.name)}</h4>
        <dl class="facts"><div><dt>${this.t('time')}</dt><dd>${this.t('minutes', { n: remedy.minutes })}</dd></div>
          <div><dt>${this.t('part')}</dt><dd>${remedy.part}</dd></div>
          <div><dt>${this.t('part-price')}</dt><dd class="number">${rangeOf(remedy.low, remedy.high, this.t('locale'), this.currency)}</dd></div></dl>
        <ol class="steps">${remedy.steps.map((s) => html`<li>${s}</li>`)}</ol>
        ${proof ? html`<p class="proof"><b>${this.t('proof')}</b> ${proof.title}</p>` : nothing}
      </div></div></section>`
  }

  /** The way to what comes next: the job below has the means, and the one button that does it. */
  private next() {
    const { now, pending } = jobOf(this.noted, this.finding)
    const repair = now === 'repair' && pending.some((p) => p.remedy === this.finding.remedy?.id)
    if (now !== 'approve' && now !== 'why' && !repair) return nothing
    return html`<div class="do no-print">${repair ? problemLine(this.problem) : nothing}
      ${
        repair
          ? html`<button @click=${() => this.wish('work', { step: now })}>${this.t('repaired')}</button>`
          : html`<button @click=${() => this.wish('work', { step: now })}>${this.w(`next-${now as 'approve' | 'why'}`)}</button>`
      }</div>`
  }
}

define('bl-finding', Finding)
