import { css, html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { type EmbedText, embedInEnglish } from '../../texts/embed.ts'
import { controls } from '../../theme/controls.ts'
import { define } from '../part.ts'

interface Named {
  name: string
  description?: string
  type?: { text: string }
}
interface Declaration {
  tagName?: string
  attributes?: Named[]
  events?: Named[]
  slots?: Named[]
  cssParts?: Named[]
  cssProperties?: Named[]
}

const LISTS = [
  ['attributes', 'attributes'],
  ['events', 'events'],
  ['cssProperties', 'properties'],
  ['cssParts', 'parts'],
  ['slots', 'slots'],
] as const

/** What the published custom elements manifest says of the element, to look things up in. */
export class ManifestTable extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 18px;
        margin-block-start: 10px;
      }
      dl {
        display: grid;
        grid-template-columns: minmax(min-content, 15em) minmax(0, 1fr);
        gap: 7px 18px;
        margin-block-start: 7px;
      }
      dt {
        font-family: var(--bl-font-numbers);
        font-size: 0.92em;
        overflow-wrap: anywhere;
      }
      dd small {
        display: block;
        color: var(--bl-soft);
        font-family: var(--bl-font-numbers);
        overflow-wrap: anywhere;
      }
      @media (max-width: 560px) {
        dl {
          grid-template-columns: minmax(0, 1fr);
          gap: 2px;
        }
        dd {
          margin-block-end: 8px;
        }
      }
    `,
  ]
  @property({ attribute: false }) t: EmbedText = embedInEnglish
  @state() private lamp?: Declaration
  @state() private failed = false

  async fetch(): Promise<void> {
    if (this.lamp) return
    try {
      const manifest: { modules: { declarations: Declaration[] }[] } = await (
        await fetch('/custom-elements.json')
      ).json()
      this.lamp = manifest.modules.flatMap((m) => m.declarations).find((d) => d.tagName === 'bench-lamp')
      this.failed = false
    } catch {
      this.failed = true
    }
  }

  override render() {
    const { t, lamp } = this
    if (this.failed) return html`<p class="problem" role="alert"><b>${t('no-answer')}</b></p>`
    if (!lamp) return nothing
    return LISTS.map(([from, title]) => {
      const known = (lamp[from] ?? []).filter((x) => x.name && x.description)
      if (known.length === 0) return nothing
      // As its source says it, in English.
      return html`<section><h3>${t(title)}</h3><dl lang="en">${known.map(
        (x) =>
          html`<dt>${x.name}</dt><dd>${x.description}${from === 'events' && x.type ? html`<small>${x.type.text}</small>` : nothing}</dd>`,
      )}</dl></section>`
    })
  }
}

define('bl-manifest', ManifestTable)
declare global {
  interface HTMLElementTagNameMap {
    'bl-manifest': ManifestTable
  }
}
