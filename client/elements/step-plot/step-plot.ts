import { scaleLinear, scalePoint } from 'd3-scale'
import { curveStep, line } from 'd3-shape'
import { html, nothing, svg } from 'lit'
import { property } from 'lit/decorators.js'
import type { StepPlot as Plot } from '../../../rules/protocol/index.ts'
import { controls } from '../../theme/controls.ts'
import { Drawing } from '../drawing.ts'
import { define } from '../part.ts'
import { plotStyles, stepPlotStyles } from './step-plot.styles.ts'

const HEIGHT = 210
const MARGIN = { top: 16, right: 22, bottom: 26, left: 42 }
/** Half the width of a band, as a share of a step. */
const HALF_BAND = 0.36

type Row = Plot['rows'][number]

const drawable = (r: Row) => r.expected !== undefined || r.measured !== undefined

/**
 * Volts click by click: the band that a sound car reads in, what the likeliest fault would give, and what was measured.
 * For paper: `<bl-step-plot fixed .plot=${pictures.steps[0]} language="en"></bl-step-plot>`.
 */
export class StepPlot extends Drawing {
  static override styles = [controls, plotStyles, stepPlotStyles]

  /** one of `pictures.steps` of a `meter` message */
  @property({ attribute: false }) plot!: Plot

  override render() {
    const { plot, m } = this
    if (!plot.rows.some(drawable)) return nothing
    return html`<figure>
      <figcaption aria-hidden="true">${plot.title}</figcaption>
      ${this.drawing()}
      <ul class="key" aria-hidden="true">
        <li><svg viewBox="0 0 26 14"><rect class="band" width="26" height="14"/><path class="expected" d="M0 7H26"/></svg>${m('expected')}</li>
        ${plot.rows.some((r) => r.measured !== undefined) ? html`<li><svg class="dot" viewBox="0 0 14 14"><circle class="point" cx="7" cy="7" r="6"/></svg>${m('measured')}</li>` : nothing}
        ${plot.fault ? html`<li><svg viewBox="0 0 26 14"><path class="fault" d="M0 7H26"/></svg>${m('with-fault', { cause: plot.fault.name })}</li>` : nothing}
      </ul>
      <ul class="hidden">${plot.say.map((s) => html`<li>${s}</li>`)}</ul>
    </figure>`
  }

  private drawing() {
    const { plot, m } = this
    const width = this.widthOf(240)
    const rows = plot.rows.filter(drawable)
    const values = rows
      .flatMap((r) => [r.expected?.low, r.expected?.high, r.fault, r.measured])
      .filter((v) => v !== undefined)
    const y = scaleLinear()
      .domain([Math.min(...values), Math.max(...values)])
      .nice(4)
      .range([HEIGHT - MARGIN.bottom, MARGIN.top])
    const x = scalePoint<number>()
      .domain(rows.map((r) => r.step))
      .range([MARGIN.left, width - MARGIN.right])
      .padding(0.5)
    const half = Math.max(x.step(), 1) * HALF_BAND
    const at = (r: Row) => x(r.step)!
    const stepped = (of: (r: Row) => number | undefined) =>
      line<Row>()
        .defined((r) => of(r) !== undefined)
        .x(at)
        .y((r) => y(of(r)!))
        .curve(curveStep)(rows) ?? ''
    return svg`<svg class="plot" role="img" aria-label=${[plot.title, ...plot.say].join(' ')} viewBox="0 0 ${width} ${HEIGHT}">
      ${y.ticks(4).map(
        (v) => svg`<path class="grid" d="M${MARGIN.left} ${y(v)}H${width - MARGIN.right}"/>
        <text class="tick" x=${MARGIN.left - 8} y=${y(v) + 4} text-anchor="end">${this.number(v)}</text>`,
      )}
      <text class="tick" x=${MARGIN.left - 8} y=${HEIGHT - 6} text-anchor="end">${plot.unit}</text>
      ${rows.map((r) =>
        r.expected
          ? svg`<rect class="band" x=${at(r) - half} y=${y(r.expected.high)} width=${2 * half} height=${Math.max(2, y(r.expected.low) - y(r.expected.high))}/>`
          : nothing,
      )}
      ${rows.map((r) => (r.expected ? svg`<path class="expected" d="M${at(r) - half} ${y(r.expected.mean)}h${2 * half}"/>` : nothing))}
      <path class="joined" d=${stepped((r) => r.measured)}/>
      ${rows.map((r) => (r.fault === undefined ? nothing : svg`<path class="fault" d="M${at(r) - half} ${y(r.fault)}h${2 * half}"/>`))}
      ${rows.map((r) => svg`<text x=${at(r)} y=${HEIGHT - 6} text-anchor="middle">${x.step() > 62 ? m('click', { n: r.step }) : r.step}</text>`)}
      ${rows.map((r) => this.point(r, at(r), y))}
    </svg>`
  }

  /** A round dot within the band; a square one, with a word, outside it. */
  private point(r: Row, x: number, y: (v: number) => number) {
    if (r.measured === undefined) return nothing
    const off = r.expected ? (r.measured < r.expected.low ? 'below' : r.measured > r.expected.high ? 'above' : '') : ''
    const cy = y(r.measured)
    const word = off ? ` ${this.m(off)}` : ''
    const band = off || !r.expected ? { top: cy, bottom: cy } : { top: y(r.expected.high), bottom: y(r.expected.low) }
    // Clear of the band's edge, above or else below it.
    const above = Math.min(cy - 12, band.top - 6)
    const ty = off === 'below' || above < 12 ? Math.max(cy + 21, band.bottom + 17) : above
    return svg`${off ? svg`<rect class="point off" x=${x - 6.5} y=${cy - 6.5} width="13" height="13"/>` : svg`<circle class="point" cx=${x} cy=${cy} r="7"/>`}
      <text class="read ${off ? 'off' : ''}" x=${x} y=${ty} text-anchor="middle">${this.number(r.measured, 4)}${word}</text>`
  }
}

define('bl-step-plot', StepPlot)
