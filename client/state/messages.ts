import type { ClientMessageInput, StoredEvent } from '../../rules/protocol/index.ts'

type Without<T, K extends string> = T extends unknown ? Omit<T, K> : never

/** What a part of the element wants said to the server; the version and the id are added where it is queued. */
export type Act = Without<Exclude<ClientMessageInput, { type: 'open' }>, 'v' | 'id'>
export type Opening = Omit<Extract<ClientMessageInput, { type: 'open' }>, 'v' | 'id' | 'type'>
export type { StoredEvent }

/**
 * Which control an act came from, so that what went wrong with it can be shown right there. One answer is `answer:<check>`;
 * a row of readings is `row:<first check>`.
 */
export function placeOf(act: Act | { type: 'open' }): string {
  switch (act.type) {
    case 'answer':
      return act.answers.length > 1 ? `row:${act.answers[0]!.check}` : `answer:${act.answers[0]?.check}`
    case 'retract':
      return `retract:${act.check}`
    case 'root-cause':
      return `root-cause:${act.root}`
    case 'hand-back':
      return act.items.length === 1 ? `hand-back:${act.items[0]!.item}` : 'hand-back'
    case 'acknowledge':
      return `acknowledge:${act.caution}`
    default:
      return act.type
  }
}
