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
      ${reading.ifFault.map((f) => svg`<path class="fault" stroke-width="4" d="M${at(angle(f.value), RADIUS - 4)}L${at(angle(f.value), RADIUS - 18)}"/>`)}
      <text class="unit" x="150" y="98" text-anchor="middle">${reading.unit}</text>
      <g class="needle ${value === undefined ? 'rest' : ''}" .style=${`transform: rotate(${value === undefined ? -HALF - 3 : angle(value)}deg)`}>
        <path stroke-width="2.4" d="M150 132V40"/></g>
      <circle cx="150" cy="133" r="9" fill="currentColor" stroke="none"/>
    </svg>`
  }
}

define('bl-dial', Dial)
