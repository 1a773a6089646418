import type { Keep } from './queue.ts'

/** What is being typed in a form, by field. */
export type Draft = Readonly<Record<string, string>>

/**
 * What is typed and not sent yet, by form: a reload finds it again. A form empties its own once the server has said that
 * it is stored; leaving the case empties all.
 */
export class Drafts {
  constructor(
    private readonly keep: Keep,
    private readonly key: () => string,
  ) {}

  read(form: string): Draft {
    return this.#all()[form] ?? {}
  }

  write(form: string, draft: Draft): void {
    const { [form]: _, ...others } = this.#all()
    const all = Object.values(draft).some((v) => v !== '') ? { ...others, [form]: draft } : others
    if (Object.keys(all).length === 0) this.keep.remove(this.key())
    else this.keep.set(this.key(), JSON.stringify(all))
  }

  clear(): void {
    this.keep.remove(this.key())
  }

  #all(): Record<string, Draft> {
    try {
      const all: unknown = JSON.parse(this.keep.get(this.key()) ?? '{}')
      return all && typeof all === 'object' ? (all as Record<string, Draft>) : {}
    } catch {
      return {}
    }
  }
}
