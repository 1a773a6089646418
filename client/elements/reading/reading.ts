import { html, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { AskBody } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part } from '../part.ts'
import { answerOf, plainNumber } from './parse.ts'
import { readingStyles } from './reading.styles.ts'

/**
 * Entry of one reading, with what a sound car and what a fault would give in words.
 *
 * @event {CustomEvent<number | undefined>} bl-typed - What stands in the field, where it is a plain number.
 * @csspart reading - The field with its unit.
 */
export class ReadingEntry extends Part {
  static override styles = [controls, readingStyles]

  @property() check = ''
  @property({ attribute: false }) reading!: NonNullable<AskBody['reading']>
  @property({ type: Boolean }) waiting = false
  @property({ type: Boolean }) invalid = false
  @state() private typed = ''

  override willUpdate(changed: Map<string, unknown>) {
    if (changed.has('check')) this.typed = ''
  }

  override render() {
    const { unit } = this.reading
    return html`
      <form @submit=${this.submit}>
        <label class="field ${this.invalid ? 'invalid' : ''}" part="reading">
          <input data-next inputmode="decimal" enterkeyhint="send" autocomplete="off" maxlength="60" .value=${this.typed}
            aria-label=${this.t('reading-in', { unit })} aria-describedby="band" aria-invalid=${this.invalid}
            @input=${(e: Event) => this.type((e.target as HTMLInputElement).value)} @keydown=${this.step} />
          <span class="unit" aria-hidden="true">${unit}</span>
        </label>
        <button class="main" aria-disabled=${this.waiting}>${this.t('record')}</button>
        <p class="band" id="band">${this.band()}</p>
      </form>`
  }

  private band() {
    const { expected, unit, said, ifFault } = this.reading
    if (!expected) return said
    const near = this.near()
    const fault = near ?? (this.typed ? undefined : ifFault[0])
    const means =
      fault && this.t('reading-means', { value: `${this.number(fault.value)}\u00a0${unit}`, cause: fault.cause })
    return html`${this.t('should-be')} <span class="number">${this.number(expected.low)} – ${this.number(expected.high)} ${unit}</span>${
      means ? html`. ${near ? html`<b>${means}</b>` : means}` : nothing
    }`
  }

  /** The fault whose reading is closest to what is typed, where it is close. */
  private near() {
    const value = plainNumber(this.typed)
    if (value === undefined || !this.reading.expected) return undefined
    const { low, high } = this.reading.expected
    if (value >= low && value <= high) return undefined
    const close = Math.max(high - low, Math.abs(high) * 0.02) / 2
    return this.reading.ifFault
      .filter((f) => Math.abs(f.value - value) <= close)
      .sort((a, b) => Math.abs(a.value - value) - Math.abs(b.value - value))[0]
  }

  private number(n: number) {
    return new Intl.NumberFormat(this.t('locale'), { maximumFractionDigits: decimals(this.reading.step) }).format(n)
  }

  private type(typed: string) {
    this.typed = typed
    this.dispatchEvent(new CustomEvent('bl-typed', { detail: plainNumber(typed) }))
  }

  private step = (e: KeyboardEvent) => {
    const direction = { ArrowUp: 1, ArrowDown: -1 }[e.key]
    const value = plainNumber(this.typed)
    if (!direction || value === undefined) return
    e.preventDefault()
    const { step, min, max } = this.reading
    this.type(Math.min(max, Math.max(min, value + direction * step)).toFixed(decimals(step)))
  }

  private submit = (e: Event) => {
    e.preventDefault()
    if (this.waiting || this.typed.trim() === '') return this.focusNext()
    this.act({
      type: 'answer',
      answers: [answerOf(this.check, this.typed, this.reading.unit, this.reading.instrument)],
    })
  }
}

/** How many decimals a step such as 0.1 has. */
export function decimals(step: number): number {
  return Math.min(6, (String(step).split('.')[1] ?? '').length)
}

define('bl-reading', ReadingEntry)
