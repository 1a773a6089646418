import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { Noted } from '../../../rules/protocol/index.ts'
import { type CaseRecord, estimateOf, findingOf, notedOf, proofsOf, whoDid } from '../desk/data.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import '../photos/photos.ts'
import { paperHead } from './head.ts'
import { orderStyles } from './paper.styles.ts'
import { shouldBe } from './should-be.ts'

/** A work order: what was brought in, found, agreed, done, proved and handed back; what is still open has lines for a pen. */
export class OrderPaper extends DeskPart {
  static override styles = orderStyles

  @property({ attribute: false }) record!: CaseRecord
  @property({ attribute: false }) now = ''

  override render() {
    const { t, record } = this
    const noted = notedOf(record)
    const work = noted.work
    return html`
      ${paperHead(t, record, t('work-order'), (iso) => this.moment(iso))}
      <dl class="boxes">
        <div><dt>${t('car')}</dt><dd>${record.listed.tag ?? ''}</dd></div>
        <div><dt>${t('customer')}</dt><dd>${work?.contact?.name ?? ''}</dd></div>
        <div><dt>${t('phone')}</dt><dd>${work?.contact?.phone ?? ''}</dd></div>
        <div><dt>${t('printed')}</dt><dd>${this.day(this.now)}</dd></div>
      </dl>
      <section><h3>${t('complaint')}</h3>
        ${record.said.filter((s) => s.by === 'customer').map((s) => html`<p class="quote">“${s.text}”</p>`)}
        <p>${record.listed.complaints.map((c) => c.name).join('; ') || (record.said.length > 0 ? '' : t('no-words'))}</p></section>
      ${
        record.car.length > 0
          ? html`<section><h3>${t('the-car')}</h3><dl class="facts">${record.car.map((f) => html`<div><dt>${f.name}</dt><dd>${f.value}</dd></div>`)}</dl></section>`
          : nothing
      }
      ${this.finding()}
      <bl-paper-pictures .t=${t} .pictures=${record.pictures}></bl-paper-pictures>
      ${this.roots(noted)}${this.agreed(noted)}${this.remedies()}${this.proof()}${this.handBack(noted)}
      ${this.notes(noted)}
      ${
        noted.photos?.length
          ? html`<section class="long"><h3>${t('photos')}</h3><bl-photos fixed .t=${t} .api=${this.api} case=${record.listed.case} .photos=${noted.photos}></bl-photos></section>`
          : nothing
      }
      ${this.signatures(noted)}
      <p class="foot">${record.acknowledged.length > 0 ? html`${t('cautions-line', { list: [...new Set(record.acknowledged.map((a) => a.hazard ?? a.caution))].join(' ') })}<br />` : nothing}${t('manual-line')}</p>`
  }

  private by(item: { by: string; seq: number; at: string }): string {
    return `${whoDid(this.record, item.seq) ?? this.t(`role-${item.by as 'customer'}`)} · ${this.moment(item.at)}`
  }

  private finding() {
    const { t, record } = this
    const f = findingOf(record)
    if (!f) return html`<section><h3>${t('finding')}</h3><p>${t('no-finding-yet')}</p></section>`
    const evidence = f.evidence.filter((e) => e.weight !== 'against')
    return html`<section><h3>${t('finding')}</h3><p class="title">${f.title}${f.sure ? nothing : html` <span class="small">${t('likely-not-sure')}</span>`}</p><p>${f.say}</p></section>
      ${
        evidence.length > 0
          ? html`<section><h3>${t('evidence')}</h3><ul class="evidence">${evidence.map((e) => html`<li>${e.question} <b>${e.answer}</b></li>`)}</ul></section>`
          : nothing
      }`
  }

  private roots(noted: Noted) {
    const { t, record } = this
    const said = noted.work?.rootCauses ?? []
    const asked = findingOf(record)?.rootCauses ?? []
    const open = asked.filter((a) => !said.some((s) => s.root === a.id))
    if (said.length + open.length === 0) return nothing
    const boxes = (found?: string) =>
      html`${(['yes', 'no', 'not-looked'] as const).map((f) =>
        found === undefined
          ? html`<span class="box">${t(`found-${f}`)}</span>`
          : f === found
            ? html`<b>${t(`found-${f}`)}</b>`
            : nothing,
      )}`
    return html`<section><h3>${t('root-causes')}</h3><ul class="evidence">
      ${said.map((r) => html`<li>${r.name}: ${boxes(r.found)}${r.text ? html`, ${r.text}` : nothing} <span class="small">${this.by(r)}</span></li>`)}
      ${open.map((r) => html`<li>${r.name}: ${r.ask} ${boxes()}</li>`)}</ul></section>`
  }

  private agreed(noted: Noted) {
    const { t, record } = this
    const work = noted.work
    const names = (list: { name: string }[]) => list.map((r) => r.name).join('; ')
    const estimate = estimateOf(record)
    const currency = estimate?.currency ?? record.shop.currency
    const asked = (work?.approved.length ?? 0) + (work?.declined.length ?? 0) > 0
    return html`<section><h3>${t('work-agreed')}</h3>
      ${(work?.approved ?? [])
        .filter((a) => a.inForce)
        .map(
          (a) =>
            html`<p><b>${t('yes-up-to', { amount: this.money(a.upTo, a.currency) })}</b>: ${names(a.remedies)} (${t(`way-${a.way}`)}${a.text ? html`, ${a.text}` : nothing}) <span class="small">${this.by(a)}</span></p>`,
        )}
      ${(work?.declined ?? []).map((d) => html`<p><b>${t('declined')}</b>: ${names(d.remedies)}${d.text ? html` (${d.text})` : nothing} <span class="small">${this.by(d)}</span></p>`)}
      ${
        asked
          ? nothing
          : html`${
              estimate && record.repairs.length === 0
                ? html`<p>${t('estimate')}: <b>${this.money(estimate.low, currency)} – ${this.money(estimate.high, currency)}</b>. <span class="small">${t('estimate-lead', { likely: this.money(estimate.likely, currency) })}</span></p>`
                : nothing
            }
            <p class="pens">${t('agreed-up-to')} <span class="pen"></span> ${t('agreed-by')} <span class="pen"></span> ${t('agreed-on')} <span class="pen short"></span>
              <span class="ways">${(['in-person', 'by-phone', 'in-writing'] as const).map((w) => html`<span class="box">${t(`way-${w}`)}</span>`)}</span></p>`
      }</section>`
  }

  private remedies() {
    const { t, record } = this
    const found = findingOf(record)?.remedy
    if (record.repairs.length === 0 && !found) return nothing
    const list =
      record.repairs.length > 0
        ? record.repairs.map((r) => ({ ...r, done: true }))
        : [{ ...found!, seq: 0, done: false }]
    return html`${list.map(
      (r) => html`<section><h3>${t('remedy-steps')}</h3><p class="title">${r.name}</p>
        <p class="small">${[r.part && `${t('parts')}: ${r.part}`, r.minutes > 0 && t('time-n', { n: r.minutes }), r.done && t('done-by', { who: whoDid(record, r.seq) ?? t('role-technician'), at: this.moment(record.stamps[r.seq]?.at ?? record.listed.changedAt) })].filter(Boolean).join(' · ')}</p>
        <ol class="ticks">${r.steps.map((s) => html`<li class=${r.done ? 'done' : ''}>${s}</li>`)}</ol></section>`,
    )}`
  }

  private proof() {
    const { t, record } = this
    const done = proofsOf(record)
    const line = new Map(record.sheet.map((l) => [l.check, l]))
    const wanted = record.sheet.filter((l) => l.proof && !done.some((d) => d.check === l.check))
    if (done.length + wanted.length === 0) return nothing
    return html`<section><h3>${t('proof-readings')}</h3><table>
      <thead><tr><th scope="col">${t('check')}</th><th scope="col">${t('should-be')}</th><th scope="col">${t('reading')}</th><th scope="col">${t('by')}</th></tr></thead>
      <tbody>${done.map(
        (p) =>
          html`<tr><td>${p.question}</td><td data-label=${t('should-be')}>${shouldBe(t, line.get(p.check))}</td><td class="number" data-label=${t('reading')}>${p.answer}${p.reading ? html` <span class="small">${t(`tool-${p.reading.instrument}` as 'tool-voltmeter')}</span>` : nothing}</td><td class="small" data-label=${t('by')}>${this.by(p)}</td></tr>`,
      )}${wanted.map((l) => html`<tr class="blank"><td>${l.title}</td><td data-label=${t('should-be')}>${shouldBe(t, l)}</td><td data-label=${t('reading')}></td><td data-label=${t('by')}></td></tr>`)}</tbody></table></section>`
  }

  private handBack(noted: Noted) {
    const { t } = this
    const list = noted.work?.handBack
    const items = list ?? ITEMS.map((item) => ({ item, name: t(`item-${item}`), result: undefined, text: undefined }))
    return html`<section><h3>${t('hand-back-list')}</h3><ul class="ticks">${items.map(
      (i) =>
        html`<li class=${i.result === 'done' ? 'done' : i.result === 'not-needed' ? 'not' : ''}>${i.name}${i.result === 'not-needed' ? html` (${t('result-not-needed')})` : nothing}${i.text ? html`: ${i.text}` : nothing}</li>`,
    )}</ul></section>`
  }

  private notes(noted: Noted) {
    const notes = noted.notes.filter((n) => n.text)
    if (notes.length === 0) return nothing
    return html`<section><h3>${this.t('notes')}</h3>${notes.map((n) => html`<p>${n.text} <span class="small">${this.by(n)}</span></p>`)}</section>`
  }

  private signatures(noted: Noted) {
    const { t } = this
    const signed = noted.work?.signedOff
    return html`<section>
      <p>${t('amount-charged')}: ${signed?.charged === undefined ? html`<span class="pen"></span>` : html`<b>${this.money(signed.charged, signed.currency)}</b>`}</p>
      ${signed ? html`<p>${t('signed-off')}: <b>${this.by(signed)}</b>${signed.text ? html`. ${signed.text}` : nothing}</p>` : nothing}
      <div class="sign"><div>${t('technician-signs')}</div><div>${t('customer-signs')}</div></div></section>`
  }
}

/** As in the protocol, which the client takes types from only. */
const ITEMS = ['torque', 'bridges-out', 'leads-back', 'brake-test', 'road-test', 'charge-cycle'] as const

define('bl-order-paper', OrderPaper)
