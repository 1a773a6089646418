import { html, LitElement, nothing } from 'lit'
import { property } from 'lit/decorators.js'
import type { Act } from '../state/messages.ts'
import type { Problem } from '../state/view.ts'
import type { Translate } from '../texts/translate.ts'

/**
 * What every part of the element is: it shows what it is given, and says what was done in a `bl-act` event that only the
 * outermost element hears. It keeps nothing but what is being typed.
 */
export class Part extends LitElement {
  /** the texts of the interface, in the conversation's language */
  @property({ attribute: false }) t: Translate = (key) => key

  protected act(act: Act): void {
    this.dispatchEvent(new CustomEvent('bl-act', { detail: act, bubbles: true, composed: true }))
  }

  protected wish(what: string, detail: object = {}): void {
    this.dispatchEvent(new CustomEvent('bl-wish', { detail: { what, ...detail }, bubbles: true, composed: true }))
  }

  /** Puts the focus where the next act is. */
  focusNext(): void {
    this.renderRoot.querySelector<HTMLElement>('[data-next]')?.focus({ preventScroll: true })
  }
}

/** What the server would not take, and what to do, right where it was asked. */
export function problemLine(problem: Problem | undefined, id = 'problem') {
  if (!problem) return nothing
  return html`<p class="problem" id=${id} role="alert"><b>${problem.text}</b><span>${problem.mend}</span></p>`
}

/** An amount from a low to a high one, whole units of the shop's money, where it has set one; one figure where they are the same. */
export function rangeOf(low: number, high: number, locale: string, currency?: string): string {
  const money = new Intl.NumberFormat(locale, {
    maximumFractionDigits: 0,
    ...(currency && { style: 'currency', currency }),
  })
  const [a, b] = [money.format(low), money.format(high)]
  return a === b ? a : `${a} – ${b}`
}

/** Defines a part once, also where two copies of the script meet on one page. */
export function define(name: string, part: CustomElementConstructor): void {
  if (!customElements.get(name)) customElements.define(name, part)
}
