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
    const rays = [-150, -105, -75, -30, 30, 150].map((a) => {
      const [x, y] = [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180)]
      return svg`<path d="M${20 + 15 * x} ${25 + 15 * y}L${20 + 20 * x} ${25 + 20 * y}"/>`
    })
    return html`<svg viewBox="0 0 40 76" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2" stroke-linecap="round" stroke-linejoin="round">
      <defs><radialGradient id="g" class="glow"><stop offset="0" stop-opacity=".95"/><stop offset=".45" stop-opacity=".5"/><stop offset="1" stop-opacity="0"/></radialGradient></defs>
      <circle class="glow" cx="20" cy="25" r="27" fill="url(#g)" stroke="none" opacity=${b * 0.8}/>
      <g class="ray" stroke="var(--bl-lamp)" opacity=${b > 0.55 ? (b - 0.55) / 0.45 : 0}>${rays}</g>
      <path d="M20 9C20 3 24 2 28 3s7 0 8-2" />
      <rect x="10.5" y="9" width="19" height="36" rx="9.5" fill="var(--bl-card)" fill-opacity=".55"/>
      <circle class="lit" cx="20" cy="24" r="6.6" stroke="none" opacity=${0.06 + b * 0.94}/>
      <circle cx="20" cy="24" r="6.6" stroke-width="1.6"/>
      <path class="filament" d="M17.2 25.5l1.5-3 1.3 3 1.3-3 1.5 3" stroke-width="1.2" opacity=${0.35 + b * 0.65}/>
      <path d="M17.5 31h5v5h-5zM20 36v9" stroke-width="1.6"/>
      <path d="M14.5 45h11l-2 6h-7z" fill="currentColor"/>
      <path d="M20 51v16" stroke-width="3"/><path d="M20 67v7" stroke-width="1.6"/>
    </svg>`
  }
}

define('bl-mark', Mark)
