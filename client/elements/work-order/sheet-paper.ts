import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import { type CaseRecord, notedOf, type SheetLine, whoDid } from '../desk/data.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import { paperHead } from './head.ts'
import { orderStyles } from './paper.styles.ts'
import { shouldBe } from './should-be.ts'

/** Empty rows at the end of a test sheet. */
const EMPTY_ROWS = 4

/** A test sheet: each check with what a sound car shows and what this one showed; what is open has room for a pen. */
export class SheetPaper extends DeskPart {
  static override styles = orderStyles

  @property({ attribute: false }) record!: CaseRecord
  @property({ attribute: false }) now = ''
  /** printed alone: the pictures are not on a work order in front of it */
  @property({ type: Boolean }) alone = false

  override render() {
    const { t, record } = this
    const noted = notedOf(record)
    const done = record.sheet.filter((l) => l.done)
    const open = record.sheet.filter((l) => !l.done)
    return html`
      ${paperHead(t, record, t('test-sheet'), (iso) => this.moment(iso))}
      <dl class="boxes">
        <div><dt>${t('car')}</dt><dd>${record.listed.tag ?? ''}</dd></div>
        <div><dt>${t('complaint')}</dt><dd>${noted.complaint ?? ''}</dd></div>
        <div><dt>${t('instrument')}</dt><dd></dd></div>
        <div><dt>${t('printed')}</dt><dd>${this.day(this.now)}</dd></div>
      </dl>
      ${record.car.length > 0 ? html`<section><dl class="facts">${record.car.map((f) => html`<div><dt>${f.name}</dt><dd>${f.value}</dd></div>`)}</dl></section>` : nothing}
      <section class="long"><p class="small">${t('sheet-lead')}</p></section>
      ${done.length > 0 ? html`<section class="long"><h3>${t('trail')}</h3>${this.table(done)}</section>` : nothing}
      ${this.alone ? html`<bl-paper-pictures .t=${t} .pictures=${record.pictures}></bl-paper-pictures>` : nothing}
      <section class="long"><h3>${t('more-lines')}</h3>${this.table(open, EMPTY_ROWS)}</section>
      <div class="sign"><div>${t('sheet-signs')}</div></div>
      <p class="foot">${t('manual-line')}</p>`
  }

  private table(lines: readonly SheetLine[], empty = 0) {
    const { t } = this
    return html`<table>
      <thead><tr><th scope="col" class="wide">${t('check')}</th><th scope="col" class="some">${t('should-be')}</th><th scope="col" class="some">${t('reading')}</th><th scope="col">${t('by')}</th></tr></thead>
      <tbody>${lines.map((line) => this.line(line))}${Array.from({ length: empty }, () => html`<tr class="blank none"><td></td><td></td><td></td><td></td></tr>`)}</tbody></table>`
  }

  private line(line: SheetLine) {
    const { t, record } = this
    const given = notedOf(record).trail.find((item) => item.check === line.check)
    const probes = [line.red && t('red-on', { at: line.red }), line.black && t('black-on', { at: line.black })]
    const under = [...probes, !given && line.instrument && t(`tool-${line.instrument}` as 'tool-voltmeter')].filter(
      Boolean,
    )
    return html`<tr class=${given ? '' : 'blank'}><td>${line.title}${line.proof ? html` <b class="small">(${t('is-proof')})</b>` : nothing}${under.length > 0 ? html`<br /><span class="small">${under.join(' · ')}</span>` : nothing}</td>
      <td data-label=${t('should-be')}>${shouldBe(t, line)}</td>
      <td data-label=${t('reading')} class=${given?.reading ? 'number' : ''}>${given?.answer ?? (line.unit ? html`<span class="small">${line.unit}</span>` : '')}${given?.reading ? html` <span class="small">${t(`tool-${given.reading.instrument}` as 'tool-voltmeter')}</span>` : nothing}</td>
      <td data-label=${t('by')} class="small">${given ? (whoDid(record, given.seq) ?? t(`role-${given.by}`)) : ''}</td></tr>`
  }
}

define('bl-sheet-paper', SheetPaper)
