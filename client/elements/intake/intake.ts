import { html } from 'lit'
import { property } from 'lit/decorators.js'
import type { Opened } from '../../../rules/protocol/index.ts'
import type { CarFacts } from '../../../rules/schema/car.ts'
import type { Problem } from '../../state/view.ts'
import { controls } from '../../theme/controls.ts'
import { define, Part, problemLine } from '../part.ts'
import { intakeStyles } from './intake.styles.ts'

/**
 * What is known of the car as built. Every field may stay empty: what matters is asked when it matters.
 *
 * @csspart facts - The fields.
 */
export class Intake extends Part {
  static override styles = [controls, intakeStyles]

  @property({ attribute: false }) factsToAsk: Opened['factsToAsk'] = []
  @property({ attribute: false }) facts: CarFacts = {}
  @property() tag = ''
  @property({ attribute: false }) problem?: Problem

  override render() {
    const known = this.facts as Record<string, unknown>
    return html`<form @submit=${this.submit}>
      <div><h2 tabindex="-1" data-next>${this.t('intake-title')}</h2><p class="soft">${this.t('intake-lead')}</p></div>
      <div class="fields" part="facts">
        <div><label for="tag">${this.t('tag')}</label><input id="tag" name="tag" maxlength="40" autocomplete="off" .value=${this.tag} placeholder=${this.t('tag-example')} /></div>
        ${this.factsToAsk.map(
          (f) => html`<div><label for=${f.fact}>${f.name}</label><select id=${f.fact} name=${f.fact}>
            <option value="">${this.t('not-known')}</option>
            ${f.values.map((v, i) => html`<option value=${i} ?selected=${known[f.fact] === v.value}>${v.label}</option>`)}
          </select></div>`,
        )}
      </div>
      ${problemLine(this.problem)}
      <div class="do"><button class="main">${this.t('intake-send')}</button><button type="button" @click=${() => this.wish('intake-done')}>${this.t('intake-skip')}</button></div>
    </form>`
  }

  private submit = (e: Event) => {
    e.preventDefault()
    const form = new FormData(e.target as HTMLFormElement)
    const facts: Record<string, unknown> = {}
    for (const f of this.factsToAsk) {
      const chosen = form.get(f.fact)
      if (chosen) facts[f.fact] = f.values[Number(chosen)]?.value
    }
    const tag = String(form.get('tag') ?? '').trim()
    this.act({ type: 'facts', facts: facts as CarFacts, ...(tag && { tag }) })
    this.wish('intake-done')
  }
}

define('bl-intake', Intake)
