import { html, nothing, svg } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { AskBody, Because, Pictures, Understood } from '../../../rules/protocol/index.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { checkStyles } from './check.styles.ts'

const DONT_KNOW = 'dont-know'

/**
 * The current question: what to do, where the probes go, what good looks like, and the means to answer it.
 *
 * @csspart question - The heading.
 * @csspart answers - The group of answers.
 * @csspart answer - One answer.
 */
export class Check extends Part {
  static override styles = [controls, checkStyles]

  @property({ attribute: false }) ask!: AskBody
  @property({ attribute: false }) problem?: Problem
  @property({ attribute: false }) setUpProblem?: Problem
  @property({ attribute: false }) why?: Because
  @property({ attribute: false }) understood?: Understood
  /** the outcome that is on its way, `` for one in other words, undefined for none */
  @property({ attribute: false }) waiting?: string
  /** the line is down: what waits is kept here */
  @property({ type: Boolean }) kept = false
  @property({ type: Boolean }) technician = false
  /** the circuit with both probes, and what was measured click by click */
  @property({ attribute: false }) pictures?: Pictures
  @state() private words = ''
  @state() private choosing = false
  @state() private showWhy = true
  @state() private plain = false
  @state() private more = false
  @state() private wholeRow = false
  @state() private crowded = false
  @state() private typedNumber?: number
  @state() private byBlock = false

  override willUpdate(changed: Map<string, unknown>) {
    const before = changed.get('ask') as AskBody | undefined
    if (before && before.check !== this.ask.check) {
      this.words = ''
      this.choosing = false
      this.plain = false
      this.more = false
      this.wholeRow = false
      this.byBlock = false
      this.typedNumber = undefined
    }
    if (changed.has('why')) this.showWhy = true
    // The dial is drawn on top of a question that can be read and answered without it.
    if (this.ask.reading?.expected && this.technician) void import('../dial/dial.ts')
    if (this.pictures) void import('./drawn.ts')
  }

  /** What answers stays at the bottom of a small screen only where it leaves room for the question. */
  #room = new ResizeObserver(([entry]) => {
    const height = entry?.borderBoxSize[0]?.blockSize ?? 0
    this.crowded = height > innerHeight / 2
    // What is scrolled to by Tab comes to stand above it, not behind it.
    this.style.setProperty('--bl-answers', `${Math.ceil(height)}px`)
  })

  override disconnectedCallback() {
    super.disconnectedCallback()
    this.#room.disconnect()
  }

  override connectedCallback() {
    super.connectedCallback()
    void this.updateComplete.then(() => this.#room.observe(this.renderRoot.querySelector('.answer')!))
  }

  override updated(changed: Map<string, unknown>) {
    if (changed.has('why') || changed.has('choosing') || changed.has('understood')) {
      this.renderRoot.querySelector('.panel')?.scrollIntoView({ block: 'nearest' })
    }
  }

  override focusNext() {
    const fine = matchMedia('(pointer: fine)').matches
    const field = this.renderRoot.querySelector<HTMLElement & { focusNext(): void }>('bl-reading, bl-row-entry')
    // A field that takes the focus on a phone brings its keypad up over the question; there the heading takes it.
    if (field && fine) field.focusNext()
    else super.focusNext()
  }

  override render() {
    const { ask } = this
    return html`
      <div class="read">
        ${this.kicker()}
        <h2 tabindex="-1" data-next part="question">${ask.title}</h2>
        ${ask.hint ? html`<p class="hint">${ask.hint}</p>` : nothing}
        ${this.setUp()}
        ${ask.how.length > 0 ? html`<ol class="how ${ask.how.length === 1 ? 'one' : ''}">${ask.how.map((h) => html`<li>${h}</li>`)}</ol>` : nothing}
        ${this.figures()}
        ${ask.good && this.technician ? html`<p class="good"><b>${this.t('good')}</b> ${ask.good}</p>` : nothing}
      </div>
      <div class="answer ${this.tall ? 'tall' : ''} no-print">
        ${this.means()}
        ${problemLine(this.problem)}
        ${this.meant()}
        ${
          this.waiting === undefined
            ? nothing
            : html`<p class="waiting" role="status"><span>${this.t(this.kept ? 'kept' : 'sending')}</span>
          ${this.kept ? html`<button class="quiet" @click=${() => this.wish('drop', { check: ask.check })}>${this.t('take-back')}</button>` : nothing}</p>`
        }
        ${this.alternatives()}
        ${this.because()}
        ${this.others()}
      </div>
      ${this.drawn()}`
  }

  /** Too much to hold at the bottom of a small screen: then it scrolls with the rest. */
  private get tall() {
    const { ask, why, understood } = this
    return (
      this.crowded ||
      this.showsRow ||
      this.choosing ||
      this.byBlock ||
      this.more ||
      (why && this.showWhy && !why.cause) ||
      understood?.check === ask.check
    )
  }

  /** A row may always be entered at once; it is shown by itself where the check can't be answered alone. */
  private get showsRow() {
    const { ask } = this
    return (
      this.technician && (ask.row?.length ?? 0) > 1 && (this.wholeRow || (!ask.reading && ask.outcomes.length === 0))
    )
  }

  private kicker() {
    const { ask, technician } = this
    const kind = ask.kind === 'proof' ? 'kind-proof' : ask.kind === 'again' ? 'kind-again' : undefined
    const parts = [
      kind && html`<span class="tag">${this.t(kind)}</span>`,
      technician && ask.picked && html`<span class="tag">${this.t('picked')}</span>`,
      technician && ask.reason && html`<span>${ask.reason}</span>`,
    ].filter(Boolean)
    return parts.length > 0 ? html`<p class="why">${parts}</p>` : nothing
  }

  private setUp() {
    const { ask } = this
    if (ask.setUp.length === 0) return nothing
    return html`<section class="set-up"><h3>${this.t('set-up')}</h3>
      <ul>${ask.setUp.map((s) => html`<li>${s}</li>`)}</ul>
      ${problemLine(this.setUpProblem, 'set-up-problem')}
      ${this.technician ? html`<button class="no-print" @click=${() => this.act({ type: 'car-state', state: ask.carState })}>${this.t('set-up-done')}</button>` : nothing}
    </section>`
  }

  private figures() {
    const { reading } = this.ask
    const dial = reading?.expected && this.technician && !this.plain && !this.showsRow && !this.plot
    const leads = this.leads()
    if (!dial && leads === nothing) return nothing
    return html`<div class="figures">${leads}${dial ? html`<bl-dial .t=${this.t} .reading=${reading} .value=${this.typedNumber}></bl-dial>` : nothing}</div>`
  }

  /** After the answer, so that the pictures are there and yet in nobody's way. */
  private drawn() {
    const { plot, pictures } = this
    const circuit = this.ask.probes && pictures?.circuit
    if (!plot && !circuit) return nothing
    return html`<div class="drawn">
      ${plot ? html`<bl-step-plot language=${this.t('locale')} .plot=${plot}></bl-step-plot>` : nothing}
      ${circuit ? html`<bl-schematic language=${this.t('locale')} .picture=${circuit}></bl-schematic>` : nothing}</div>`
  }

  /** Once a click of this check's row was read, the whole row is worth more than one dial. */
  private get plot() {
    return this.pictures?.steps.find(
      (p) => p.rows.some((r) => r.measured !== undefined) && p.rows.some((r) => r.check === this.ask.check),
    )
  }

  private leads() {
    const { probes, tools, reading } = this.ask
    if (!probes) return nothing
    const lamp = reading?.instrument === 'test-lamp' || (!reading && tools.includes('test-lamp'))
    const lead = (colour: 'red' | 'black', clip: boolean, word: string, label: string) => html`<div>
      <svg class=${colour} viewBox="0 0 58 18" fill="none" stroke="currentColor" stroke-linecap="round" aria-hidden="true">
        <path d="M1 13C8 3 14 3 20 9" stroke-width="2.4"/>
        ${
          clip
            ? svg`<path d="M20 9h9M29 9l17-5 8 4M29 9l17 5 8-4" stroke-width="3" stroke-linejoin="round"/>`
            : svg`<path d="M20 9h20" stroke-width="7"/><path d="M41 9h15" stroke-width="2"/>`
        }</svg>
      <dt>${word}</dt><dd>${label}</dd></div>`
    return html`<dl class="leads">
      ${lead('red', false, this.t(lamp ? 'lead-tip' : 'lead-red'), probes.red.label)}
      ${lead('black', lamp, this.t(lamp ? 'lead-clip' : 'lead-black'), probes.black.label)}
    </dl>`
  }

  private means() {
    const { ask } = this
    if (this.showsRow) {
      return html`<bl-row-entry .t=${this.t} .row=${ask.row ?? []} .problem=${this.problem} ?waiting=${this.waiting !== undefined}></bl-row-entry>`
    }
    if (ask.blocks && this.byBlock) {
      return html`<bl-block-entry language=${this.t('locale')} .t=${this.t} check=${ask.check} count=${ask.blocks.count} .problem=${this.problem} ?waiting=${this.waiting !== undefined}></bl-block-entry>`
    }
    if (ask.reading && this.technician && !this.plain) {
      return html`<bl-reading @bl-typed=${(e: CustomEvent<number | undefined>) => (this.typedNumber = e.detail)} .t=${this.t} .check=${ask.check} .reading=${ask.reading} ?invalid=${this.problem !== undefined} ?waiting=${this.waiting !== undefined}></bl-reading>`
    }
    return this.keys()
  }

  private keys() {
    const { ask, technician } = this
    const known = ask.outcomes.filter((o) => o.id !== DONT_KNOW)
    const unsure = ask.outcomes.find((o) => o.id === DONT_KNOW)
    const offered = technician
      ? known
      : [...known, unsure ?? { id: DONT_KNOW, label: this.t('not-sure'), small: undefined }]
    const longest = Math.max(...offered.map((o) => (o.small ? 99 : o.label.length)))
    const shape = longest <= 8 && offered.length > 2 ? 'tiny' : longest <= 22 ? 'short' : ''
    return html`<div class="keys ${shape} ${offered.length % 3 === 0 ? 'three' : ''}" role="group" aria-label=${ask.title} part="answers"
      aria-describedby=${this.problem ? 'problem' : nothing} @keydown=${this.arrows}>
      ${offered.map(
        (
          o,
        ) => html`<button part="answer" class=${o.id === DONT_KNOW ? 'unsure' : ''} aria-disabled=${this.waiting !== undefined}
          aria-pressed=${this.waiting === o.id ? 'true' : nothing} @click=${() => this.give(o.id)}>
          ${o.label}${o.small ? html`<small>${o.small}</small>` : nothing}</button>`,
      )}
    </div>`
  }

  /** Typed words that were not understood: what they may have meant. */
  private meant() {
    const { understood, ask } = this
    if (!understood || understood.sure || understood.check !== ask.check) return nothing
    return html`<div class="panel" role="status"><p>${understood.text}</p>
      <div class="others meant">${understood.options.map((o) => html`<button @click=${() => this.give(o.id)}><span>${o.name}</span></button>`)}</div></div>`
  }

  private alternatives() {
    const { ask, technician } = this
    if (!technician) {
      return html`<form class="words" @submit=${this.typed}>
        <input aria-label=${this.t('own-words')} placeholder=${this.t('own-words')} maxlength="2000" enterkeyhint="send" .value=${this.words}
          @input=${(e: Event) => (this.words = (e.target as HTMLInputElement).value)} />
        <button aria-disabled=${this.waiting !== undefined}>${this.t('say-send-short')}</button></form>`
    }
    return html`<div class="alt ${this.more ? 'all' : ''}"><div>
      <button aria-disabled=${this.waiting !== undefined} @click=${() => this.give(DONT_KNOW)}>${this.t('dont-know')}</button>
      ${ask.way === 'ask' ? nothing : html`<button class="extra" aria-disabled=${this.waiting !== undefined} @click=${() => this.give(DONT_KNOW)}>${this.t('cant-reach')}</button>`}
      ${
        ask.reading && !this.showsRow && ask.outcomes.some((o) => o.id !== DONT_KNOW)
          ? html`<button class="extra" aria-pressed=${this.plain} @click=${() => (this.plain = !this.plain)}>${this.t(this.plain ? 'by-number' : 'no-number')}</button>`
          : nothing
      }
      ${
        ask.row && ask.row.length > 1 && (ask.reading || ask.outcomes.length > 0)
          ? html`<button class="extra" aria-pressed=${this.wholeRow} @click=${() => (this.wholeRow = !this.wholeRow)}>${this.t(this.wholeRow ? 'one-alone' : 'whole-row', { n: ask.row.length })}</button>`
          : nothing
      }
      ${ask.blocks ? html`<button class="extra" aria-pressed=${this.byBlock} @click=${this.toggleBlocks}>${this.t('by-block')}</button>` : nothing}
      </div><div class="tools">${ask.others.length > 0 || ask.picked ? html`<button class="extra quiet" aria-expanded=${this.choosing} @click=${() => (this.choosing = !this.choosing)}>${this.t('other-check')}</button>` : nothing}
      <button class="extra quiet" aria-expanded=${this.why !== undefined && this.showWhy} @click=${this.askWhy}>${this.t('why-this')}</button></div>
      <button class="more" aria-expanded=${this.more} @click=${() => (this.more = !this.more)}>${this.t(this.more ? 'less' : 'more')}</button>
    </div>`
  }

  private because() {
    const { why, ask } = this
    if (!why || !this.showWhy || why.cause || (why.check && why.check !== ask.check)) return nothing
    return html`<div class="panel" role="status">
      <div class="row"><h3>${this.t('why-this')}</h3><button class="quiet" @click=${() => (this.showWhy = false)}>${this.t('hide')}</button></div>
      ${why.say.map((s) => html`<p>${s}</p>`)}</div>`
  }

  private others() {
    const { ask } = this
    if (!this.choosing) return nothing
    return html`<div class="panel"><h3>${this.t('other-check')}</h3><div class="others">
      ${ask.picked ? html`<button @click=${() => this.act({ type: 'pick', check: null })}><span>${this.t('suggested-check')}</span></button>` : nothing}
      ${ask.others.map(
        (o) => html`<button @click=${() => this.act({ type: 'pick', check: o.check })}>
          <span>${o.title}</span><span>${this.t('minutes', { n: o.minutes })}</span></button>`,
      )}</div></div>`
  }

  private toggleBlocks = () => {
    void import('../block-entry/block-entry.ts')
    this.byBlock = !this.byBlock
  }

  private askWhy = () => {
    if (this.why && !this.why.cause) this.showWhy = !this.showWhy
    else this.act({ type: 'why', check: this.ask.check })
  }

  private give(outcome: string) {
    if (this.waiting !== undefined) return
    this.act({ type: 'answer', answers: [{ check: this.ask.check, outcome }] })
  }

  private typed = (e: Event) => {
    e.preventDefault()
    const text = this.words.trim()
    if (text && this.waiting === undefined) this.act({ type: 'answer', answers: [{ check: this.ask.check, text }] })
  }

  /** Arrow keys walk the answers, as in a group of choices; Tab still visits each of them. */
  private arrows = (e: KeyboardEvent) => {
    const step = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[e.key]
    if (!step) return
    const keys = [...this.renderRoot.querySelectorAll<HTMLElement>('.keys button')]
    const at = keys.indexOf(e.target as HTMLElement)
    keys[(at + step + keys.length) % keys.length]?.focus()
    e.preventDefault()
  }
}

define('bl-check', Check)
