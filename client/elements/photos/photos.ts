import { html, nothing, type PropertyValues } from 'lit'
import { property, state } from 'lit/decorators.js'
import { nanoid } from 'nanoid'
import type { Noted } from '../../../rules/protocol/index.ts'
import { ShopApi, ShopError } from '../../session/api.ts'
import { deskTexts } from '../../texts/desk.ts'
import { controls } from '../../theme/controls.ts'
import { dialogStyles } from '../ask-first/dialog.styles.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import { photosStyles } from './photos.styles.ts'
import { shrink } from './shrink.ts'

type Photo = NonNullable<Noted['photos']>[number]

/** The server takes no more of one case. */
const MOST = 12

/**
 * Pictures of a car: thumbnails, one looked at large, and a way to add some, by camera or from files. They are made small
 * and free of place and time before they leave the browser.
 *
 * @tag bl-photos
 *
 * @event {CustomEvent} bl-photo-sent - A picture is on record.
 */
export class Photos extends DeskPart {
  static override styles = [controls, dialogStyles, photosStyles]

  @property() case = ''
  /** with `pass` and `server` where there is no `api` */
  @property() shop = 'demo'
  @property() server = ''
  @property({ attribute: false }) pass?: string
  @property() language = ''
  @property({ attribute: false }) photos: readonly Photo[] = []
  @property({ type: Boolean }) closed = false
  /** says above what it is */
  @property({ type: Boolean }) heading = false
  /** shows only, as on paper */
  @property({ type: Boolean }) fixed = false
  /** photo -> address of what was fetched; '' where it is gone */
  @state() private shown: Readonly<Record<string, string>> = {}
  @state() private sending = 0
  @state() private text = ''
  /** what could not be sent, to be sent again */
  @state() private left: readonly { id: string; file: Blob; text: string }[] = []
  @state() private large?: Photo
  private get dialog() {
    return this.renderRoot.querySelector<HTMLDialogElement>('dialog')!
  }
  #asked = new Set<string>()

  override willUpdate(changed: PropertyValues) {
    if ((changed.has('pass') || changed.has('t')) && this.pass && !this.api?.renew)
      this.api = new ShopApi({ pass: this.pass, shop: this.shop }, this.t, undefined, this.server)
    if (changed.has('case') && changed.get('case')) {
      this.#forget()
      this.left = []
      this.text = ''
    }
    if (changed.has('language') && this.language) void deskTexts(this.language).then((t) => (this.t = t))
    for (const { photo } of this.photos) void this.#fetch(photo)
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    this.#forget()
  }

  /** All that are to be seen are there, or are known to be gone. */
  get ready(): boolean {
    return this.photos.every((p) => p.photo in this.shown)
  }

  #forget() {
    for (const url of Object.values(this.shown)) if (url) URL.revokeObjectURL(url)
    this.shown = {}
    this.#asked.clear()
  }

  /** By fetch, since an `img` can not send the pass. */
  async #fetch(photo: string) {
    if (!this.api || !this.case || this.#asked.has(photo)) return
    this.#asked.add(photo)
    try {
      const blob = await this.api.blob(`cases/${encodeURIComponent(this.case)}/photos/${encodeURIComponent(photo)}`)
      this.shown = { ...this.shown, [photo]: URL.createObjectURL(blob) }
    } catch (error) {
      if (!(error instanceof ShopError)) throw error
      this.shown = { ...this.shown, [photo]: '' }
    }
  }

  override render() {
    const { t, photos } = this
    const full = photos.length + this.left.length >= MOST
    return html`
      ${this.heading ? html`<h3>${t('photos')}</h3>` : nothing}
      ${
        photos.length > 0
          ? html`<ul class="prints">${photos.map((p) => html`<li>${this.print(p)}</li>`)}</ul>`
          : this.fixed
            ? nothing
            : html`<p class="soft">${t('no-photos')}</p>`
      }
      ${this.fixed ? nothing : this.adding(full)}
      <dialog aria-label=${this.large?.text ?? t('photo')} @click=${this.shut} @close=${() => (this.large = undefined)}>${
        this.large
          ? html`<figure><img src=${this.shown[this.large.photo] ?? ''} alt=${this.large.text ?? t('photo')} />
              <figcaption>${this.large.text ?? ''} <span class="soft">${t(`role-${this.large.by}`)}, ${this.moment(this.large.at)}</span></figcaption>
              <button autofocus @click=${this.shut}>${t('shut')}</button></figure>`
          : nothing
      }</dialog>`
  }

  private print(p: Photo) {
    const { t } = this
    const url = this.shown[p.photo]
    const what = p.text ?? t('photo-by', { who: t(`role-${p.by}`), at: this.moment(p.at) })
    if (url === undefined) return html`<span class="empty" role="img" aria-label=${what}></span>`
    if (url === '') return html`<span class="empty">${t('photo-erased')}</span>`
    if (this.fixed)
      return html`<figure><img src=${url} alt=${p.text ? '' : what} /><figcaption>${p.text ?? ''}</figcaption></figure>`
    return html`<button @click=${() => this.look(p)} aria-label=${t('look-at', { what })}><img src=${url} alt="" />${p.text ? html`<span>${p.text}</span>` : nothing}</button>`
  }

  private adding(full: boolean) {
    const { t } = this
    if (this.closed) return nothing
    if (full && this.left.length === 0) return html`<p class="soft">${t('photos-full', { n: MOST })}</p>`
    return html`
      ${this.wrongBox()}
      ${
        this.left.length > 0
          ? html`<div class="acts"><button @click=${this.sendLeft}>${t('photo-again', { n: this.left.length })}</button><button class="quiet" @click=${() => this.giveUp()}>${t('photo-drop')}</button></div>`
          : nothing
      }
      <label>${t('photo-text')}<input name="text" .value=${this.text} maxlength="200" autocomplete="off" @input=${(e: Event) => (this.text = (e.target as HTMLInputElement).value)} /></label>
      <div class="take">
        <label class="pick">${t('photo-camera')}<input type="file" accept="image/*" capture="environment" @change=${this.pick} /></label>
        <label class="pick">${t('photo-file')}<input type="file" accept="image/*" multiple @change=${this.pick} /></label>
      </div>
      <p class="soft small" role="status">${this.sending > 0 ? t('photo-sending', { n: this.sending }) : this.done || t('photo-plain')}</p>`
  }

  private pick = async (e: Event) => {
    const field = e.target as HTMLInputElement
    const files = [...(field.files ?? [])]
    field.value = ''
    const text = this.text.trim()
    this.wrong = undefined
    const made: { id: string; file: Blob; text: string }[] = []
    for (const file of files) {
      try {
        made.push({ id: nanoid(), file: await shrink(file), text })
      } catch (error) {
        if (!(error instanceof TypeError)) throw error
        this.wrong = new ShopError(this.t('photo-unreadable', { file: file.name }), this.t('photo-unreadable-mend'))
      }
    }
    this.left = [...this.left, ...made]
    if (made.length > 0) await this.sendLeft()
  }

  /** One after the other; what does not go stays, under the same id, so that it counts once. */
  private sendLeft = async () => {
    if (this.sending > 0) return
    while (this.left.length > 0) {
      const [next] = this.left
      this.sending = this.left.length
      const went = await this.attempt((api) =>
        api.send('POST', `cases/${encodeURIComponent(this.case)}/photos`, {
          query: { id: next!.id, ...(next!.text && { text: next!.text }) },
          body: next!.file,
          type: next!.file.type,
        }),
      )
      if (!went) break
      this.left = this.left.slice(1)
      if (next!.text === this.text.trim()) this.text = ''
      this.done = this.t('photo-sent')
      this.dispatchEvent(new CustomEvent('bl-photo-sent', { bubbles: true, composed: true }))
    }
    this.sending = 0
  }

  private giveUp() {
    this.left = []
    this.wrong = undefined
  }

  private async look(p: Photo) {
    this.large = p
    await this.updateComplete
    this.dialog.showModal()
  }

  private shut = () => this.dialog.close()
}

define('bl-photos', Photos)
