import type { PropertyValues } from 'lit'
import { property } from 'lit/decorators.js'
import type { Draft, Drafts } from '../../connection/drafts.ts'
import type { Problem } from '../../state/view.ts'
import { WorkPart } from './work-part.ts'

/** A part in which something is typed: it survives a reload, and goes once it is stored. */
export abstract class Form extends WorkPart {
  @property({ attribute: false }) drafts?: Drafts
  @property({ attribute: false }) problem?: Problem
  @property({ type: Boolean }) waiting = false
  /** under which name its draft is kept */
  protected abstract readonly form: string
  protected draft: Draft = {}
  #read = false

  override willUpdate(changed: PropertyValues) {
    super.willUpdate(changed)
    if (!this.#read && this.drafts) {
      this.#read = true
      this.draft = this.drafts.read(this.form)
    }
    if (changed.get('waiting') === true && !this.waiting && !this.problem) this.stored()
  }

  /** What was sent is on record. */
  protected stored(): void {
    this.draft = {}
    this.drafts?.write(this.form, {})
  }

  protected put(field: string, value: string): void {
    this.draft = { ...this.draft, [field]: value }
    this.drafts?.write(this.form, this.draft)
    this.requestUpdate()
  }

  protected typed = (e: Event) => {
    const field = e.target as HTMLInputElement
    this.put(field.name, field.value)
  }
}
