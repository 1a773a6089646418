import { css, html, LitElement, nothing, svg } from 'lit'
import { property, state } from 'lit/decorators.js'
import { define } from '../part.ts'

/** A QR code, drawn in the page; the coder is fetched only when one is shown. Always dark on light, so that it scans. */
export class Qr extends LitElement {
  static override styles = css`
    :host {
      display: block;
      aspect-ratio: 1;
      border-radius: 8px;
      background: #fff;
      forced-color-adjust: none;
    }
    svg {
      display: block;
      inline-size: 100%;
      block-size: 100%;
    }
  `

  @property() text = ''
  @property() label = ''
  @state() private modules?: { size: number; data: ArrayLike<number | boolean> }

  override willUpdate(changed: Map<string, unknown>) {
    if (!changed.has('text') || !this.text) return
    void import('qrcode/lib/core/qrcode.js').then(({ default: { create } }) => {
      this.modules = create(this.text, { errorCorrectionLevel: 'M' }).modules
    })
  }

  override render() {
    const { modules } = this
    if (!modules) return nothing
    const path: string[] = []
    for (let y = 0; y < modules.size; y++) {
      for (let x = 0; x < modules.size; x++)
        if (modules.data[y * modules.size + x]) path.push(`M${x + 3} ${y + 3}h1v1h-1z`)
    }
    const side = modules.size + 6
    return html`<svg viewBox="0 0 ${side} ${side}" role="img" aria-label=${this.label} shape-rendering="crispEdges">${svg`<path d=${path.join('')} fill="#000"/>`}</svg>`
  }
}

define('bl-qr', Qr)
