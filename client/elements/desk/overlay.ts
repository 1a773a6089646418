import { html, nothing } from 'lit'
import { state } from 'lit/decorators.js'
import { type FileProblem, ShopError } from '../../session/api.ts'
import { controls } from '../../theme/controls.ts'
import type { AskFirst } from '../ask-first/ask-first.ts'
import '../ask-first/ask-first.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import { type DraftFile, keepDraft, keptDraft, pathFor, readDraft } from './draft.ts'
import { overlayStyles } from './overlay.styles.ts'
import { paperStyles } from './paper.styles.ts'

interface Problem {
  file: string
  path: string
  what: string
  mend: string
}
interface Layer {
  version: number
  at: string
  status: 'checking' | 'bad' | 'good' | 'live'
  problems: Problem[]
  files: Record<string, object>
}
interface Layers {
  live: Layer | null
  staged: Layer | null
  failing: Problem[]
}

const LOOK_AGAIN_MS = 2000

/** The shop's own causes and checks over the common ones: written, checked by the linter, put in use, taken back. */
export class DeskOwn extends DeskPart {
  static override styles = [controls, paperStyles, overlayStyles]

  @state() private layers?: Layers
  @state() private draft: readonly DraftFile[] = keptDraft()
  private get askFirst() {
    return this.renderRoot.querySelector<AskFirst>('bl-ask-first')!
  }
  #timer?: ReturnType<typeof setTimeout>

  override firstUpdated() {
    void this.attempt(async (api) => this.took(await api.json<Layers>('GET', 'shop/overlay')))
  }

  override disconnectedCallback() {
    super.disconnectedCallback()
    clearTimeout(this.#timer)
  }

  /** A check takes about a minute: looked at now and then until it is done. */
  private took(layers: Layers) {
    this.layers = layers
    clearTimeout(this.#timer)
    if (layers.staged?.status !== 'checking') return
    this.#timer = setTimeout(() => {
      void this.attempt(async (api) => this.took(await api.json<Layers>('GET', 'shop/overlay')))
    }, LOOK_AGAIN_MS)
  }

  override render() {
    const { t, layers } = this
    if (!layers) return html`${this.wrongBox()}`
    const { live, staged, failing } = layers
    const fails = failing.length > 0 && live !== null
    const step = staged
      ? staged.status === 'good'
        ? 'step-live'
        : 'step-check'
      : this.draft.length > 0 || !fails
        ? 'step-write'
        : 'step-check'
    return html`
      ${this.wrongBox()}${this.doneLine()}
      ${
        fails
          ? html`<section class="paper bad"><h2 class="small">${t('own-failing')}</h2><p>${t('own-failing-lead')}</p>${this.problems(failing)}
              ${staged ? nothing : html`<div class="acts"><button class="main" @click=${() => this.take(live)}>${t('own-mend')}</button></div>`}</section>`
          : nothing
      }
      ${staged ? this.staged(staged) : nothing}
      <section class="paper"><h2 class="small">${t('own-title')}</h2><p class="soft lead">${t('own-lead')}</p>
        <ol class="way" aria-label=${t('way')}>${(['step-write', 'step-check', 'step-live'] as const).map(
          (s) => html`<li aria-current=${s === step ? 'step' : 'false'}>${t(s)}</li>`,
        )}</ol></section>
      ${this.writing()}
      ${
        live
          ? html`<section class="paper"><h2 class="small">${t(fails ? 'own-not-live' : 'own-live', { n: live.version })}</h2><p class="soft">${t('since', { at: this.moment(live.at) })}</p>${this.files(live)}
              <div class="acts"><button @click=${() => this.take(live)}>${t('own-edit')}</button>${staged ? nothing : html`<button class="hard" @click=${this.undo}>${t('own-undo')}</button>`}</div></section>`
          : html`<section class="paper"><p class="soft">${t('own-none')}</p></section>`
      }
      <bl-ask-first .t=${t}></bl-ask-first>`
  }

  private staged(staged: Layer) {
    const { t } = this
    return html`<section class="paper staged ${staged.status}" aria-live="polite"><h2 class="small">${t(`own-${staged.status as 'checking'}`)}</h2>
      <p class="soft">${t('staged-at', { at: this.moment(staged.at) })}</p>
      ${staged.status === 'checking' ? html`<p class="working">${t('own-checking-lead')}</p>` : nothing}
      ${staged.status === 'bad' ? html`<p>${t('own-bad-lead', { n: staged.problems.length })}</p>${this.problems(staged.problems)}` : nothing}
      ${staged.status === 'good' ? html`<p>${t('own-good-lead')}</p>` : nothing}
      ${this.files(staged)}
      <div class="acts">${staged.status === 'good' ? html`<button class="main" @click=${this.live}>${t('own-put-live')}</button>` : nothing}
        ${staged.status === 'bad' ? html`<button class="main" @click=${() => this.take(staged)}>${t('own-mend')}</button>` : nothing}
        <button @click=${this.drop}>${t('own-drop')}</button></div></section>`
  }

  private problems(list: readonly (Problem | FileProblem)[]) {
    return html`<ul class="problems">${list.map(
      (p) =>
        html`<li><span class="where">${'file' in p ? `${p.file} ${p.path}` : p.path}</span><b>${p.what}</b><span>${p.mend}</span></li>`,
    )}</ul>`
  }

  private files(layer: Layer) {
    return html`<ul class="files">${Object.entries(layer.files).map(
      ([path, json]) =>
        html`<li><details><summary><span class="id">${path}</span></summary><pre tabindex="0">${JSON.stringify(json, null, 2)}</pre></details></li>`,
    )}</ul>`
  }

  private writing() {
    const { t, draft } = this
    return html`<section class="paper"><h2 class="small">${t('own-write')}</h2><p class="soft lead">${t('own-write-lead')}</p>
      <label class="file">${t('own-pick')}<input type="file" multiple accept=".json,application/json" @change=${this.pick} /></label>
      ${draft.length > 0 ? html`<ul class="draft">${draft.map((file, i) => this.draftFile(file, i))}</ul>` : nothing}
      <div class="acts">
        ${draft.length > 0 ? html`<button class="main" aria-disabled=${this.busy} @click=${this.stage}>${t('own-stage', { n: draft.length })}</button>` : nothing}
        <button @click=${() => this.write([...draft, { path: '', text: '' }])}>${t('own-paste')}</button>
        ${draft.length > 0 ? html`<button @click=${() => this.write([])}>${t('own-empty')}</button>` : nothing}</div></section>`
  }

  private draftFile(file: DraftFile, i: number) {
    const { t } = this
    const read = file.text.trim() === '' ? undefined : readDraft(file.text)
    const bad = read && !('json' in read)
    return html`<li>
      <label>${t('own-path')}<input name="path" .value=${file.path} spellcheck="false" autocomplete="off" placeholder="causes/component.mode.json" @change=${(e: Event) => this.edit(i, { path: (e.target as HTMLInputElement).value.trim() })} /></label>
      <label>${t('own-text')}<textarea rows="8" spellcheck="false" aria-invalid=${bad ? 'true' : 'false'} .value=${file.text} @input=${(e: Event) => this.edit(i, { text: (e.target as HTMLTextAreaElement).value })} @change=${() => this.settle(i)}></textarea>
        ${bad ? html`<span class="bad">${'notObject' in read ? t('own-not-object') : t('own-not-json', { line: read.line })}</span>` : nothing}</label>
      <button class="quiet" @click=${() => this.write(this.draft.filter((_, j) => j !== i))}>${t('own-leave-out')}</button></li>`
  }

  private edit(i: number, change: Partial<DraftFile>) {
    this.write(this.draft.map((f, j) => (j === i ? { ...f, ...change } : f)))
  }

  /** A pasted file finds its place by what stands in it. */
  private settle(i: number) {
    const file = this.draft[i]
    if (file && file.path === '' && 'json' in readDraft(file.text)) this.edit(i, { path: pathFor('', file.text) })
  }

  private write(files: readonly DraftFile[]) {
    this.draft = files
    keepDraft(files)
  }

  private pick = async (e: Event) => {
    const field = e.target as HTMLInputElement
    const picked = await Promise.all(
      [...(field.files ?? [])].map(async (file) => {
        const text = await file.text()
        return { path: pathFor(file.webkitRelativePath || file.name, text), text }
      }),
    )
    field.value = ''
    // One of the same path takes the place of the one before.
    this.write([...this.draft.filter((f) => !picked.some((p) => p.path === f.path)), ...picked])
  }

  /** What is in use or was refused, to be written on. */
  private take(layer: Layer) {
    const files = Object.entries(layer.files).map(([path, json]) => ({
      path,
      text: `${JSON.stringify(json, null, 2)}\n`,
    }))
    this.write([...this.draft.filter((f) => !files.some((x) => x.path === f.path)), ...files])
    void this.updateComplete.then(() => this.renderRoot.querySelector('.draft')?.scrollIntoView({ block: 'nearest' }))
  }

  private stage = async () => {
    const { t } = this
    const problems: FileProblem[] = []
    const files: Record<string, object> = {}
    for (const { path, text } of this.draft) {
      const read = readDraft(text)
      const line = 'line' in read ? { line: read.line } : {}
      if (path === '') problems.push({ what: t('own-no-path'), mend: t('own-no-path-mend') })
      else if (path in files) problems.push({ path, what: t('own-twice'), mend: t('own-twice-mend') })
      if ('json' in read) files[path] = read.json
      else
        problems.push({
          path,
          ...line,
          what: t('notObject' in read ? 'own-not-object' : 'own-no-json'),
          mend: t('own-not-json-mend'),
        })
    }
    if (problems.length > 0) {
      this.wrong = new ShopError(t('own-unreadable'), t('own-unreadable-mend'), 'invalid', undefined, problems)
      return
    }
    await this.run(async (api) => {
      this.took(await api.json<Layers>('PUT', 'shop/overlay', { body: { files } }))
    })
  }

  private live = () =>
    this.run(async (api) => {
      this.took(await api.json<Layers>('POST', 'shop/overlay/live'))
      this.write([])
      this.done = this.t('own-now-live')
    })

  private drop = () =>
    this.run(async (api) => {
      const { staged } = this.layers!
      // What was written stays here, to be staged again.
      if (staged && this.draft.length === 0) this.take(staged)
      this.took(await api.json<Layers>('DELETE', 'shop/overlay'))
      this.done = this.t('own-dropped')
    })

  private undo = async () => {
    const { t } = this
    const { live } = this.layers!
    const yes = await this.askFirst.ask({
      title: t('own-undo-ask'),
      goes: [t('goes-own', { n: live!.version })],
      stays: [t('stays-own-before'), t('stays-own-cases')],
      yes: t('own-undo'),
    })
    if (!yes) return
    await this.run(async (api) => {
      this.take(live!)
      this.took(await api.json<Layers>('DELETE', 'shop/overlay'))
      this.done = t('own-undone')
    })
  }
}

define('bl-desk-own', DeskOwn)
