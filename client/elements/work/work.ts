import { html, nothing, type PropertyValues } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { FindingBody, Noted, Standing } from '../../../rules/protocol/index.ts'
import type { Drafts } from '../../connection/drafts.ts'
import type { Problem, View } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, type Part, problemLine } from '../part.ts'
import type { Remedy } from './approval.ts'
import { amountOf } from './money.ts'
import { toDoLinks } from './sign-off.ts'
import { jobOf, STEP_OF, STEPS, type Step } from './steps.ts'
import { formStyles, stepStyles } from './work.styles.ts'
import { WorkPart } from './work-part.ts'
import './approval.ts'
import './hand-back.ts'
import './sign-off.ts'
import './why-failed.ts'

/**
 * The way from the finding to the closed card, a punched hole for each step: a yes, why it failed, the repair, its proof,
 * the list, the signature. The step that is due is open; every other can be opened, to read it or to mend it.
 *
 * @csspart steps - The list of steps.
 */
export class Work extends WorkPart {
  static override styles = [controls, formStyles, stepStyles]

  @property({ attribute: false }) finding?: FindingBody | null
  @property({ attribute: false }) noted?: Noted
  @property({ attribute: false }) standing?: Standing
  @property({ attribute: false }) problems: Readonly<Record<string, Problem>> = {}
  @property({ attribute: false }) waiting: View['waiting'] = []
  @property({ attribute: false }) drafts?: Drafts
  /** no connection: what is entered waits here */
  @property({ type: Boolean }) kept = false
  @property({ attribute: false }) remedies?: () => Promise<Remedy[]>
  /** where the work order of this case is printed */
  @property() paper = ''
  /** nothing is asked: this is what comes next, and is as large */
  @property({ type: Boolean, reflect: true }) main = false
  @state() private opened?: Step
  #due?: Step

  override willUpdate(changed: PropertyValues) {
    super.willUpdate(changed)
    const { now } = jobOf(this.noted, this.finding)
    // The card goes on by itself; what somebody opened to read it is left alone until then.
    if (now !== this.#due) this.opened = now
    this.#due = now
  }

  override render() {
    const job = jobOf(this.noted, this.finding)
    const closed = this.noted?.status === 'closed'
    const heading =
      this.main && job.now
        ? html`<h2 tabindex="-1">${this.w(`work-${job.now}-now`)}</h2>`
        : html`<h3>${this.w('work')}</h3>`
    return html`<section class="job">${heading}
      <ol class="steps" part="steps">${STEPS.map((step) => {
        const open = this.opened === step
        const now = job.now === step
        const done = job.done.has(step)
        const refused = step === 'approve' && done && this.#refused
        return html`<li class="${done ? 'done' : ''} ${now ? 'now' : ''} ${refused ? 'refused' : ''}">
          <button class="step" aria-expanded=${open} aria-current=${now ? 'step' : nothing} @click=${() => (this.opened = open ? undefined : step)}>
            <b>${this.w(`work-${step}`)}</b>${done && !refused ? html`<span class="hidden">${this.w('result-done')}</span>` : nothing}<span class="soft">${this.summary(step, done)}</span></button>
          ${open ? html`<div class="body">${this.body(step, closed)}</div>` : now ? this.next(step) : nothing}</li>`
      })}</ol></section>`
  }

  get #refused() {
    const work = this.noted?.work
    return Boolean(work?.declined.length) && work?.upTo === undefined
  }

  /** Another step is read: the way on stays in sight. What leads up to the repair has its way from the finding. */
  private next(step: Step) {
    if (step === 'approve' || step === 'why' || step === 'repair') return nothing
    return html`<div class="row next"><button class="main" @click=${() => void this.go(step)}>${this.w(`next-${step}`)}</button></div>`
  }

  /** Opens a step and puts the focus on what is to be done there. */
  async go(step: Step): Promise<void> {
    this.opened = step
    await this.updateComplete
    await this.#intoStep()
  }

  override focusNext(): void {
    void this.updateComplete.then(() => this.#intoStep())
  }

  async #intoStep() {
    const li = this.renderRoot.querySelectorAll('.steps > li')[STEPS.indexOf(this.opened ?? 'approve')]
    const part = li?.querySelector<Part>(
      '.body > bl-approval, .body > bl-why-failed, .body > bl-hand-back, .body > bl-sign-off',
    )
    await part?.updateComplete
    const target =
      part?.renderRoot.querySelector<HTMLElement>('[data-next]') ??
      li?.querySelector<HTMLElement>('.body [data-next]') ??
      li?.querySelector<HTMLElement>('.step')
    target?.focus({ preventScroll: true })
    // Some way from the edges: on a phone something may stick to the bottom.
    target?.scrollIntoView({ block: 'center' })
  }

  private summary(step: Step, done: boolean): string {
    const { work, toDo = [], askWhy = [], repaired = [], status } = this.noted ?? {}
    const left = toDo.filter((x) => STEP_OF[x.what] === step).length
    switch (step) {
      case 'approve': {
        if (left > 0) return this.w('work-approve-open')
        if (work?.upTo !== undefined && work.upTo > 0)
          return this.w('work-agreed', {
            amount: amountOf(work.upTo, this.t('locale'), this.standing?.estimate.currency),
          })
        if (work?.upTo === 0) return this.w('work-agreed-free')
        return work?.declined.length ? this.w('work-declined-all') : ''
      }
      case 'why': {
        const was = (work?.rootCauses ?? []).filter((r) => r.found === 'yes').map((r) => r.name)
        if (was.length > 0 && left === 0) return new Intl.ListFormat(this.t('locale')).format(was)
        const answered = askWhy.filter((x) => work?.rootCauses.some((r) => r.root === x.root)).length
        return askWhy.length > 0 ? this.w('work-answered', { n: answered, of: askWhy.length }) : ''
      }
      case 'repair':
        return repaired.map((r) => r.name).join('; ')
      case 'proof':
        return repaired.length === 0 ? '' : this.w(left > 0 ? 'work-proof-open' : 'work-proved')
      case 'hand-back':
        return done ? this.w('work-list-done') : left > 0 && repaired.length > 0 ? this.w('work-left', { n: left }) : ''
      case 'sign-off':
        return work?.signedOff?.charged === undefined
          ? work?.signedOff
            ? this.w('work-signed')
            : ''
          : this.w('work-charged', {
              amount: amountOf(work.signedOff.charged, this.t('locale'), work.signedOff.currency),
            })
      case 'close':
        return status === 'closed' ? this.t('closed') : ''
    }
  }

  private body(step: Step, closed: boolean) {
    const { noted, finding, drafts, problems, t } = this
    const of = (type: string) => this.waiting.filter((w) => w.act.type === type)
    switch (step) {
      case 'approve':
        return closed
          ? nothing
          : html`<bl-approval .t=${t} .noted=${noted} .finding=${finding} .standing=${this.standing} .drafts=${drafts} .remedies=${this.remedies}
              .problem=${problems['approve'] ?? problems['decline']} ?waiting=${of('approve').length + of('decline').length > 0}></bl-approval>`
      case 'why':
        return html`<bl-why-failed .t=${t} .noted=${noted} .drafts=${drafts} .problems=${problems}
          .sending=${of('root-cause').map((w) => (w.act.type === 'root-cause' ? w.act.root : ''))}
          .given=${Object.fromEntries(of('root-cause').map((w) => (w.act.type === 'root-cause' ? [w.act.root, w.act.found] : [])))} ?kept=${this.kept}></bl-why-failed>`
      case 'repair':
        return this.repair()
      case 'proof':
        return this.proof()
      case 'hand-back':
        return html`<bl-hand-back .t=${t} .noted=${noted} .drafts=${drafts} .problems=${problems}
          .sending=${of('hand-back').flatMap((w) => (w.act.type === 'hand-back' ? w.act.items.map((i) => i.item) : []))} ?kept=${this.kept}></bl-hand-back>`
      case 'sign-off':
        return html`<bl-sign-off .t=${t} .noted=${noted} .drafts=${drafts} .problem=${problems['sign-off']} ?waiting=${of('sign-off').length > 0}
          currency=${this.standing?.estimate.currency ?? ''}></bl-sign-off>`
      case 'close':
        return this.close(closed)
    }
  }

  private repair() {
    const { pending } = jobOf(this.noted, this.finding)
    const first = (this.noted?.toDo ?? []).filter((x) => x.before === 'repaired')
    const busy = this.waiting.some((w) => w.act.type === 'repaired')
    // The finding above says it too; and what has to come first is listed already.
    const shown =
      first.length > 0
        ? this.problems['repaired']?.code === 'not-approved'
        : pending.some((p) => p.remedy === this.finding?.remedy?.id)
    return html`${(this.noted?.repaired ?? []).map((r) => html`<p><b>${r.name}</b></p>`)}
      ${first.length > 0 ? html`<p>${this.w('work-first')}</p>${toDoLinks(first, (s) => void this.go(s as Step))}` : nothing}
      ${pending
        .filter((p) => !first.some((x) => x.remedy === p.remedy))
        .map(
          (p, i) =>
            html`<div class="row"><button class="main" ?data-next=${i === 0} aria-disabled=${busy} @click=${() => busy || this.act({ type: 'repaired', remedy: p.remedy })}>${this.w('repaired-named', { name: p.name })}</button></div>`,
        )}
      ${shown ? nothing : problemLine(this.problems['repaired'])}
      <div class="row"><button class="quiet" @click=${() => void this.go('approve')}>${this.w('work-other')}</button></div>`
  }

  private proof() {
    const open = (this.noted?.toDo ?? []).some((x) => x.what === 'proof')
    if ((this.noted?.repaired.length ?? 0) === 0) return html`<p class="soft">${this.w('work-proof-lead')}</p>`
    return open
      ? html`<p>${this.w('work-proof-ask')}</p><div class="row"><button data-next @click=${() => this.wish('question')}>${this.w('work-to-question')}</button></div>`
      : html`<p>${this.w('work-proved')}</p>`
  }

  private order() {
    return this.paper ? html`<p><a class="paper" href=${this.paper}>${this.w('work-order')}</a></p>` : nothing
  }

  private close(closed: boolean) {
    if (closed)
      return html`<p>${this.t('closed')}</p><div class="row"><button class="main" data-next @click=${() => this.wish('new-job')}>${this.t('new-job')}</button></div>${this.order()}`
    const first = (this.noted?.toDo ?? []).filter((x) => x.before === 'close')
    const signed = this.noted?.work?.signedOff !== undefined
    const busy = this.waiting.some((w) => w.act.type === 'close')
    return html`${first.length > 0 ? html`<p>${this.w('work-first')}</p>${toDoLinks(first, (s) => void this.go(s as Step))}` : nothing}
      ${signed || first.length > 0 ? nothing : html`<p>${this.w('work-not-signed')}</p>`}
      ${problemLine(this.problems['close'])}
      <div class="row"><button data-next class=${signed ? 'main' : ''} aria-disabled=${busy} @click=${() => busy || this.act({ type: 'close' })}>${signed ? this.t('close') : this.w('work-close-unsigned')}</button></div>
      ${this.order()}`
  }
}

define('bl-work', Work)
