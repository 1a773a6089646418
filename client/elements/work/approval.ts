import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { FindingBody, Noted, Standing } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { momentOf } from '../moment.ts'
import { define, problemLine, rangeOf } from '../part.ts'
import { Form } from './form.ts'
import { amountOf, readAmount } from './money.ts'
import { formStyles } from './work.styles.ts'

export type Remedy = { remedy: string; name: string }
const WAYS = ['in-person', 'by-phone', 'in-writing', 'not-needed'] as const

/** What the customer agreed to: which work, up to which amount, how, and who said so; or that it was refused. */
export class Approval extends Form {
  static override styles = [controls, formStyles]

  @property({ attribute: false }) finding?: FindingBody | null
  @property({ attribute: false }) noted?: Noted
  @property({ attribute: false }) standing?: Standing
  /** fetches every repair that there is, for work besides what was found */
  @property({ attribute: false }) remedies?: () => Promise<Remedy[]>
  @state() private all?: Remedy[]
  @state() private wrong?: { field: string; text: string; mend: string }
  @state() private changing = false
  protected readonly form = 'approve'

  override render() {
    const { work } = this.noted ?? {}
    const said = [...(work?.approved ?? []), ...(work?.declined ?? [])].sort((a, b) => a.seq - b.seq)
    const asks = (this.noted?.toDo ?? []).some((x) => x.what === 'approve')
    const typed = Object.keys(this.draft).length > 0
    if (said.length > 0 && !asks && !this.changing && !typed) {
      return html`${this.said(said)}<div class="row"><button data-next @click=${() => (this.changing = true)}>${this.w(work?.approved.length ? 'work-approve-change' : 'work-approve-again')}</button></div>`
    }
    return html`${said.length > 0 ? this.said(said) : nothing}${this.entry()}`
  }

  private entry() {
    const { draft } = this
    const free = draft.way === 'not-needed'
    const { estimate } = this.standing ?? {}
    const works = this.works()
    return html`<form @submit=${this.agree} novalidate>
      <fieldset><legend>${this.w('work-approve-what')}</legend>
        <div class="chips">${works.map(
          (w) =>
            html`<label><input type="checkbox" name=${w.remedy} .checked=${w.checked} @change=${this.choose} /><span>${w.name}</span></label>`,
        )}
          ${
            this.all
              ? html`<select aria-label=${this.w('work-approve-other')} @change=${this.add}>
                  <option value="">${this.w('work-approve-other')}</option>
                  ${this.all.filter((r) => !works.some((w) => w.remedy === r.remedy)).map((r) => html`<option value=${r.remedy}>${r.name}</option>`)}</select>`
              : this.remedies
                ? html`<button type="button" class="quiet" @click=${this.load}>${this.w('work-approve-other')}</button>`
                : nothing
          }</div>
        ${this.wrongIn('what')}</fieldset>
      <fieldset><legend>${this.w('work-approve-way')}</legend>
        <div class="chips ways">${WAYS.map(
          (way) =>
            html`<label><input type="radio" name="way" value=${way} ?data-next=${way === WAYS[0] && !draft.way} .checked=${draft.way === way} @change=${this.typed} /><span>${this.w(`way-${way}`)}</span></label>`,
        )}</div>${this.wrongIn('way')}</fieldset>
      ${
        free
          ? nothing
          : html`<div class="field"><label for="amount">${this.w('work-approve-up-to')}${estimate?.currency ? ` (${estimate.currency})` : ''}</label>
              <input class="amount" id="amount" name="amount" inputmode="decimal" autocomplete="off" maxlength="16" .value=${draft.amount ?? ''}
                @input=${this.typed} aria-describedby="estimate" />
              ${
                estimate && estimate.high > 0
                  ? html`<p class="soft" id="estimate">${this.w('work-approve-estimate', {
                      likely: amountOf(estimate.likely, this.t('locale'), estimate.currency),
                      range: rangeOf(estimate.low, estimate.high, this.t('locale'), estimate.currency),
                    })}</p>`
                  : nothing
              }${this.wrongIn('amount')}</div>`
      }
      <div class="field"><label for="who">${this.w(free ? 'work-approve-who-free' : 'work-approve-who')}</label>
        <input id="who" name="who" maxlength="200" autocomplete="off" .value=${draft.who ?? ''} @input=${this.typed} />
        ${this.wrongIn('who')}</div>
      ${problemLine(this.problem)}
      <div class="row"><button class="main" aria-disabled=${this.waiting}>${this.w(free ? 'work-approve-free' : 'work-approve-send')}</button>
        <button type="button" aria-disabled=${this.waiting} @click=${this.refuse}>${this.w('work-decline-send')}</button></div>
    </form>`
  }

  private said(
    said: (NonNullable<Noted['work']>['approved'][number] | NonNullable<Noted['work']>['declined'][number])[],
  ) {
    const list = new Intl.ListFormat(this.t('locale'))
    return html`<ul class="said">${said.map((a) => {
      const names = list.format(a.remedies.map((r) => r.name))
      const yes = 'upTo' in a
      const what = !yes
        ? this.w('work-declined', { names })
        : a.upTo === 0
          ? this.w('work-approved-free', { names })
          : this.w('work-approved', { names, amount: amountOf(a.upTo, this.t('locale'), a.currency) })
      const way = yes && a.upTo > 0 ? this.w(`way-${a.way}`) : undefined
      return html`<li class=${yes && !a.inForce ? 'over' : ''}>${what} <span>${[way, a.text, momentOf(a.at, this.t('locale'))].filter(Boolean).join(' · ')}</span></li>`
    })}</ul>`
  }

  /** What may be agreed to: what was found, what is agreed already, what was added; what is still open is ticked. */
  private works(): (Remedy & { checked: boolean })[] {
    const { work } = this.noted ?? {}
    const map = new Map<string, string>()
    const found = this.finding?.remedy
    if (found) map.set(found.id, found.name)
    for (const a of work?.approved ?? []) for (const r of a.remedies) map.set(r.remedy, r.name)
    for (const r of this.added()) map.set(r.remedy, r.name)
    const ticked = this.draft.works?.split(' ') ?? this.open()
    return [...map].map(([remedy, name]) => ({ remedy, name, checked: ticked.includes(remedy) }))
  }

  private open(): string[] {
    const open = (this.noted?.toDo ?? []).filter((x) => x.what === 'approve').map((x) => x.remedy!)
    if (open.length > 0) return open
    const last = this.noted?.work?.approved.filter((a) => a.inForce).at(-1)
    return last?.remedies.map((r) => r.remedy) ?? (this.finding?.remedy ? [this.finding.remedy.id] : [])
  }

  private added(): Remedy[] {
    return this.draft.added ? (JSON.parse(this.draft.added) as Remedy[]) : []
  }

  private choose = () => {
    const ticked = [...this.renderRoot.querySelectorAll<HTMLInputElement>('input[type=checkbox]:checked')]
    this.put('works', ticked.map((i) => i.name).join(' '))
  }

  private add = (e: Event) => {
    const remedy = this.all?.find((r) => r.remedy === (e.target as HTMLSelectElement).value)
    if (!remedy) return
    const ticked = this.works().filter((w) => w.checked)
    this.put('added', JSON.stringify([...this.added(), remedy]))
    this.put('works', [...ticked.map((w) => w.remedy), remedy.remedy].join(' '))
  }

  private load = async () => {
    this.wrong = undefined
    try {
      this.all = await this.remedies!()
      await this.updateComplete
      this.renderRoot.querySelector('select')?.focus()
    } catch {
      this.wrong = { field: 'what', text: this.w('work-no-list'), mend: this.w('work-no-list-mend') }
    }
  }

  private agree = (e: Event) => {
    e.preventDefault()
    if (this.waiting) return
    const { way = '', amount = '', who = '' } = this.draft
    const remedies = this.ticked()
    const upTo = way === 'not-needed' ? 0 : readAmount(amount)
    if (remedies.length === 0) return this.fault('what', 'input')
    if (way === '') return this.fault('way', 'input[name=way]')
    if (upTo === undefined) return this.fault('amount', '#amount')
    if (way === 'not-needed' && who.trim() === '') return this.fault('who', '#who')
    this.wrong = undefined
    this.act({
      type: 'approve',
      remedies,
      upTo,
      way: way === 'not-needed' ? 'in-person' : (way as 'in-person'),
      ...(who.trim() && { who: who.trim() }),
    })
  }

  private refuse = () => {
    if (this.waiting) return
    const remedies = this.ticked()
    if (remedies.length === 0) return this.fault('what', 'input')
    this.wrong = undefined
    const who = this.draft.who?.trim()
    this.act({ type: 'decline', remedies, ...(who && { who }) })
  }

  private ticked(): string[] {
    return this.works()
      .filter((w) => w.checked)
      .map((w) => w.remedy)
  }

  private fault(field: 'what' | 'way' | 'amount' | 'who', where: string) {
    this.wrong = { field, text: this.w(`work-wrong-${field}`), mend: this.w(`work-wrong-${field}-mend`) }
    this.renderRoot.querySelector<HTMLElement>(where)?.focus()
  }

  private wrongIn(field: string) {
    return this.wrong?.field === field ? problemLine({ code: 'invalid', ...this.wrong }, `wrong-${field}`) : nothing
  }

  protected override stored() {
    super.stored()
    this.changing = false
  }
}

define('bl-approval', Approval)
