import { LitElement } from 'lit'
import { property, state } from 'lit/decorators.js'
import { fetchMeterTexts, type MeterText, meterInEnglish, meterTexts } from '../texts/meter.ts'

const PAPER_WIDTH = 560
/** Padding and borders of a figure. */
const BORDERS = 30

/**
 * What every picture is: it draws the data it is given and speaks the language it is told. `fixed` is for paper: the
 * whole picture at once, nothing to press.
 */
export class Drawing extends LitElement {
  /** language of its few own words */
  @property() language = 'en'
  /** for a printed page */
  @property({ type: Boolean, reflect: true }) fixed = false
  /** px that there are for it */
  @state() protected width = 0
  @state() protected m: MeterText = meterInEnglish
  #watch?: ResizeObserver

  override willUpdate(changed: Map<string, unknown>) {
    if (!changed.has('language')) return
    const known = meterTexts(this.language)
    if (known) this.m = known
    else void fetchMeterTexts(this.language).then((m) => (this.m = m))
  }

  override connectedCallback() {
    super.connectedCallback()
    // Half a pixel more or less is no reason to draw anew.
    this.#watch = new ResizeObserver(([entry]) => {
      const width = Math.round(entry!.contentRect.width)
      if (Math.abs(width - this.width) > 2) this.width = width
    })
    this.#watch.observe(this)
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    this.#watch?.disconnect()
  }

  /** What a plot is drawn to: on paper as wide as it prints, unless that is read on a narrow screen. */
  protected widthOf(least: number): number {
    const room = this.width === 0 ? PAPER_WIDTH : Math.max(least, this.width - BORDERS)
    return this.fixed ? Math.min(PAPER_WIDTH, room) : room
  }

  /** A number as this language writes it. */
  protected number(value: number, digits = 3): string {
    return new Intl.NumberFormat(this.language, { maximumSignificantDigits: digits, useGrouping: false }).format(value)
  }
}
