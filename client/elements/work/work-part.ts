import type { PropertyValues } from 'lit'
import { state } from 'lit/decorators.js'
import { fetchWorkTexts, type WorkKey, type WorkText, workTexts } from '../../texts/work.ts'
import { Part } from '../part.ts'

/** A part with the texts of the job besides those of the conversation; its words come a moment later where they are fetched. */
export abstract class WorkPart extends Part {
  @state() private texts?: WorkText

  override willUpdate(_changed: PropertyValues) {
    const language = this.t('locale')
    this.texts = workTexts(language)
    if (!this.texts) void fetchWorkTexts(language).then((texts) => (this.texts = texts))
  }

  /** Nothing is shown before there are words for it: a button without a name is worse than none for a moment. */
  protected get worded() {
    return this.texts !== undefined
  }

  protected w: WorkText = (key: WorkKey, values) => this.texts?.(key, values) ?? ''
}
