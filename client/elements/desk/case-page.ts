import { html, nothing, type PropertyValues } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { FindingBody, Noted } from '../../../rules/protocol/index.ts'
import { ourPage } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import type { AskFirst } from '../ask-first/ask-first.ts'
import '../ask-first/ask-first.ts'
import { DeskPart, handOut } from '../desk-part.ts'
import { define } from '../part.ts'
import '../photos/photos.ts'
import { casePageStyles } from './case-page.styles.ts'
import { type CaseRecord, estimateOf, findingOf, notedOf, proofsOf, whoDid } from './data.ts'
import { paperStyles } from './paper.styles.ts'

/** All that is on record of one case, and what a dealer may do with it. */
export class DeskCase extends DeskPart {
  static override styles = [controls, paperStyles, casePageStyles]

  @property() case = ''
  @property({ type: Boolean }) dealer = false
  @state() private record?: CaseRecord
  private get askFirst() {
    return this.renderRoot.querySelector<AskFirst>('bl-ask-first')!
  }

  override willUpdate(changed: PropertyValues) {
    if (!changed.has('case') && !changed.has('api')) return
    this.record = undefined
    this.wrong = undefined
    this.done = ''
    void this.load()
  }

  private async load() {
    const id = this.case
    await this.attempt(async (api) => {
      const record = await api.json<CaseRecord>('GET', `shop/cases/${encodeURIComponent(id)}`)
      if (id !== this.case) return
      this.record = record
      void this.updateComplete.then(() =>
        this.renderRoot.querySelector<HTMLElement>('h2')?.focus({ preventScroll: true }),
      )
    })
  }

  override render() {
    const { t, record } = this
    if (!record)
      return html`${this.back()}${this.wrongBox()}${this.wrong ? nothing : html`<p class="soft" role="status">${t('opening-case')}</p>`}`
    const { listed } = record
    const noted = notedOf(record)
    return html`
      ${this.back()}
      <section class="paper head">
        <div><h2 tabindex="-1">${listed.tag ?? t('no-name')} <span class="number">${listed.code}</span></h2>
          <p>${listed.complaints.map((c) => c.name).join('; ')}</p>
          <p class="soft">${listed.closedAt ? nothing : html`<span class="status">${t(`status-${listed.status}`)}</span>`}${t('opened-on', { at: this.moment(listed.openedAt) })}${
            listed.closedAt ? html` · ${t('closed-on', { at: this.moment(listed.closedAt) })}` : nothing
          }</p></div>
        <div class="acts">
          <a class="button main" href=${ourPage(`/work-order?case=${encodeURIComponent(this.case)}`)}>${t('work-order')}</a>
          <a class="button" href=${ourPage(`/work-order?case=${encodeURIComponent(this.case)}&show=sheet`)}>${t('test-sheet')}</a>
          <button @click=${this.export}>${t('export')}</button>
        </div>
      </section>
      ${this.wrongBox()}${this.doneLine()}
      ${record.erased.length > 0 ? html`<p class="paper soft">${t('erased-on', { day: this.day(record.erased.at(-1)!.at) })}</p>` : nothing}
      <div class="grid">
        <div class="column">
          ${record.said.length > 0 ? this.section('own-words', html`${record.said.map((s) => html`<blockquote>${s.text}<footer>${t(`role-${s.by as 'customer'}`)} · ${this.moment(s.at)}</footer></blockquote>`)}`) : nothing}
          ${this.finding(record)}
          ${this.section('trail', this.trail(record, noted.trail))}
          ${record.acknowledged.length > 0 ? this.section('cautions-seen', html`<ul class="lines">${record.acknowledged.map((a) => html`<li>${a.signal ? html`<b class="signal">${t(`signal-${a.signal as 'DANGER'}`)}</b> ` : nothing}${a.hazard ?? a.caution}<span class="soft">${t(`role-${a.by as 'customer'}`)} · ${this.moment(a.at)}</span></li>`)}</ul>`) : nothing}
        </div>
        <div class="column">
          ${record.car.length > 0 ? this.section('the-car', html`<dl class="pairs">${record.car.map((f) => html`<div><dt>${f.name}</dt><dd>${f.value}</dd></div>`)}</dl>`) : nothing}
          ${this.customer(noted)}
          ${this.agreed(record, noted)}
          ${this.handBack(record, noted)}
          ${this.section('photos', html`<bl-photos .t=${t} .api=${this.api} case=${this.case} .photos=${noted.photos ?? []} ?closed=${listed.status === 'closed'} @bl-photo-sent=${this.load}></bl-photos>`)}
          ${noted.notes.some((n) => n.text) ? this.section('notes', html`<ul class="lines">${noted.notes.filter((n) => n.text).map((n) => html`<li>${n.text}<span class="soft">${t(`role-${n.by}`)} · ${this.moment(n.at)}</span></li>`)}</ul>`) : nothing}
          ${record.earlier.length > 0 ? this.section('earlier', html`<ul class="lines">${record.earlier.map((c) => html`<li><a href="#cases/${encodeURIComponent(c.case)}">${this.day(c.openedAt)} · ${c.code}</a><span>${c.causes.map((x) => x.name).join('; ') || c.complaints.map((x) => x.name).join('; ')}</span></li>`)}</ul>`) : nothing}
          ${this.dealer ? this.erasing() : nothing}
        </div>
      </div>
      <bl-ask-first .t=${t}></bl-ask-first>`
  }

  private back() {
    return html`<p class="back"><a href="#cases">${this.t('back-to-cases')}</a></p>`
  }

  private section(title: Parameters<typeof this.t>[0], content: unknown) {
    return html`<section class="paper"><h3>${this.t(title)}</h3>${content}</section>`
  }

  private by(record: CaseRecord, item: { by: string; seq: number; at: string }): string {
    return `${whoDid(record, item.seq) ?? this.t(`role-${item.by as 'customer'}`)} · ${this.moment(item.at)}`
  }

  private trail(record: CaseRecord, trail: Noted['trail']) {
    const { t } = this
    if (trail.length === 0) return html`<p class="soft">${t('nothing-answered')}</p>`
    return html`<ol class="trail">${trail.map(
      (item) => html`<li><span class="soft">${item.question}</span><b>${item.answer}</b>
        <span class="soft small">${item.reading ? html`${t(`tool-${item.reading.instrument}` as 'tool-voltmeter')} · ` : nothing}${this.by(record, item)}${item.doubted ? html` · ${t('doubted')}` : nothing}</span></li>`,
    )}</ol>`
  }

  private finding(record: CaseRecord) {
    const { t } = this
    const finding = findingOf(record)
    const proofs = proofsOf(record)
    const estimate = estimateOf(record)
    const currency = estimate?.currency ?? record.shop.currency
    return html`${
      finding
        ? this.section(
            'finding',
            html`<p class="title">${finding.title}</p><p>${finding.say}</p>
            ${this.evidence(finding)}`,
          )
        : nothing
    }
    ${this.roots(record)}
    ${
      record.repairs.length > 0
        ? this.section(
            'repairs',
            html`<ul class="lines">${record.repairs.map(
              (r) =>
                html`<li><b>${r.name}</b><span class="soft">${[r.part, whoDid(record, r.seq), this.moment(record.stamps[r.seq]?.at ?? record.listed.changedAt)].filter(Boolean).join(' · ')}</span></li>`,
            )}</ul>
            <h3 class="next">${t('proof')}</h3>
            ${proofs.length > 0 ? html`<ul class="lines">${proofs.map((p) => html`<li>${p.question} <b>${p.answer}</b><span class="soft">${this.by(record, p)}</span></li>`)}</ul>` : html`<p class="soft">${t('not-proved-yet')}</p>`}`,
          )
        : nothing
    }
    ${
      estimate && record.listed.status === 'open' && record.repairs.length === 0
        ? this.section(
            'estimate',
            html`<p><span class="number big">${this.money(estimate.low, currency)} – ${this.money(estimate.high, currency)}</span></p><p class="soft">${t('estimate-lead', { likely: this.money(estimate.likely, currency) })}</p>`,
          )
        : nothing
    }`
  }

  private evidence(finding: FindingBody) {
    if (finding.evidence.length === 0) return nothing
    return html`<ul class="lines">${finding.evidence.map(
      (e) =>
        html`<li>${e.question} <b>${e.answer}</b> <span class="soft inline">${this.t(`weight-${e.weight}`)}</span></li>`,
    )}</ul>`
  }

  private roots(record: CaseRecord) {
    const roots = notedOf(record).work?.rootCauses ?? []
    if (roots.length === 0) return nothing
    return this.section(
      'root-causes',
      html`<ul class="lines">${roots.map(
        (r) =>
          html`<li><b>${r.name}</b>: ${this.t(`found-${r.found}`)}${r.text ? html`<span>${r.text}</span>` : nothing}<span class="soft">${this.by(record, r)}</span></li>`,
      )}</ul>`,
    )
  }

  private customer(noted: Noted) {
    const contact = noted.work?.contact
    if (!contact) return nothing
    return this.section(
      'customer',
      html`<p><b>${contact.name ?? ''}</b> ${contact.phone ? html`<a href="tel:${contact.phone.replace(/[^\d+]/g, '')}">${contact.phone}</a>` : nothing}</p>`,
    )
  }

  private agreed(record: CaseRecord, noted: Noted) {
    const { t } = this
    const work = noted.work
    if (!work || (work.approved.length === 0 && work.declined.length === 0)) return nothing
    const names = (list: { name: string }[]) => list.map((r) => r.name).join('; ')
    return this.section(
      'approval',
      html`<ul class="lines">${work.approved.map(
        (
          a,
        ) => html`<li><b>${t('yes-up-to', { amount: this.money(a.upTo, a.currency) })}</b>${a.inForce ? nothing : html` <span class="soft inline">${t('not-in-force')}</span>`} <span>${names(a.remedies)}</span>
          <span class="soft">${t(`way-${a.way}`)}${a.text ? html`: ${a.text}` : nothing} · ${this.by(record, a)}</span></li>`,
      )}${work.declined.map(
        (d) =>
          html`<li><b>${t('declined')}</b> <span>${names(d.remedies)}</span><span class="soft">${d.text ? html`${d.text} · ` : nothing}${this.by(record, d)}</span></li>`,
      )}</ul>`,
    )
  }

  private handBack(record: CaseRecord, noted: Noted) {
    const { t } = this
    const work = noted.work
    if (!work || (!work.signedOff && work.handBack.every((i) => i.result === undefined))) return nothing
    return this.section(
      'hand-back',
      html`<ul class="ticks">${work.handBack.map(
        (i) =>
          html`<li class=${i.result ?? 'open'}><span>${i.name}</span><span class="soft">${t(`result-${i.result ?? 'open'}`)}${i.text ? html`, ${i.text}` : nothing}</span></li>`,
      )}</ul>
      ${
        work.signedOff
          ? html`<p class="signed"><b>${t('signed-off')}</b> ${this.by(record, work.signedOff)}${
              work.signedOff.charged === undefined
                ? nothing
                : html`<br />${t('charged', { amount: this.money(work.signedOff.charged, work.signedOff.currency) })}`
            }${work.signedOff.text ? html`<br />${work.signedOff.text}` : nothing}</p>`
          : html`<p class="soft">${t('not-signed-off')}</p>`
      }`,
    )
  }

  private erasing() {
    const { t } = this
    return html`<section class="paper"><details><summary>${t('erase-here')}</summary><div class="stack">
        <p class="soft">${t('erase-words-lead')}</p><button class="hard" @click=${this.eraseWords}>${t('erase-words')}</button>
        <p class="soft">${t('erase-case-lead')}</p><button class="hard" @click=${this.eraseCase}>${t('erase-case')}</button>
      </div></details></section>`
  }

  private export = () =>
    this.run(async (api) => {
      const { code, case: id } = this.record!.listed
      handOut(await api.blob(`shop/cases/${encodeURIComponent(id)}/export`), `case-${code}.json`)
    })

  private eraseWords = async () => {
    const { t } = this
    const { code } = this.record!.listed
    const yes = await this.askFirst.ask({
      title: t('erase-words-ask', { code }),
      goes: [t('goes-words'), t('goes-contact'), t('goes-photos')],
      stays: [t('stays-answers'), t('stays-export')],
      yes: t('erase-words'),
    })
    if (!yes) return
    await this.run(async (api) => {
      const { erased } = await api.json<{ erased: string[] }>('POST', 'shop/erase', { body: { cases: [this.case] } })
      await this.load()
      this.done = t(erased.length > 0 ? 'words-erased' : 'nothing-left')
    })
  }

  private eraseCase = async () => {
    const { t } = this
    const { code } = this.record!.listed
    const yes = await this.askFirst.ask({
      title: t('erase-case-ask', { code }),
      goes: [t('goes-case'), t('goes-words'), t('goes-photos'), t('goes-counts')],
      stays: [t('stays-export')],
      yes: t('erase-case'),
      typed: code,
    })
    if (!yes) return
    const went = await this.run((api) => api.send('DELETE', `shop/cases/${encodeURIComponent(this.case)}`))
    if (!went) return
    this.dispatchEvent(new CustomEvent('bl-desk-changed', { bubbles: true, composed: true }))
    location.hash = '#cases'
  }
}

define('bl-desk-case', DeskCase)
declare global {
  interface HTMLElementTagNameMap {
    'bl-desk-case': DeskCase
  }
}
