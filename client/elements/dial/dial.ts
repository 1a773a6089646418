import { html, LitElement, nothing, svg } from 'lit'
import { property } from 'lit/decorators.js'
import type { AskBody } from '../../../rules/protocol/index.ts'
import type { Translate } from '../../texts/translate.ts'
import { controls } from '../../theme/controls.ts'
import { define } from '../part.ts'
import { dialStyles } from './dial.styles.ts'
import { ticks, window } from './scale.ts'

const CENTRE = { x: 150, y: 148 }
const RADIUS = 112
/** The scale runs over 100 degrees, as on a moving-coil meter. */
const HALF = 50
/** A fault's mark stands within the band of a sound car, its figure within the mark. */
const MARK = { tip: RADIUS - 18, foot: RADIUS - 29, figure: RADIUS - 41, wide: 3.2 }
/** Figures nearer than this would run into each other, degrees. */
const APART = 17

/**
 * The face of a moving-coil meter: the band where a sound car reads, marks where faults would, and a needle at what is
 * typed. A picture of the sentence below it, so it is not read aloud.
 */
export class Dial extends LitElement {
  static override styles = [controls, dialStyles]

  @property({ attribute: false }) t: Translate = (key) => key
  @property({ attribute: false }) reading!: NonNullable<AskBody['reading']>
  @property({ attribute: false }) value?: number

  override render() {
    const { reading, value } = this
    const { from, to } = window(reading)
    const angle = (v: number) => Math.min(1.06, Math.max(-0.06, (v - from) / (to - from))) * 2 * HALF - HALF
    const faults = reading.ifFault.filter((f) => f.value >= from && f.value <= to).map((f) => f.value)
    const at = (degrees: number, radius: number) => {
      const r = ((degrees - 90) * Math.PI) / 180
      return `${(CENTRE.x + radius * Math.cos(r)).toFixed(1)} ${(CENTRE.y + radius * Math.sin(r)).toFixed(1)}`
    }
    const arc = (a: number, b: number, radius: number) => `M${at(a, radius)}A${radius} ${radius} 0 0 1 ${at(b, radius)}`
    const { expected } = reading
    const format = new Intl.NumberFormat(this.t('locale'), { maximumSignificantDigits: 4 })
    return html`<svg viewBox="44 12 212 122" aria-hidden="true" stroke-linecap="round">
      ${expected ? svg`<path class="sound" stroke-width="13" stroke-linecap="butt" opacity=".85" d=${arc(angle(expected.low), angle(expected.high), RADIUS - 9)}/>` : nothing}
      <path class="scale" stroke-width="1.8" d=${arc(-HALF, HALF, RADIUS)}/>
      ${ticks(from, to).map((v) => {
        const a = angle(v)
        const [x, y] = at(a, RADIUS + 14).split(' ')
        return svg`<path class="scale" stroke-width="1.8" d="M${at(a, RADIUS)}L${at(a, RADIUS - 8)}"/><text x=${x!} y=${Number(y) + 3} text-anchor="middle">${format.format(v)}</text>`
      })}
      ${faults.map((v, i) => {
        const a = angle(v)
        const [x, y] = at(a, MARK.figure).split(' ')
        const close = faults.slice(0, i).some((w) => Math.abs(angle(w) - a) < APART)
        return svg`<path class="fault" d="M${at(a, MARK.tip)}L${at(a - MARK.wide, MARK.foot)}L${at(a + MARK.wide, MARK.foot)}Z"/>
          ${close ? nothing : svg`<text x=${x!} y=${Number(y) + 4} text-anchor="middle">${format.format(v)}</text>`}`
      })}
      <text class="unit" x="150" y="115" text-anchor="middle">${reading.unit}</text>
      <g class="needle ${value === undefined ? 'rest' : ''}" .style=${`transform: rotate(${value === undefined ? -HALF - 8 : angle(value)}deg)`}>
        <path stroke-width="2.4" d="M150 130V40"/></g>
      <circle cx="150" cy="148" r="22" fill="currentColor" stroke="none"/>
    </svg>`
  }
}

define('bl-dial', Dial)
