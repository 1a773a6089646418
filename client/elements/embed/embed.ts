import { html, LitElement, nothing } from 'lit'
import { property, state } from 'lit/decorators.js'
import { keyed } from 'lit/directives/keyed.js'
import { ShopApi, ShopError } from '../../session/api.ts'
import { keptSignIn } from '../../session/session.ts'
import { deskTexts, ourPage, pageLanguage } from '../../texts/desk.ts'
import { type EmbedKey, type EmbedText, embedInEnglish, embedTexts, languages } from '../../texts/embed.ts'
import { controls } from '../../theme/controls.ts'
import { tokens } from '../../theme/tokens.ts'
import { define } from '../part.ts'
import '../mark/mark.ts'
import { embedStyles } from './embed.styles.ts'
import './manifest-table.ts'
import { shadesOf } from './shades.ts'
import { frameSnippet, originOf, rulesOf, scriptSnippet, type Wanted } from './snippet.ts'

const CORNERS = { round: '', slight: '6px', square: '0px' } as const

/**
 * Where a dealer sees the element as it will stand on their own page, and takes the lines for it along: name, colour,
 * layout, theme and language; which address has to be allowed, and, for a dealer who is signed in, the button that does it.
 *
 * @tag bl-embed
 */
export class Embed extends LitElement {
  static override styles = [tokens, controls, embedStyles]

  @property({ attribute: false }) t: EmbedText = embedInEnglish
  @state() private shop = 'demo'
  @state() private name = ''
  @state() private colour = ''
  @state() private corners: keyof typeof CORNERS = 'round'
  @state() private layout: Wanted['layout'] = 'compact'
  @state() private theme: Wanted['theme'] = 'auto'
  @state() private language = ''
  @state() private page = ''
  /** what the shop says of itself; undefined while it is asked, null where there is none */
  @state() private about?: { name: string; colour?: string } | null
  /** the shop's allowed origins, where whoever is signed in may see them */
  @state() private origins?: string[]
  @state() private dealer = false
  @state() private wrong?: { message: string; mend: string }
  @state() private done = ''
  /** which snippet was copied, or could not be */
  @state() private copied: Partial<Record<'script' | 'frame', 'copied' | 'copy-yourself'>> = {}
  private get colourField() {
    return this.renderRoot.querySelector<HTMLInputElement>('input[name=colour]')!
  }
  #api?: ShopApi

  override connectedCallback() {
    super.connectedCallback()
    void this.#begin()
  }

  async #begin() {
    const language = pageLanguage()
    document.documentElement.lang = language
    this.t = await embedTexts(language)
    document.title = `${this.t('title')}. Benchlamp`
    const who = keptSignIn()
    this.shop = who?.shop ?? new URLSearchParams(location.search).get('shop') ?? 'demo'
    await this.#ask()
    this.name ||= this.about?.name ?? ''
    this.colour ||= this.about?.colour ?? ''
    if (!who) return
    this.#api = new ShopApi(who, await deskTexts(language))
    try {
      const me = await this.#api.json<{ role: string }>('GET', 'shop/me')
      this.dealer = me.role === 'dealer'
      this.origins = (await this.#api.json<{ origins: string[] }>('GET', 'shop/settings')).origins
    } catch (error) {
      // Signed out meanwhile: the page does without, as for everybody.
      if (!(error instanceof ShopError)) throw error
    }
  }

  /** Is there such a shop, and what does it say of itself? */
  async #ask() {
    const { shop } = this
    try {
      const response = await fetch(`/api/shop/about?${new URLSearchParams({ shop })}`)
      const about = response.ok ? await response.json() : null
      if (shop === this.shop) this.about = about
      this.wrong = undefined
    } catch {
      this.wrong = { message: this.t('no-answer'), mend: '' }
    }
  }

  private get wanted(): Wanted {
    const { shop, name, layout, theme, language } = this
    return {
      server: location.origin,
      shop,
      name: name.trim(),
      layout,
      theme,
      language,
      corners: CORNERS[this.corners],
      colour: shadesOf(this.colour),
    }
  }

  override render() {
    const { t, wanted } = this
    return html`
      <header><h1><bl-mark brightness="0.9"></bl-mark><span>${t('title')}<small>${t('lead')}</small></span></h1><a href=${ourPage('/desk')}>${t('to-desk')}</a></header>
      <div class="grid">
        <section class="paper" aria-labelledby="settings"><h2 id="settings">${t('settings')}</h2>${this.settings()}</section>
        <section class="preview" aria-labelledby="preview"><h2 id="preview">${t('preview')}</h2><p class="soft">${t('preview-lead')}</p>${this.preview()}</section>
        <section class="paper" aria-labelledby="allow"><h2 id="allow">${t('allow')}</h2>${this.allowing()}</section>
        <section class="paper" aria-labelledby="script"><h2 id="script">${t('script')}</h2><p class="soft">${t('script-lead')}</p>
          ${this.snippet('script', scriptSnippet(wanted))}
          <p class="soft">${t('csp')}</p><pre tabindex="0"><code>script-src ${wanted.server}; connect-src ${wanted.server} ${wanted.server.replace(/^http/, 'ws')}</code></pre></section>
        <section class="paper" aria-labelledby="frame"><h2 id="frame">${t('frame')}</h2><p class="soft">${t('frame-lead')}</p>
          ${this.snippet('frame', frameSnippet(wanted, wanted.name || 'Benchlamp'))}</section>
        <section class="paper" aria-labelledby="bundler"><h2 id="bundler">${t('bundler')}</h2><p class="soft">${t('bundler-lead')}</p>
          <pre tabindex="0"><code>npm run pack:element</code></pre><pre tabindex="0"><code>import 'benchlamp-element'</code></pre></section>
        <section class="paper all"><details @toggle=${this.unfold}><summary>${t('all')}</summary><bl-manifest .t=${t}></bl-manifest></details></section>
      </div>`
  }

  private settings() {
    const { t } = this
    const wrongColour = this.colour !== '' && !shadesOf(this.colour)
    return html`<form @submit=${(e: Event) => e.preventDefault()} @input=${this.changed}>
      <label>${t('name')}<input name="name" maxlength="120" .value=${this.name} aria-describedby="name-lead" /><small id="name-lead">${t('name-lead')}</small></label>
      <label>${t('shop')}<input name="shop" maxlength="80" spellcheck="false" autocapitalize="off" .value=${this.shop} @change=${this.#ask} aria-invalid=${this.about === null} aria-describedby="shop-lead" />
        <small id="shop-lead" class="bad" role="status">${this.about === null ? t('no-shop') : ''}</small></label>
      <div class="field"><label for="colour">${t('colour')}</label>
        <span class="pair"><input id="colour" name="colour" maxlength="7" spellcheck="false" autocomplete="off" placeholder="#225588" .value=${this.colour} aria-invalid=${wrongColour} aria-describedby="colour-lead" />
          <input type="color" name="picker" aria-label=${t('pick-colour')} .value=${shadesOf(this.colour)?.of ?? '#0a666d'} /></span>
        <small id="colour-lead" class=${wrongColour ? 'bad' : ''}>${t(wrongColour ? 'colour-wrong' : 'colour-lead')}</small>
        <span class="acts">${this.about?.colour ? html`<button type="button" class="quiet" @click=${() => this.take(this.about?.colour ?? '')}>${t('shop-colour')}</button>` : nothing}
          <button type="button" class="quiet" @click=${() => this.take('')}>${t('own-colour')}</button></span></div>
      ${this.choice('corners', ['round', 'slight', 'square'])}
      ${this.choice('theme', ['auto', 'light', 'dark'])}
      ${this.choice('layout', ['compact', 'full'])}
      <label>${t('language')}<select name="language"><option value="">${t('language-page')}</option>${languages.map(
        (l) => html`<option value=${l} lang=${l}>${new Intl.DisplayNames(l, { type: 'language' }).of(l)}</option>`,
      )}</select></label>
    </form>`
  }

  private choice(name: 'corners' | 'theme' | 'layout', values: string[]) {
    const { t } = this
    return html`<fieldset><legend>${t(name)}</legend><div class="choices">${values.map(
      (value) =>
        html`<label class="choice"><input type="radio" name=${name} value=${value} .checked=${this[name] === value} /><span>${t(`${name}-${value}` as EmbedKey)}</span></label>`,
    )}</div></fieldset>`
  }

  /** Made anew where the element reads a setting only once. */
  private preview() {
    const { wanted } = this
    const style = rulesOf(wanted).join(' ')
    return keyed(
      `${wanted.shop} ${wanted.layout} ${wanted.language}`,
      html`<div class="stage"><bench-lamp id="embed-preview" style=${style} shop=${wanted.shop} name=${wanted.name} layout=${wanted.layout} theme=${wanted.theme} lang=${wanted.language || document.documentElement.lang}></bench-lamp></div>`,
    )
  }

  private allowing() {
    const { t } = this
    const origin = originOf(this.page)
    const own = origin === location.origin
    const allowed = origin && (own || this.origins?.includes(origin))
    const desk = t('how-to-allow').split(/<\/?desk>/)
    return html`<p class="soft">${t('allow-lead')}</p>
      <label>${t('page')}<input type="url" inputmode="url" name="page" autocomplete="url" placeholder="https://" maxlength="300" .value=${this.page}
        aria-describedby="page-said" aria-invalid=${this.page.length > 8 && !origin} @input=${this.typedPage} /></label>
      <div id="page-said" role="status">
        ${this.page.length > 8 && !origin ? html`<p class="bad">${t('page-wrong')}</p>` : nothing}
        ${origin && !this.origins && !own ? html`<p>${t('origin')} <code>${origin}</code></p>` : nothing}
        ${origin && (this.origins || own) ? html`<p class=${allowed ? 'good' : ''}>${this.done || t(allowed ? 'is-allowed' : 'not-allowed', { origin })}</p>` : nothing}
      </div>
      ${this.wrong ? html`<p class="problem" role="alert"><b>${this.wrong.message}</b><span>${this.wrong.mend}</span></p>` : nothing}
      ${
        origin && this.dealer && !allowed
          ? html`<button class="main" @click=${() => this.allow(origin)}>${t('allow-it')}</button>`
          : nothing
      }
      ${this.dealer ? nothing : html`<p class="soft">${desk[0]}<a href=${ourPage('/desk#settings')}>${desk[1]}</a>${desk[2]}</p>`}`
  }

  private snippet(which: 'script' | 'frame', text: string) {
    const { t } = this
    const said = this.copied[which]
    return html`<textarea readonly spellcheck="false" id=${`text-${which}`} aria-labelledby=${which} rows=${text.split('\n').length + (which === 'frame' ? 3 : 0)} .value=${text.trimEnd()}></textarea>
      <div class="acts"><button class="main" aria-describedby=${which} @click=${() => this.copy(which, text)}>${t('copy')}</button><span role="status">${said ? t(said === 'copied' ? 'copied' : 'copy-yourself') : ''}</span></div>`
  }

  private changed = (e: Event) => {
    const field = e.target as HTMLInputElement
    if (field.name === 'picker') this.take(field.value)
    else if (field.name === 'colour') this.colour = field.value.trim()
    else Object.assign(this, { [field.name]: field.value })
    this.copied = {}
  }

  private take(colour: string) {
    this.colour = colour
    this.colourField.value = colour
    this.copied = {}
  }

  private typedPage = (e: Event) => {
    this.page = (e.target as HTMLInputElement).value
    this.done = ''
  }

  private async allow(origin: string) {
    try {
      // Asked again first: somebody else may have allowed another one meanwhile.
      const now = await this.#api!.json<{ origins: string[] }>('GET', 'shop/settings')
      const body = { origins: [...new Set([...now.origins, origin])] }
      this.origins = (await this.#api!.json<{ origins: string[] }>('PATCH', 'shop/settings', { body })).origins
      this.done = this.t('allowed-now', { origin })
      this.wrong = undefined
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.wrong = error
    }
  }

  /** By the clipboard where the browser lets it; else the text is marked, so that the keyboard's own copy takes it. */
  private async copy(which: 'script' | 'frame', text: string) {
    try {
      await navigator.clipboard.writeText(text)
      this.copied = { [which]: 'copied' }
    } catch {
      const field = this.renderRoot.querySelector<HTMLTextAreaElement>(`#text-${which}`)!
      field.focus()
      field.select()
      this.copied = { [which]: 'copy-yourself' }
    }
  }

  private unfold = (e: Event) => {
    if ((e.target as HTMLDetailsElement).open) void this.renderRoot.querySelector('bl-manifest')?.fetch()
  }
}

define('bl-embed', Embed)
declare global {
  interface HTMLElementTagNameMap {
    'bl-embed': Embed
  }
}
