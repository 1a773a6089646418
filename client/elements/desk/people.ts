import { html, nothing } from 'lit'
import { state } from 'lit/decorators.js'
import { controls } from '../../theme/controls.ts'
import type { AskFirst } from '../ask-first/ask-first.ts'
import '../ask-first/ask-first.ts'
import { DeskPart } from '../desk-part.ts'
import { define } from '../part.ts'
import { paperStyles } from './paper.styles.ts'
import { peopleStyles } from './people.styles.ts'

interface Person {
  id: string
  login: string
  name: string
  role: 'technician' | 'dealer'
  lockedUntil?: string
  leftAt?: string
}

/** Who signs in: added, unlocked, given another password or role, ended. */
export class DeskPeople extends DeskPart {
  static override styles = [controls, paperStyles, peopleStyles]

  @state() private people?: Person[]
  /** whose password is being set */
  @state() private setting?: string
  private get askFirst() {
    return this.renderRoot.querySelector<AskFirst>('bl-ask-first')!
  }

  override firstUpdated() {
    void this.attempt(() => this.load())
  }

  private async load() {
    this.people = (await this.api!.json<{ people: Person[] }>('GET', 'shop/people')).people
  }

  override render() {
    const { t } = this
    return html`
      ${this.wrongBox()}${this.doneLine()}
      <section class="paper"><h2 class="small">${t('who-signs-in')}</h2>
        ${
          this.people?.length === 0
            ? html`<p class="soft lead">${t('nobody-yet')}</p>`
            : html`<ul class="people">${(this.people ?? []).map((p) => this.person(p))}</ul>`
        }</section>
      <section class="paper"><h2 class="small">${t('add-person')}</h2>
        <form class="stack" @submit=${this.add}><div class="fields">
          <label>${t('name')}<input name="name" required maxlength="60" autocomplete="off" /></label>
          <label>${t('login')}<input name="login" required maxlength="40" autocomplete="off" autocapitalize="none" spellcheck="false" /><span>${t('login-rule')}</span></label>
          <label>${t('role')}<select name="role"><option value="technician">${t('role-technician')}</option><option value="dealer">${t('role-dealer')}</option></select><span>${t('role-rule')}</span></label>
          <label>${t('first-password')}<input name="password" type="password" required minlength="10" maxlength="200" autocomplete="new-password" /><span>${t('password-rule')}</span></label>
        </div><div class="acts"><button class="main" aria-disabled=${this.busy}>${t('add-person')}</button></div></form></section>
      <section class="paper"><h2 class="small">${t('links')}</h2><p class="soft lead">${t('links-lead')}</p>
        <button class="hard" @click=${this.endLinks}>${t('end-links')}</button></section>
      <bl-ask-first .t=${t}></bl-ask-first>`
  }

  private person(p: Person) {
    const { t } = this
    const locked = p.lockedUntil !== undefined && p.lockedUntil > new Date().toISOString()
    return html`<li class=${p.leftAt ? 'left' : ''}>
      <div class="who"><b>${p.name}</b><span class="soft">${p.login} · ${t(`role-${p.role}`)}</span>
        ${locked ? html`<span class="mark">${t('locked-until', { at: this.moment(p.lockedUntil!) })}</span>` : nothing}
        ${p.leftAt ? html`<span class="soft">${t('ended-on', { day: this.day(p.leftAt) })}</span>` : nothing}</div>
      <div class="acts">${
        p.leftAt
          ? html`<button @click=${() => this.change(p, { left: false }, t('may-again', { name: p.name }))}>${t('let-in-again')}</button>`
          : html`${locked ? html`<button @click=${() => this.change(p, { name: p.name }, t('was-unlocked', { name: p.name }))}>${t('unlock')}</button>` : nothing}
            <button aria-expanded=${this.setting === p.id} @click=${() => (this.setting = this.setting === p.id ? undefined : p.id)}>${t('set-password')}</button>
            <button @click=${() => this.otherRole(p)}>${t(p.role === 'dealer' ? 'make-technician' : 'make-dealer')}</button>
            <button class="hard" @click=${() => this.end(p)}>${t('end-person')}</button>`
      }</div>
      ${
        this.setting === p.id
          ? html`<form class="set" @submit=${(e: Event) => this.setPassword(e, p)}><label>${t('password-for', { name: p.name })}<input name="password" type="password" required minlength="10" maxlength="200" autocomplete="new-password" /><span>${t('password-rule')}</span></label>
              <button class="main">${t('keep-password')}</button></form>`
          : nothing
      }</li>`
  }

  private change(p: Person, body: object, done: string): Promise<boolean> {
    return this.run(async (api) => {
      await api.json('PATCH', `shop/people/${p.id}`, { body })
      await this.load()
      this.done = done
    })
  }

  private add = async (e: Event) => {
    e.preventDefault()
    const form = e.target as HTMLFormElement
    const body = Object.fromEntries([...new FormData(form)].map(([k, v]) => [k, String(v)]))
    const went = await this.run(async (api) => {
      const made = await api.json<Person>('POST', 'shop/people', { body })
      await this.load()
      this.done = this.t('was-added', { name: made.name, login: made.login })
    })
    if (went) form.reset()
    else if (this.wrong?.field) (form.elements.namedItem(this.wrong.field) as HTMLElement | null)?.focus()
  }

  private setPassword = async (e: Event, p: Person) => {
    e.preventDefault()
    const password = String(new FormData(e.target as HTMLFormElement).get('password'))
    if (await this.change(p, { password }, this.t('password-set', { name: p.name }))) this.setting = undefined
  }

  private async otherRole(p: Person) {
    const { t } = this
    const role = p.role === 'dealer' ? 'technician' : 'dealer'
    const yes = await this.askFirst.ask({
      title: t('role-whom', { name: p.name, role: t(`role-${role}`) }),
      goes: [t('goes-sessions', { name: p.name }), ...(role === 'technician' ? [t('goes-desk')] : [])],
      yes: t(role === 'dealer' ? 'make-dealer' : 'make-technician'),
    })
    if (yes) await this.change(p, { role }, t('saved'))
  }

  private async end(p: Person) {
    const { t } = this
    const yes = await this.askFirst.ask({
      title: t('end-whom', { name: p.name }),
      goes: [t('goes-sign-in', { name: p.name }), t('goes-sessions', { name: p.name })],
      stays: [t('stays-name')],
      yes: t('end-person'),
    })
    if (yes) await this.change(p, { left: true }, t('was-ended', { name: p.name }))
  }

  private endLinks = async () => {
    const { t } = this
    const yes = await this.askFirst.ask({
      title: t('end-links-ask'),
      goes: [t('goes-links')],
      stays: [t('stays-own-link'), t('stays-new-link')],
      yes: t('end-links'),
    })
    if (!yes) return
    await this.run(async (api) => {
      await api.send('POST', 'shop/links/end')
      this.done = t('links-ended')
    })
  }
}

define('bl-desk-people', DeskPeople)
