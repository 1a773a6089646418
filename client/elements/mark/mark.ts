import { html, LitElement, svg } from 'lit'
import { property } from 'lit/decorators.js'
import { define } from '../part.ts'
import { markStyles } from './mark.styles.ts'

/**
 * The mark: a test lamp that burns brighter the surer the finding. Only seen; what it means stands in words beside it.
 *
 * @cssproperty --bl-glow - Light of the bulb.
 * @cssproperty --bl-lamp - Its filament and rays.
 */
export class Mark extends LitElement {
  static override styles = markStyles

  /** 0 dark to 1 bright */
  @property({ type: Number }) brightness = 0

  override render() {
    const b = Math.min(1, Math.max(0, this.brightness))
    const rays = [-160, -118, -90, -62, -20].map((a) => {
      const [x, y] = [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180)]
      return svg`<path d="M${(22 + 19.5 * x).toFixed(1)} ${(22 + 19.5 * y).toFixed(1)}L${(22 + 24 * x).toFixed(1)} ${(22 + 24 * y).toFixed(1)}"/>`
    })
    // A clear handle with the bulb in it, a ferrule, a probe; the lead with the clip leaves to the side.
    return html`<svg viewBox="0 0 44 74" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round">
      <defs><radialGradient id="g" class="glow"><stop offset="0" stop-opacity=".95"/><stop offset=".5" stop-opacity=".45"/><stop offset="1" stop-opacity="0"/></radialGradient></defs>
      <circle class="glow" cx="22" cy="22" r="31" fill="url(#g)" stroke="none" opacity=${b * 0.85}/>
      <g class="ray" stroke="var(--bl-lamp)" opacity=${b > 0.6 ? (b - 0.6) / 0.4 : 0}>${rays}</g>
      <path d="M33 14c4-1 6 1 6 5v9c0 4 1 6 4 7" stroke-width="2"/>
      <path d="M22 7c-7.5 0-13 5.6-13 13v19c0 3 2 5 5 5h16c3 0 5-2 5-5V20C35 12.6 29.5 7 22 7z" fill="var(--bl-card)"/>
      <circle class="lit" cx="22" cy="21" r="9" stroke="none" opacity=${0.08 + b * 0.92}/>
      <circle cx="22" cy="21" r="9" stroke-width="1.8"/>
      <path class="filament" d="M18 23l2-4.5 2 4.5 2-4.5 2 4.5" stroke-width="1.5" opacity=${0.45 + b * 0.55}/>
      <path d="M18.5 30v5.5h7V30" stroke-width="1.8"/><path d="M22 36v8" stroke-width="1.8"/>
      <path d="M16 44h12l-2.5 7h-7z" fill="currentColor"/>
      <path d="M22 51v13" stroke-width="3.6"/><path d="M22 64v8" stroke-width="1.8"/>
    </svg>`
  }
}

define('bl-mark', Mark)
