import { html, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { CarState as State } from '../../../rules/schema/car.ts'
import type { Problem } from '../../state/view.ts'
import type { Key } from '../../texts/translate.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { carStateStyles } from './car-state.styles.ts'

type Single = 'wheels' | 'key' | 'direction' | 'pack' | 'charger'
const CHOICES: { name: Single; values: string[] }[] = [
  { name: 'wheels', values: ['on-ground', 'raised'] },
  { name: 'key', values: ['off', 'on'] },
  { name: 'direction', values: ['neutral', 'forward', 'reverse'] },
  { name: 'pack', values: ['connected', 'isolated'] },
  { name: 'charger', values: ['unplugged', 'plugged-in'] },
]
/** What should not be forgotten in this state. */
const ALERT = new Set([
  'key:on',
  'direction:forward',
  'direction:reverse',
  'charger:plugged-in',
  'wheels:raised',
  'pack:isolated',
])

/**
 * The state that the car is in and stays in, a chip for each thing; bridges and lifted leads with the way to undo them.
 *
 * @csspart reminder - A reminder of something that must not stay so.
 */
export class CarStateChips extends Part {
  static override styles = [controls, carStateStyles]

  @property({ attribute: false }) state: State = {}
  @property({ attribute: false }) reminders: readonly string[] = []
  @property({ attribute: false }) problem?: Problem
  /** components that may be bridged or lifted: id and name */
  @property({ attribute: false }) components: ReadonlyMap<string, string> = new Map()
  @property({ type: Boolean }) closed = false
  @property() only: 'chips' | 'reminders' = 'chips'

  override render() {
    return this.only === 'reminders' ? this.remind() : this.chips()
  }

  /** What must not stay so. The server words the reminder of a bridge; it stands at the bridge it is about. */
  private remind() {
    const { bridged = [] } = this.state
    const [spoken, ...reminders] = bridged.length > 0 ? this.reminders : ['', ...this.reminders]
    return html`
      ${bridged.map(
        (
          b,
          i,
        ) => html`<div class="bridge" part="reminder" role="note"><span>${(i === 0 && spoken) || this.t('bridged', { part: this.name(b) })}</span>
          <button ?hidden=${this.closed} @click=${() => this.set({ bridged: bridged.filter((x) => x !== b) })}>${this.t('bridge-out')}</button></div>`,
      )}
      ${reminders.map((r) => html`<p class="remind" part="reminder">${r}</p>`)}`
  }

  /** On a closed card there is nothing to set and nothing to be warned of. */
  private plain() {
    return html`<h3>${this.t('car-state')}</h3><dl>${CHOICES.flatMap(({ name }) => {
      const value = this.state[name]
      return value
        ? html`<dt class="soft">${this.t(`state-${name}`)}</dt><dd>${this.t(`state-${name}-${value}` as Key)}</dd>`
        : nothing
    })}</dl>`
  }

  private chips() {
    if (this.closed) return this.plain()
    const { bridged = [], lifted = [] } = this.state
    return html`
      <h3>${this.t('car-state')}</h3>
      <div class="chips">
        ${CHOICES.map(({ name, values }) => {
          const value = this.state[name] ?? ''
          return html`<label class=${ALERT.has(`${name}:${value}`) ? 'alert' : ''}><span>${this.t(`state-${name}`)}</span>
            <select .value=${value} @change=${(e: Event) => this.set({ [name]: (e.target as HTMLSelectElement).value } as State)}>
              ${value ? nothing : html`<option value="" selected>${this.t('not-known')}</option>`}
              ${values.map((v) => html`<option value=${v} ?selected=${v === value}>${this.t(`state-${name}-${v}` as Key)}</option>`)}
            </select></label>`
        })}
        ${lifted.map(
          (l) => html`<label class="alert"><span>${this.t('lifted')}</span><b>${this.name(l)}</b>
            <button class="quiet" @click=${() => this.set({ lifted: lifted.filter((x) => x !== l) })}>${this.t('lead-back')}</button></label>`,
        )}
        ${
          this.components.size > 0
            ? html`<label><span>${this.t('bridge-in')}</span><select .value=${''} @change=${this.bridge}><option value="">${this.t('choose')}</option>
              ${[...this.components].filter(([c]) => !bridged.includes(c)).map(([c, name]) => html`<option value=${c}>${name}</option>`)}</select></label>`
            : nothing
        }
      </div>
      ${problemLine(this.problem)}`
  }

  private name(id: string) {
    return this.components.get(id) ?? id.replace(/[-.]/g, ' ')
  }

  private set(state: State) {
    this.act({ type: 'car-state', state })
  }

  private bridge = (e: Event) => {
    const select = e.target as HTMLSelectElement
    if (select.value) this.set({ bridged: [...(this.state.bridged ?? []), select.value] })
    select.value = ''
  }
}

define('bl-car-state', CarStateChips)
