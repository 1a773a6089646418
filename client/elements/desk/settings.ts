import { html, nothing } from 'lit'
import { state } from 'lit/decorators.js'
import { ourPage } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import type { Settings } from './data.ts'
import { paperStyles } from './paper.styles.ts'
import { settingsStyles } from './settings.styles.ts'

/** Fields of a number: as wide as what belongs in them. */
const SHORT: ReadonlySet<string> = new Set(['ratePerHour', 'retentionDays'])
/** What its pages wear while the shop has set none. */
const OUR_COLOUR = '#0a666d'

/** What the shop is called, what it charges, how long it keeps words, which pages may hold its conversations. */
export class DeskSettings extends DeskPart {
  static override styles = [controls, paperStyles, settingsStyles]

  @state() private settings?: Settings
  @state() private colour = ''
  private get form() {
    return this.renderRoot.querySelector<HTMLFormElement>('form')!
  }

  override firstUpdated() {
    void this.attempt(async (api) => {
      this.settings = await api.json<Settings>('GET', 'shop/settings')
      this.colour = this.settings.colour ?? ''
    })
  }

  override render() {
    const { t, settings: s } = this
    if (!s) return html`${this.wrongBox()}`
    const currencies = Intl.supportedValuesOf('currency')
    const names = new Intl.DisplayNames(t('locale'), { type: 'currency' })
    return html`<form class="stack" @submit=${this.save} novalidate>
      <section class="paper"><h2 class="small">${t('what-shop-says')}</h2><div class="fields">
        ${this.field('name', t('shop-name'), html`<input name="name" .defaultValue=${s.name} maxlength="120" autocomplete="organization" />`)}
        ${this.field('phone', t('phone'), html`<input name="phone" type="tel" .defaultValue=${s.phone ?? ''} maxlength="40" autocomplete="tel" />`)}
        ${this.field('hours', t('hours'), html`<input name="hours" .defaultValue=${s.hours ?? ''} maxlength="200" />`)}
        <div class="colour">
          ${this.field(
            'colour',
            t('colour'),
            html`<span class="pair"><input name="colour" .value=${this.colour} placeholder=${OUR_COLOUR} maxlength="7" spellcheck="false" autocomplete="off" @input=${this.typed} />
            <input type="color" aria-label=${t('pick-colour')} .value=${/^#[0-9a-f]{6}$/i.test(this.colour) ? this.colour : OUR_COLOUR} @input=${this.typed} /></span>`,
            t('colour-lead'),
          )}
        </div>
      </div></section>
      <section class="paper"><h2 class="small">${t('what-shop-charges')}</h2><div class="fields">
        ${this.field(
          'currency',
          t('currency'),
          html`<select name="currency"><option value="" ?selected=${!s.currency}>${t('no-currency')}</option>${currencies.map(
            (c) => html`<option value=${c} ?selected=${c === s.currency}>${c} · ${names.of(c)}</option>`,
          )}</select>`,
        )}
        ${this.field('ratePerHour', t('rate'), html`<input name="ratePerHour" inputmode="decimal" .defaultValue=${s.ratePerHour === undefined ? '' : String(s.ratePerHour)} maxlength="10" />`, t('rate-lead'))}
      </div></section>
      <section class="paper"><h2 class="small">${t('what-shop-keeps')}</h2>
        <div class="fields">${this.field('retentionDays', t('retention'), html`<input name="retentionDays" inputmode="numeric" .defaultValue=${s.retentionDays === undefined ? '' : String(s.retentionDays)} maxlength="6" />`, t('retention-lead'))}</div></section>
      <section class="paper"><h2 class="small">${t('other-pages')}</h2>
        ${this.field('origins', t('origins'), html`<textarea name="origins" rows="3" spellcheck="false" placeholder="https://www.example.org" .defaultValue=${s.origins.join('\n')}></textarea>`, t('origins-lead'))}
        <p class="on"><a href=${ourPage('/embed')}>${t('to-embed')}</a></p></section>
      ${this.wrong && !this.placed ? this.wrongBox() : nothing}${this.doneLine()}
      <div class="acts"><button class="main" aria-disabled=${this.busy}>${t('save')}</button></div>
    </form>`
  }

  /** Is there a field for what went wrong? Then it stands there. */
  private get placed(): boolean {
    const field = this.wrong?.field?.split('[')[0]
    return field !== undefined && this.form?.elements.namedItem(field) !== null
  }

  private field(name: string, label: string, input: unknown, lead = '') {
    const { wrong } = this
    const bad = wrong?.field !== undefined && wrong.field.split('[')[0] === name
    return html`<label data-field=${name} class="${bad ? 'off' : ''} ${SHORT.has(name) ? 'short' : ''}">${label}${input}
      ${bad ? html`<span class="bad" role="alert">${wrong.message} ${wrong.mend}</span>` : nothing}
      ${lead ? html`<span>${lead}</span>` : nothing}</label>`
  }

  private typed = (e: Event) => {
    this.colour = (e.target as HTMLInputElement).value.trim()
  }

  private save = async (e: Event) => {
    e.preventDefault()
    const data = new FormData(this.form)
    const text = (name: string) => String(data.get(name) ?? '').trim()
    // What is no number goes as it was typed: the server says what is wrong with it.
    const number = (name: string) => {
      const typed = text(name).replace(',', '.')
      return typed === '' ? null : Number.isNaN(Number(typed)) ? typed : Number(typed)
    }
    const wanted: Record<string, unknown> = {
      name: text('name'),
      phone: text('phone') || null,
      hours: text('hours') || null,
      colour: text('colour').toLowerCase() || null,
      currency: text('currency') || null,
      ratePerHour: number('ratePerHour'),
      retentionDays: number('retentionDays'),
      origins: text('origins')
        .split(/[\s,]+/)
        .filter(Boolean),
    }
    // Only what was changed here: somebody else may be changing the rest.
    const now = this.settings as unknown as Record<string, unknown>
    const body = Object.fromEntries(
      Object.entries(wanted).filter(([k, v]) => JSON.stringify(v) !== JSON.stringify(now[k] ?? null)),
    )
    const went = await this.run(async (api) => {
      if (Object.keys(body).length > 0) this.settings = await api.json<Settings>('PATCH', 'shop/settings', { body })
      this.done = this.t(Object.keys(body).length > 0 ? 'saved' : 'nothing-changed')
    })
    if (went) this.dispatchEvent(new CustomEvent('bl-desk-changed', { bubbles: true, composed: true }))
    else {
      await this.updateComplete
      const field = this.wrong?.field?.split('[')[0]
      if (field)
        this.renderRoot.querySelector<HTMLElement>(`[data-field="${field}"] :is(input, select, textarea)`)?.focus()
    }
  }
}

define('bl-desk-settings', DeskSettings)
