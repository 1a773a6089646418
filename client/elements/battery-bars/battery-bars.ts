import { scaleBand, scaleLinear } from 'd3-scale'
import { html, nothing, svg } from 'lit'
import { property } from 'lit/decorators.js'
import type { BlockBars } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { Drawing } from '../drawing.ts'
import { define } from '../part.ts'
import { plotStyles } from '../step-plot/step-plot.styles.ts'
import { batteryBarsStyles } from './battery-bars.styles.ts'

const HEIGHT = 180
const MARGIN = { top: 40, right: 8, bottom: 26, left: 8 }

/**
 * A bar for each battery block, as measured; a block that stands below the others is hatched and says so.
 * For paper: `<bl-battery-bars fixed .blocks=${pictures.blocks} language="en"></bl-battery-bars>`.
 */
export class BatteryBars extends Drawing {
  static override styles = [controls, plotStyles, batteryBarsStyles]

  /** `pictures.blocks` of a `meter` message */
  @property({ attribute: false }) blocks!: BlockBars

  override render() {
    const { blocks, m } = this
    return html`<figure>
      <figcaption aria-hidden="true">${blocks.title}</figcaption>
      ${this.drawing()}
      <ul class="key" aria-hidden="true">
        <li><svg viewBox="0 0 26 14"><path class="usual" d="M0 7H26"/></svg>${m('usual-line')}: ${this.volts(blocks.usual)} ${blocks.unit}</li>
      </ul>
      <ul class="hidden">${blocks.say.map((s) => html`<li>${s}</li>`)}</ul>
    </figure>`
  }

  private drawing() {
    const { blocks, m } = this
    const width = this.widthOf(220)
    const volts = blocks.bars.map((b) => b.volts)
    const y = scaleLinear()
      .domain([Math.min(0, ...volts), Math.max(...volts, blocks.usual)])
      .range([HEIGHT - MARGIN.bottom, MARGIN.top])
    const x = scaleBand<number>()
      .domain(blocks.bars.map((b) => b.block))
      .range([MARGIN.left, width - MARGIN.right])
      .padding(0.22)
    const wide = x.bandwidth()
    return svg`<svg class="plot" role="img" aria-label=${[blocks.title, ...blocks.say].join(' ')} viewBox="0 0 ${width} ${HEIGHT}">
      <defs><pattern id="hatch" width="7" height="7" patternTransform="rotate(45)" patternUnits="userSpaceOnUse"><path class="hatch" d="M0 0V7"/></pattern></defs>
      <path class="usual" d="M${MARGIN.left} ${y(blocks.usual)}H${width - MARGIN.right}"/>
      ${blocks.bars.map((b) => {
        const [left, top, base] = [x(b.block)!, y(Math.max(0, b.volts)), y(Math.min(0, b.volts))]
        const box = { x: left, y: top, width: wide, height: Math.max(1, base - top) }
        const post = Math.min(9, wide / 5)
        // In one line, above the dashes: a block that stands lower is seen by its height.
        const line = Math.min(top, y(Math.max(0, blocks.usual)))
        return svg`${
          b.volts > 0
            ? svg`<path class="post" d="M${left + wide * 0.2 - post / 2} ${top}v-5h${post}v5M${left + wide * 0.8 - post / 2} ${top}v-5h${post}v5"/>`
            : nothing
        }<rect class="block ${b.low ? 'low' : ''}" x=${box.x} y=${box.y} width=${box.width} height=${box.height} rx="3"/>
          ${b.low ? svg`<rect x=${box.x} y=${box.y} width=${box.width} height=${box.height} rx="3" fill="url(#hatch)"/>` : nothing}
          <text class="read ${b.low ? 'low' : ''}" x=${left + wide / 2} y=${line - 11} text-anchor="middle">${this.volts(b.volts)}</text>
          ${b.low ? svg`<text class="read low" x=${left + wide / 2} y=${line - 27} text-anchor="middle">${m('low')}</text>` : nothing}
          <text x=${left + wide / 2} y=${HEIGHT - 6} text-anchor="middle">${wide > 70 ? m('block', { n: b.block }) : b.block}</text>`
      })}
      <path class="base" d="M${MARGIN.left} ${y(0)}H${width - MARGIN.right}"/>
    </svg>`
  }

  /** All with the same digits: a block's hundredths are what tells it from the others. */
  private volts(value: number): string {
    const digitsOf = (v: number) => String(v).split('.')[1]?.length ?? 0
    const digits = Math.min(3, Math.max(2, ...this.blocks.bars.map((b) => digitsOf(b.volts))))
    return new Intl.NumberFormat(this.language, { minimumFractionDigits: digits, maximumFractionDigits: digits })
      .format(value)
      .replace('-', '−')
  }
}

define('bl-battery-bars', BatteryBars)
