import { adoptStyles, html, LitElement, nothing, type PropertyValues } from 'lit'
import { property, state } from 'lit/decorators.js'
import { keyed } from 'lit/directives/keyed.js'
import { nanoid } from 'nanoid'
import type { CautionBody } from '../../../rules/protocol/index.ts'
import type { CarFacts } from '../../../rules/schema/car.ts'
import { Drafts } from '../../connection/drafts.ts'
import { browserKeep } from '../../connection/keep.ts'
import { type Here, type Mode, Talk } from '../../connection/talk.ts'
import { type Act, placeOf } from '../../state/messages.ts'
import { type Happening, PASSING, reduce } from '../../state/reduce.ts'
import { EMPTY, type View } from '../../state/view.ts'
import { directionOf, inEnglish, type Translate, translateTo } from '../../texts/translate.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { define, type Part } from '../part.ts'
import type { Step } from '../work/steps.ts'
import type { Work } from '../work/work.ts'
import { benchLampStyles } from './bench-lamp.styles.ts'
import '../mark/mark.ts'
import '../say/say.ts'

const keep = browserKeep()
/** Places in storage that elements of this page already use. */
const taken = new Set<string>()
const GRAVEST: CautionBody['signal'][] = ['DANGER', 'WARNING', 'CAUTION', 'NOTICE']
/** After these the person is where they were, and stays there. */
const STAY = new Set<Act['type']>(['why', 'tell', 'car-state', 'contact', 'meter'])
/** After these the next thing is in the job, not in the question. */
const JOB = new Set<Act['type']>(['approve', 'decline', 'root-cause', 'hand-back', 'sign-off', 'close'])

interface Wish {
  what: string
  step?: string
  check?: string
  tag?: string
  code?: string
}

/**
 * Finds the one bad part in an electric golf or utility car, one question at a time: for a customer at the counter
 * (`layout="compact"`) or a technician at the bench (`layout="full"`).
 *
 * @tag bench-lamp
 *
 * @attr {string} shop - The shop's id; `demo` without one.
 * @attr {string} name - What the card is called until the complaint is known, such as the shop's name.
 * @attr {string} server - Address of the server, such as `https://lamp.example.org`; by default where the script is from.
 * @attr {'compact'|'full'} layout - A card on somebody's page, or the whole bench.
 * @attr {'auto'|'light'|'dark'} theme - Colours; `auto` follows the reader's setting.
 * @attr {string} lang - Language; by default that of the page.
 * @attr {'server'|'auto'|'local'} mode - Where it reasons: on the server; in this browser where the server is not there for a new case; always in this browser first. What begins in the browser is handed up when the server can be reached.
 * @attr {string} code - A hand-over code to begin with (technicians).
 *
 * @event {CustomEvent<{case: string, code: string, role: string}>} bl-opened - A case was opened, or opened again.
 * @event {CustomEvent<{check: string | null}>} bl-turn - Another question stands.
 * @event {CustomEvent<{code: string, title: string, causes: string[], p: number, sure: boolean}>} bl-finding - A finding is shown.
 * @event {CustomEvent<{code: string}>} bl-handed-over - A customer was given the code for the shop.
 * @event {CustomEvent<{code: string}>} bl-closed - The job card was closed.
 * @event {CustomEvent} bl-pass-over - The pass is good no more: give another one, then call `open()`; what was entered waits.
 *
 * @slot lead - Above the first question.
 * @slot hand-over - Below the hand-over code.
 *
 * @csspart base - All of it.
 * @csspart stub - The top of the compact card.
 * @csspart card - The card with the current question.
 * @csspart question - The heading of the current question.
 * @csspart answers - The group of answers.
 * @csspart answer - One answer.
 *
 * @cssproperty --bl-act - Colour of what is pressed to go on.
 * @cssproperty --bl-act-ink - Text on it.
 * @cssproperty --bl-card - Ground of the card.
 * @cssproperty --bl-stub - Ground of its stub.
 * @cssproperty --bl-bench - Ground behind the cards (full layout).
 * @cssproperty --bl-ink - Text.
 * @cssproperty --bl-soft - Lesser text.
 * @cssproperty --bl-lamp - The lamp and the likeliest cause.
 * @cssproperty --bl-radius - Corners.
 * @cssproperty --bl-font - Face.
 */
export class BenchLamp extends LitElement {
  static override styles = [tokens, controls, benchLampStyles]

  @property() shop = 'demo'
  @property() name = ''
  @property() server = ''
  @property({ reflect: true }) layout: 'compact' | 'full' = 'compact'
  @property({ reflect: true }) theme: 'auto' | 'light' | 'dark' = 'auto'
  @property() mode: Mode = 'server'
  @property() code = ''
  /** A technician's pass, from the sign-in link. A property only, so that it stands in no page. */
  @property({ attribute: false }) pass?: string
  /** What is known of the car before anything is asked. */
  @property({ attribute: false }) facts?: CarFacts

  @state() private view: View = EMPTY
  @state() private t: Translate = inEnglish
  @state() private trailOpen = false
  @state() private intake: 'unasked' | 'open' | 'done' = 'unasked'
  @state() private begin?: { tag?: string; code?: string }
  @state() private spoken = ''
  @state() private menu = false
  /** set while the case is held in this browser */
  @state() private here?: Here
  /** said once it was handed up, until the next turn */
  @state() private handedUp = ''

  #connection?: Talk
  #key = ''
  #drafts = new Drafts(keep, () => `${this.#key}.draft`)
  #seen?: IntersectionObserver
  #moveFocus: boolean | 'job' = false
  #settle?: ReturnType<typeof setTimeout>
  #language = ''

  // ---- what a page may do

  /** Opens the case, as touching the element does. */
  open(): void {
    this.#connect().connect()
  }

  /** Leaves the case and begins anew. */
  startOver(): void {
    this.#connection?.leave()
    this.#drafts.clear()
    this.begin = undefined
    this.intake = 'unasked'
    this.trailOpen = false
    this.#moveFocus = true
    void this.updateComplete.then(() => this.#focusNext())
  }

  /** Opens what is folded: the trail of answers. */
  show(what: 'trail' | undefined): void {
    if (what === 'trail') this.#toggleTrail()
    if (this.#technician) void this.#workshop()
    else if (this.view.finding) void import('../hand-over/hand-over.ts')
  }

  /** Opens a step of the job: the yes, why it failed, the repair, its proof, the list, the signature, the closing. */
  async openStep(step: Step): Promise<void> {
    await this.updateComplete
    await this.renderRoot.querySelector<Work>('bl-work')?.go(step)
  }

  // ---- life

  override connectedCallback() {
    super.connectedCallback()
    void this.#speak()
    this.addEventListener('bl-act', this.#acted as EventListener)
    this.addEventListener('bl-wish', this.#wished as EventListener)
    // A case to go on with is fetched when it is seen; a new one is made when somebody begins to use it.
    this.#seen = new IntersectionObserver((entries) => {
      if (!entries.some((e) => e.isIntersecting)) return
      this.#seen?.disconnect()
      if (this.#connect().started || this.begin) this.open()
      if (this.layout === 'full') void this.#workshop()
    })
    this.#seen.observe(this)
  }

  override firstUpdated() {
    // The next question's parts come while the first is read, and not before that is drawn.
    const soon = globalThis.requestIdleCallback ?? ((act: () => void) => setTimeout(act, 50))
    soon(() => void import('./asking.ts'))
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    this.#seen?.disconnect()
    clearTimeout(this.#settle)
    this.#connection?.close()
    this.#connection = undefined
    taken.delete(this.#key)
    this.removeEventListener('bl-act', this.#acted as EventListener)
    this.removeEventListener('bl-wish', this.#wished as EventListener)
  }

  override willUpdate(changed: PropertyValues) {
    if (changed.has('view') && this.view.opened && this.view.opened.language !== this.#language) void this.#speak()
  }

  /** What a technician needs around the question. */
  async #workshop() {
    const { benchStyles } = await import('./workshop.ts')
    adoptStyles(this.renderRoot as ShadowRoot, [tokens, controls, benchLampStyles, benchStyles])
  }

  #connect(): Talk {
    if (this.#connection) return this.#connection
    const url = this.#socketUrl()
    const base = this.#place()
    // By where it stands on the page, not by which was seen first: a reload must find the same conversation in each.
    const alike = [...(this.getRootNode() as ParentNode).querySelectorAll('bench-lamp')].filter(
      (e) => e instanceof BenchLamp && e.#place() === base,
    )
    let n = Math.max(0, alike.indexOf(this)) + 1
    const named = () => (n === 1 ? base : `${base} ${n}`)
    while (taken.has(named())) n++
    const key = named()
    taken.add(key)
    this.#key = key
    this.#connection = new Talk({
      mode: () => this.mode,
      role: () => (this.layout === 'full' || this.pass !== undefined ? 'technician' : 'customer'),
      note: (act, why) => this.t('here-not-taken', { what: wordsOf(act), why }),
      here: (here) => {
        if (here?.problem?.code === 'bad-pass' && !this.here?.problem) this.#tell('bl-pass-over', {})
        this.here = here
      },
      handedUp: (code, before) => {
        this.handedUp = this.t(before === code ? 'handed-up' : 'handed-up-code', { code, before })
        this.spoken = this.handedUp
      },
      url: url.href,
      keep,
      key,
      newId: nanoid,
      opening: () => ({
        shop: this.shop,
        language: this.#wanted(),
        ...(this.pass && { pass: this.pass }),
        ...(this.facts && { facts: this.facts }),
        ...this.begin,
      }),
      happened: (h) => this.#happened(h),
    })
    return this.#connection
  }

  #socketUrl(): URL {
    const url = new URL('/converse', this.server || scriptOrigin())
    url.protocol = url.protocol.replace('http', 'ws')
    return url
  }

  /** Where its conversation is kept in this browser. */
  #place(): string {
    return `benchlamp ${this.#socketUrl().host} ${this.shop} ${this.id || this.layout}`
  }

  #happened(told: Happening) {
    const before = this.view
    const happening = this.#inPlainWords(told)
    this.view = reduce(before, happening)
    if (happening.type !== 'received') return
    const { message } = happening
    switch (message.type) {
      case 'opened':
        this.begin = undefined
        if (message.role === 'customer') void import('../hand-over/hand-over.ts')
        else void this.#workshop()
        if (!before.opened) this.#tell('bl-opened', { case: message.case, code: message.code, role: message.role })
        break
      case 'error':
        if (message.code === 'bad-pass') this.#tell('bl-pass-over', {})
        break
      case 'ask':
        if (message.ask?.check !== before.ask?.check) this.#tell('bl-turn', { check: message.ask?.check ?? null })
        this.#draw()
        break
      case 'finding':
        if (message.finding) this.#found(message.finding.title !== before.finding?.title)
        break
      case 'noted':
        if (message.status === 'closed' && before.noted?.status === 'open')
          this.#tell('bl-closed', { code: before.opened?.code })
        break
    }
    // One polite announcement a turn: a message has several replies.
    if (this.view.turn !== before.turn) {
      clearTimeout(this.#settle)
      // The question is the last of them; the others wait for it, also on a machine that is busy.
      const last =
        message.type === 'ask' || message.type === 'because' || (message.type === 'understood' && !message.sure)
      this.#settle = setTimeout(() => this.#settled(), last ? 40 : 500)
    }
  }

  /** On the bench the circuit is drawn beside each question: it changes with what is asked and with what was measured. */
  #draw() {
    const { ask, opened, noted } = this.view
    const drive = noted?.facts.drive ?? opened?.facts.drive
    if (this.layout !== 'full' || !this.#technician || !drive || ask?.kind === 'complaint') return
    this.#connect().send({ type: 'meter', ...(ask && { check: ask.check }) })
  }

  /** What passes is sent again by the connection; what the server says of it is for whoever writes a client. */
  #inPlainWords(told: Happening): Happening {
    if (told.type !== 'received' || told.message.type !== 'error' || !PASSING.has(told.message.code)) return told
    return { ...told, message: { ...told.message, text: this.t('passing'), mend: this.t('passing-mend') } }
  }

  #found(isNew: boolean) {
    const f = this.view.finding
    if (!f || !isNew) return
    if (!this.#technician) void import('../hand-over/hand-over.ts')
    this.#tell('bl-finding', {
      code: f.code,
      title: f.title,
      causes: f.causes.map((c) => c.cause),
      p: f.p,
      sure: f.sure,
    })
    if (!this.#technician) this.#tell('bl-handed-over', { code: f.code })
  }

  #tell(name: string, detail: object) {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }))
  }

  #acted = (e: CustomEvent<Act>) => {
    e.stopPropagation()
    const act = e.detail
    this.handedUp = ''
    if (!STAY.has(act.type)) this.#moveFocus = JOB.has(act.type) ? 'job' : true
    if (act.type === 'retract') this.trailOpen = false
    this.#connect().send(act)
  }

  #wished = (e: CustomEvent<Wish>) => {
    e.stopPropagation()
    const { what, check, tag, code, step } = e.detail
    if (what === 'open') this.open()
    if (what === 'begin') {
      this.begin = { ...(tag && { tag }), ...(code && { code }) }
      this.#moveFocus = true
      this.#connection?.leave()
      this.#drafts.clear()
      this.intake = code ? 'done' : 'open'
      this.open()
    }
    if (what === 'intake-done') {
      this.intake = 'done'
      void this.updateComplete.then(() => this.#focusNext())
    }
    if (what === 'question') void this.#focusNext()
    if (what === 'new-job') this.startOver()
    if (what === 'work') void this.openStep(step as Step)
    if (what === 'drop') {
      const item = this.view.waiting.find(
        (w) => placeOf(w.act) === `answer:${check}` || placeOf(w.act) === `row:${check}`,
      )
      if (item) this.#connection?.drop(item.id)
    }
  }

  // ---- after a turn

  async #settled() {
    const { view, t } = this
    const hold = this.#held[0]
    const left = this.#moveFocus === 'job' && view.noted?.toDo?.[0]
    const about = left
      ? t('left-next', { what: left.text })
      : hold
        ? `${t(`signal-${hold.signal}`)}. ${hold.hazard}`
        : (this.#showsFinding && view.finding?.title) ||
          [this.#technician ? view.standing?.lamp.say : '', view.ask?.title ?? view.because].filter(Boolean).join('. ')
    this.spoken = [view.noted?.say ?? (view.understood?.text || ''), about].filter(Boolean).join(' ')
    await this.updateComplete
    const move = this.#moveFocus
    this.#moveFocus = false
    if (move) await this.#focusNext(move === 'job')
  }

  async #focusNext(job = false) {
    const work = job ? this.renderRoot.querySelector<Work>('bl-work') : null
    if (work) {
      await work.updateComplete
      return work.focusNext()
    }
    const part = this.renderRoot.querySelector<Part>('[data-turn]')
    if (part) {
      await customElements.whenDefined(part.localName)
      await part.updateComplete
      part.focusNext()
    }
    const card = this.renderRoot.querySelector('.card')
    const top = card?.getBoundingClientRect().top ?? 0
    if (top < 0 || top > innerHeight * 0.7) card?.scrollIntoView({ block: 'start', behavior: 'auto' })
  }

  // ---- language

  #wanted(): string {
    const said =
      this.view.opened?.language ??
      (this.lang || this.closest('[lang]')?.getAttribute('lang') || document.documentElement.lang || navigator.language)
    return /^[a-z]{2}/i.exec(said)?.[0].toLowerCase() ?? 'en'
  }

  async #speak() {
    this.#language = this.view.opened?.language ?? this.#wanted()
    this.t = await translateTo(this.#language)
  }

  // ---- what stands where

  get #technician(): boolean {
    const role = this.view.opened?.role
    return role ? role !== 'customer' : this.layout === 'full'
  }

  /** Cautions that hold the question back until they are acknowledged. */
  get #held(): CautionBody[] {
    return this.view.cautions.filter((c) => c.acknowledge && !c.acknowledged)
  }

  get #bands(): CautionBody[] {
    const all = [...this.view.cautions, ...(this.view.ask?.cautions ?? [])].filter(
      (c) => !c.acknowledge || c.acknowledged,
    )
    return all.filter((c, i) => all.findIndex((d) => d.id === c.id) === i)
  }

  /** Those that were acknowledged share one line, under the gravest word among them; the others stand whole. */
  #bandsShown() {
    const { t } = this
    const grave = (c: CautionBody) => GRAVEST.indexOf(c.signal)
    const [first, ...also] = this.#bands.filter((c) => c.acknowledge).sort((a, b) => grave(a) - grave(b))
    return html`${this.#bands.filter((c) => !c.acknowledge).map((c) => html`<bl-caution .t=${t} .caution=${c} band></bl-caution>`)}
      ${first ? html`<bl-caution .t=${t} .caution=${first} .also=${also} band></bl-caution>` : nothing}`
  }

  get #showsFinding(): boolean {
    const { finding, ask } = this.view
    if (!finding) return false
    return this.#technician ? ask?.kind !== 'proof' && !ask?.picked : ask === null || finding.kind === 'hand-over'
  }

  #waitingFor(place: (p: string) => boolean) {
    return this.view.waiting.find((w) => place(placeOf(w.act)))
  }

  override render() {
    const frame = this.layout === 'full' ? this.#bench() : this.#compact()
    return html`<div class="frame ${this.layout}" part="base" role="region" aria-label=${this.name || this.t('name')} lang=${this.t('locale')} dir=${directionOf(this.#language)}>
      ${frame}<div class="hidden" role="log" aria-live="polite" aria-atomic="true">${this.spoken}</div></div>`
  }

  #compact() {
    const { view, t } = this
    const trail = view.noted?.trail ?? []
    const last = trail.at(-1)
    // To a customer in a customer's words.
    const said = trail.find((i) => i.check.startsWith('complaint.'))?.check.slice('complaint.'.length)
    const plain = this.#technician ? undefined : view.opened?.complaints.find((c) => c.id === said)?.plain
    const complaint = plain ?? view.noted?.complaint
    const title = complaint ? `“${complaint}”` : this.name || t('name')
    return html`
      <div class="stub" part="stub">
        <bl-mark .brightness=${view.standing?.lamp.brightness ?? 0.12}></bl-mark>
        ${
          trail.length > 0
            ? html`<button class="about" aria-expanded=${this.trailOpen} @click=${this.#toggleTrail}>
                <b>${title}</b><span>${this.#holes(trail.length)}${this.#progress()}</span></button>`
            : html`<div class="about"><b>${title}</b><span>${t('tagline')}</span></div>`
        }
        ${last && view.noted?.status !== 'closed' ? html`<button class="quiet no-print" aria-disabled=${view.waiting.length > 0} @click=${() => view.waiting.length > 0 || this.#send({ type: 'retract', check: last.check })}>${t('go-back')}</button>` : nothing}
      </div>
      <div class="tear" aria-hidden="true"></div>
      <div class="card paper" part="card">
        ${this.trailOpen && trail.length > 0 ? this.#tray() : nothing}
        ${this.#lines()}
        ${view.opened ? nothing : html`<slot name="lead"></slot>`}
        ${this.#current()}
        ${
          this.#technician && view.standing
            ? html`<details class="fold no-print"><summary>${t('still-possible')}</summary><bl-standing .t=${t} .standing=${view.standing} .why=${view.why}></bl-standing></details>`
            : nothing
        }
      </div>`
  }

  #holes(n: number) {
    return html`<span class="holes" aria-hidden="true">${Array.from({ length: Math.min(n, 8) }, () => html`<i></i>`)}</span>`
  }

  #tray() {
    const { view, t } = this
    return html`<section class="tray"><bl-trail .t=${t} .trail=${view.noted?.trail ?? []} .problems=${view.problems} ?technician=${this.#technician} ?closed=${view.noted?.status === 'closed'}></bl-trail>
      <div class="foot"><span class="soft">${t('job', { code: view.opened?.code })}</span><button @click=${() => this.startOver()}>${t('start-over')}</button></div></section>`
  }

  #progress() {
    const { view, t } = this
    const n = view.noted?.trail.length ?? 0
    const more = this.#showsFinding ? 0 : Math.round(view.standing?.remaining.checks ?? 0)
    return more > 0 ? t('progress', { n, more }) : t('progress-done', { n })
  }

  /** What stands above the question: the connection, what was just done, what went wrong with no place of its own. */
  #lines() {
    const { view, t } = this
    const stray =
      (this.#wrongCode ? undefined : view.problems['']) ??
      view.problems['pick'] ??
      view.problems['why'] ??
      view.problems['facts']
    const said = view.noted?.say ?? (view.understood?.sure ? view.understood.text : '')
    return html`
      ${this.#line()}
      ${
        stray
          ? html`<p class="problem" role="alert"><b>${stray.text}</b><span>${stray.mend}</span>
              ${view.opened || !this.#connection?.started ? nothing : html`<button @click=${() => this.startOver()}>${t('start-over')}</button>`}</p>`
          : nothing
      }
      ${said && view.opened && view.line !== 'lost' ? html`<p class="line noted no-print">${said}</p>` : nothing}`
  }

  /** Said where the code was typed. */
  get #wrongCode() {
    const problem = this.view.problems['']
    const typed = this.layout === 'full' && !this.view.opened && (this.begin?.code ?? this.code)
    return typed && problem?.code === 'no-such-case' ? problem : undefined
  }

  /** How it stands with the line; nothing while all is as it should be. */
  #line() {
    const { view, t, here } = this
    if (this.handedUp) return html`<p class="line noted no-print">${this.handedUp}</p>`
    if (here?.problem)
      return html`<p class="line ink no-print" role="status"><span>${t('here-kept')} ${here.problem.text} ${here.problem.mend}</span>${here.problem.code === 'bad-pass' ? this.#signIn() : nothing}</p>`
    if (here && view.line !== 'lost') {
      const out = this.#technician && !this.pass
      return view.opened
        ? html`<p class="line no-print" role="status"><span>${t(out ? 'here-sign-in' : 'here')}</span>${out ? this.#signIn() : nothing}</p>`
        : nothing
    }
    if (view.line !== 'lost') return nothing
    return html`<p class="line no-print" role="status">${t(here ? 'here-missing' : view.waiting.length > 0 ? 'lost-kept' : 'lost')}</p>`
  }

  /** The page knows how. */
  #signIn() {
    return html`<button @click=${() => this.#tell('bl-pass-over', {})}>${this.t('sign-in')}</button>`
  }

  /** The one thing that comes next. */
  #current() {
    const { view, t } = this
    const { ask, finding } = view
    const technician = this.#technician
    if (!view.opened) return this.#before()
    if (this.intake === 'open' && technician) return this.#intakeForm()
    const [held] = this.#held
    if (held) {
      return keyed(
        held.id,
        html`<bl-caution class="come" data-turn .t=${t} .caution=${held} .problem=${view.problems[`acknowledge:${held.id}`]} ?waiting=${this.#waitingFor((p) => p === `acknowledge:${held.id}`) !== undefined}></bl-caution>`,
      )
    }
    const shows = this.#showsFinding
    return html`
      ${shows && view.noted?.status === 'closed' ? html`<p class="line noted">${t('closed')}.</p>` : nothing}
      ${shows && technician ? nothing : this.#bandsShown()}
      ${shows && finding ? this.#finding() : nothing}
      ${ask && !(shows && !technician) ? (shows ? html`<section class="further"><p class="label">${t('go-on-checking')}</p>${this.#ask(false)}</section>` : this.#ask(true)) : nothing}
      ${!ask && !shows ? this.#nothingToAsk() : nothing}
      ${technician ? this.#job(!ask && !shows) : nothing}
      ${finding && !shows && technician ? html`<details class="fold"><summary>${finding.title}</summary>${this.#finding(false)}</details>` : nothing}`
  }

  #before() {
    const { view, t } = this
    const connecting = view.line === 'connecting' && this.#connect().started
    if (this.layout === 'full') {
      if (view.line === 'connecting' || (view.line === 'lost' && (this.begin || this.#connect().started)))
        return html`<p class="none soft" role="status">${t('connecting')}</p>`
      return html`<bl-start data-turn .t=${t} .code=${this.begin?.code ?? this.code} .problem=${this.#wrongCode} ?signed-in=${this.pass !== undefined}></bl-start>`
    }
    if (connecting && !this.#waitingFor((p) => p === 'say'))
      return html`<div class="none wait" role="status"><p class="soft">${t('connecting')}</p></div>`
    return this.#say()
  }

  #say() {
    const { view, t } = this
    const { ask } = view
    return html`<bl-say data-turn .t=${t} .complaints=${view.opened?.complaints ?? []} .understood=${view.understood} .problem=${view.problems['say']}
      ?waiting=${this.#waitingFor((p) => p === 'say') !== undefined} ?technician=${this.#technician} heading=${ask?.title ?? ''} hint=${ask?.hint ?? ''}></bl-say>`
  }

  #ask(turn: boolean) {
    const { view, t } = this
    const ask = view.ask!
    if (ask.kind === 'complaint' || ask.way === 'say') return this.#say()
    const rowFirst = ask.row?.[0]?.check
    const places = [
      `answer:${ask.check}`,
      `row:${ask.check}`,
      ...(ask.row ?? []).flatMap((r) => [`answer:${r.check}`, `row:${r.check}`]),
    ]
    const waiting = this.#waitingFor((p) => places.includes(p))
    const answer = waiting?.act.type === 'answer' ? (waiting.act.answers[0]?.outcome ?? '') : undefined
    const problem = places.map((p) => view.problems[p]).find(Boolean)
    return keyed(
      `${ask.check} ${ask.kind} ${rowFirst ?? ''}`,
      html`<bl-check class="come" ?data-turn=${turn} exportparts="question, answers, answer" .t=${t} .ask=${ask} .problem=${problem} .setUpProblem=${view.problems['car-state']}
        .why=${view.why} .understood=${view.understood} .waiting=${answer} .pictures=${view.meter?.check === ask.check ? view.meter.pictures : undefined} ?kept=${view.line !== 'open'} ?technician=${this.#technician}></bl-check>`,
    )
  }

  #finding(turn = true) {
    const { view, t } = this
    const common = { waiting: this.#waitingFor((p) => p === 'repaired' || p === 'tell') !== undefined }
    if (!this.#technician) {
      const link = new URL(`/bench#code=${encodeURIComponent(view.finding!.code)}`, this.server || scriptOrigin()).href
      return html`<bl-hand-over class="come" ?data-turn=${turn} .t=${t} .finding=${view.finding!} .opened=${view.opened} .noted=${view.noted} .standing=${view.standing}
        .problem=${view.problems['contact']} .drafts=${this.#drafts} link=${link} ?waiting=${this.#waitingFor((p) => p === 'contact') !== undefined} ?here=${this.here !== undefined} .cautions=${this.#bands}><slot name="hand-over" slot="hand-over"></slot></bl-hand-over>`
    }
    return html`<bl-finding class="come" ?data-turn=${turn} .t=${t} .finding=${view.finding!} .noted=${view.noted} .opened=${view.opened} .problem=${view.problems['repaired']} .currency=${view.standing?.estimate.currency}
      ?waiting=${common.waiting} ?closed=${view.noted?.status === 'closed'}></bl-finding>`
  }

  /** Is there a repair to agree on, to do or to answer for? */
  get #hasJob(): boolean {
    const { finding, noted } = this.view
    return (
      Boolean(finding?.remedy ?? noted?.toDo ?? noted?.askWhy ?? noted?.work?.signedOff) ||
      Boolean(noted?.work?.declined.length)
    )
  }

  #job(main: boolean) {
    const { view, t } = this
    if (!this.#hasJob) return nothing
    const large = main && view.noted?.status !== 'closed'
    const paper =
      this.layout === 'full' && !this.here
        ? new URL(
            `/work-order?case=${encodeURIComponent(view.opened!.case)}&lang=${t('locale')}`,
            this.server || scriptOrigin(),
          ).href
        : ''
    return html`<bl-work paper=${paper} ?data-turn=${large} ?main=${large} .t=${t} .finding=${view.finding} .noted=${view.noted} .standing=${view.standing}
      ?kept=${view.line !== 'open'} .problems=${view.problems} .waiting=${view.waiting} .drafts=${this.#drafts} .remedies=${this.#remedies}></bl-work>`
  }

  #remedies = async () => {
    const { fetchRemedies } = await import('../work/catalogue.ts')
    return fetchRemedies(this.server || scriptOrigin(), this.shop, this.pass, this.t('locale'))
  }

  #nothingToAsk() {
    const { view, t } = this
    const closed = view.noted?.status === 'closed'
    if (this.#technician && this.#hasJob && !closed) {
      return view.because ? html`<p class="none lead">${view.because}</p>` : nothing
    }
    if (!closed && !view.because && !view.noted)
      return html`<div class="none wait" role="status"><p class="soft">${t('connecting')}</p></div>`
    return html`<div class="none"><h2 tabindex="-1">${closed ? t('closed') : view.stop ? t('stopped') : t('nothing-to-ask')}</h2>
      ${view.because ? html`<p>${view.because}</p>` : nothing}
      ${closed ? html`<button class="main" @click=${() => this.startOver()}>${t('new-job')}</button>` : nothing}</div>`
  }

  #meter() {
    const { view, t } = this
    if (!(view.meter ?? view.looked) || !this.#technician || this.intake === 'open' || this.#held.length > 0)
      return nothing
    void import('../meter/meter.ts')
    return html`<bl-meter language=${t('locale')} .t=${t} .meter=${view.meter} .looked=${view.looked} .plotOf=${view.ask?.check} .problem=${view.problems['meter']}
      ?waiting=${this.#waitingFor((p) => p === 'meter') !== undefined}></bl-meter>`
  }

  #intakeForm() {
    const { view, t } = this
    return html`<bl-intake class="come" data-turn .t=${t} .factsToAsk=${view.opened?.factsToAsk ?? []} .facts=${view.noted?.facts ?? view.opened?.facts ?? {}}
      tag=${view.noted?.tag ?? view.opened?.tag ?? ''} .problem=${view.problems['facts']}></bl-intake>`
  }

  #bench() {
    const { view, t } = this
    const { opened, noted, standing } = view
    const working = opened !== undefined
    const closed = noted?.status === 'closed'
    const now = this.#showsFinding || this.#held.length > 0 ? '' : (view.ask?.title ?? '')
    return html`<div class="bench">
      <div class="head">
        <div class="brand ${working ? 'working' : ''}"><bl-mark .brightness=${standing?.lamp.brightness ?? 0.12}></bl-mark>${this.name || t('name')}</div>
        ${working ? html`<div class="lamp top"><bl-mark .brightness=${standing?.lamp.brightness ?? 0.12}></bl-mark><div><b>${standing?.lamp.say ?? t('name')}</b><span>${this.#remaining()}</span></div></div>` : nothing}
        ${working ? this.#boxes() : nothing}
        ${
          working
            ? html`<div class="acts no-print ${this.menu ? 'all' : ''}">
              <button class="more" aria-expanded=${this.menu} @click=${() => (this.menu = !this.menu)}>${t(this.menu ? 'less' : 'more')}</button>
              ${this.intake === 'open' ? nothing : html`<button @click=${this.#openIntake}>${t('car')}</button>`}
              <button @click=${() => print()}>${t('print')}</button>
              <button @click=${() => this.startOver()}>${t('new-job')}</button></div>`
            : nothing
        }
      </div>
      <div class="grid ${working ? '' : 'begin'}">
        <div class="main card paper" part="card">
          ${working ? html`<bl-car-state only="reminders" .t=${t} .state=${noted?.carState ?? opened.carState} .reminders=${noted?.reminders ?? []} .components=${this.#components()} ?closed=${closed}></bl-car-state>` : nothing}
          ${this.#lines()}${this.#current()}${this.#meter()}</div>
        ${
          working
            ? html`<aside class="side no-print" aria-label=${t('standing')}>
                <section class="paper lamp-box"><div class="lamp"><bl-mark .brightness=${standing?.lamp.brightness ?? 0.12}></bl-mark><div><b>${standing?.lamp.say ?? ''}</b><span>${this.#remaining()}</span></div></div></section>
                ${standing ? html`<section class="paper"><bl-standing .t=${t} .standing=${standing} .why=${view.why} asked=${view.ask?.check ?? ''} ?done=${closed || noted?.work?.signedOff}></bl-standing></section>` : nothing}
                <section class="paper"><bl-car-state .t=${t} .state=${noted?.carState ?? opened.carState} .problem=${view.problems['car-state']}
                  .components=${this.#components()} ?closed=${closed}></bl-car-state></section>
              </aside>
              <aside class="trail paper" part="stub" aria-label=${t('answered-so-far')}><h3>${t('job', { code: opened.code })}</h3>
                <bl-trail .t=${t} .trail=${noted?.trail ?? []} .problems=${view.problems} now=${now} technician ?closed=${closed}></bl-trail></aside>
              <aside class="last no-print" aria-label=${t('notes')}>
                <section class="paper"><bl-contact technician .t=${t} .noted=${noted} .drafts=${this.#drafts} .problem=${view.problems['contact']}
                  ?waiting=${this.#waitingFor((p) => p === 'contact') !== undefined} ?closed=${closed}></bl-contact></section>
                ${
                  closed && !noted?.notes.length
                    ? nothing
                    : html`<section class="paper"><bl-notes .t=${t} .noted=${noted} .tellProblem=${view.problems['tell']} .closeProblem=${view.problems['close']}
                  .drafts=${this.#drafts} ?job=${this.#hasJob}
                  ?waiting=${this.#waitingFor((p) => p === 'tell') !== undefined}></bl-notes></section>`
                }
                ${
                  this.pass && !this.here
                    ? html`<section class="paper"><bl-photos heading case=${opened.case} shop=${this.shop} server=${this.server || scriptOrigin()} language=${t('locale')}
                        .pass=${this.pass} .photos=${noted?.photos ?? []} ?closed=${closed}></bl-photos></section>`
                    : nothing
                }
              </aside>`
            : nothing
        }
      </div></div>`
  }

  #remaining() {
    const r = this.view.standing?.remaining
    return r && r.checks >= 0.5 && !this.#showsFinding
      ? this.t('remaining', { n: Math.round(r.checks), minutes: Math.max(1, Math.round(r.minutes)) })
      : ''
  }

  #boxes() {
    const { view, t } = this
    const opened = view.opened!
    const facts = { ...opened.facts, ...view.noted?.facts } as Record<string, unknown>
    const label = (fact: string) => {
      const value = facts[fact]
      return opened.factsToAsk.find((f) => f.fact === fact)?.values.find((v) => v.value === value)?.label ?? value
    }
    const car = [facts['packVolts'] && `${facts['packVolts']} V`, label('drive')].filter(Boolean).join(', ')
    const box = (name: string, value: unknown, kind = '') =>
      value ? html`<div class=${kind}><dt>${name}</dt><dd title=${String(value)}>${value}</dd></div>` : nothing
    return html`<dl class="boxes">
      ${box(t('box-job'), html`<span class="number">${opened.code}</span>`)}
      ${box(t('tag'), view.noted?.tag ?? opened.tag)}
      ${box(t('box-drive'), car, 'optional')}
      ${box(t('box-complaint'), view.noted?.complaint)}</dl>`
  }

  /** Parts that may be bridged for a test, by id: those that can still be at fault. A cause is named "part: fault". */
  #components(): Map<string, string> {
    const rows = this.view.standing?.rows ?? []
    return new Map(rows.map((r) => [r.cause.split('.')[0]!, r.name.split(':')[0]!]))
  }

  #send(act: Act) {
    this.handedUp = ''
    this.#moveFocus = !STAY.has(act.type)
    this.#connect().send(act)
  }

  #toggleTrail = () => {
    this.trailOpen = !this.trailOpen
    void import('../trail/trail.ts')
  }

  #openIntake = () => {
    this.menu = false
    this.intake = 'open'
    void this.updateComplete.then(() => this.#focusNext())
  }
}

/** What was entered, for a note: ids where there are no better words. */
function wordsOf({ type, ...rest }: Act): string {
  const said = Object.values(rest).flatMap((v) => (Array.isArray(v) ? v.flatMap((x) => Object.values(Object(x))) : [v]))
  return `${type}: ${said.map((v) => (typeof v === 'object' && v ? Object.values(v).join(' ') : v)).join(', ')}`
}

/** The server is where the script came from, unless the page says otherwise. */
function scriptOrigin(): string {
  const { origin } = new URL(import.meta.url)
  return origin === 'null' ? document.baseURI : origin
}

define('bench-lamp', BenchLamp)

// Our own other pages are made of the same script, so that the first question stays one file.
const pages: Record<string, () => Promise<unknown>> = {
  'bl-desk': () => import('../desk/desk.ts'),
  'bl-work-order': () => import('../work-order/work-order.ts'),
  'bl-embed': () => import('../embed/embed.ts'),
  'bl-account': () => import('../sign-in/bench-account.ts'),
}
for (const [name, page] of Object.entries(pages)) if (document.querySelector(`${name}, body.gallery`)) setTimeout(page)
