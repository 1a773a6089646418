import type { ServerMessage } from '../../rules/protocol/index.ts'
import { type Act, placeOf } from './messages.ts'
import { EMPTY, type Line, type View } from './view.ts'

export type Happening =
  | { type: 'received'; message: ServerMessage }
  | { type: 'sent'; id: string; act: Act | { type: 'open' } }
  /** a queued act that never left was taken back */
  | { type: 'dropped'; id: string }
  | { type: 'line'; line: Line }
  /** another case, or none */
  | { type: 'left' }

/** The next view. Pure: the same happenings give the same view. */
export function reduce(view: View, happening: Happening): View {
  switch (happening.type) {
    case 'line':
      return view.line === happening.line ? view : { ...view, line: happening.line }
    case 'left':
      return { ...EMPTY, line: view.line, turn: view.turn }
    case 'dropped':
      return { ...view, waiting: view.waiting.filter((w) => w.id !== happening.id) }
    case 'sent': {
      const place = placeOf(happening.act)
      const problems = without(without(view.problems, place), '')
      return { ...view, problems, waiting: [...view.waiting, { id: happening.id, act: happening.act }] }
    }
    case 'received':
      return received(view, happening.message)
  }
}

/** Errors that pass: the connection sends the same message again, so it is still on its way. */
export const PASSING = new Set<string>(['try-again', 'busy', 'too-many'])

function received(before: View, message: ServerMessage): View {
  const mine = before.waiting.find((w) => w.id === message.re)
  const passing = message.type === 'error' && PASSING.has(message.code)
  const waiting = mine && !passing ? before.waiting.filter((w) => w !== mine) : before.waiting
  const view = mine ? { ...before, problems: without(before.problems, placeOf(mine.act)) } : before
  // Replies come several to a message; `mine` is gone after the first, so a turn is told by `re` being there at all.
  const turn = message.re === undefined ? view.turn : view.turn + 1
  switch (message.type) {
    case 'opened':
      // Whatever kept it from opening before is settled.
      return { ...view, waiting, opened: message, problems: without(view.problems, '') }
    case 'understood':
      return { ...view, waiting, understood: message, turn }
    case 'ask': {
      const sameAsk = message.ask?.check === view.ask?.check && message.ask?.kind === view.ask?.kind
      return {
        ...view,
        waiting,
        turn,
        ask: message.ask,
        because: message.because,
        why: sameAsk ? view.why : undefined,
        // Once something is on record for it, what was asked about its meaning is settled.
        understood: view.understood && !view.understood.sure && sameAsk ? view.understood : undefined,
      }
    }
    case 'standing':
      return { ...view, waiting, standing: message }
    case 'caution':
      return { ...view, waiting, cautions: message.cautions, stop: message.stop, turn }
    case 'finding':
      return { ...view, waiting, finding: message.finding, turn: message.finding ? turn : view.turn }
    case 'noted':
      return { ...view, waiting, noted: message }
    case 'because':
      return { ...view, waiting, why: message }
    case 'meter': {
      const { act } = mine ?? {}
      const picked = act?.type === 'meter' && (act.red !== undefined || act.circuit !== undefined)
      return picked ? { ...view, waiting, looked: message.meter } : { ...view, waiting, meter: message.meter }
    }
    case 'refused':
    case 'error': {
      const { code, text, mend, field } = message
      const place = mine ? placeOf(mine.act) : ''
      return { ...view, waiting, problems: { ...view.problems, [place]: { code, text, mend, field } } }
    }
  }
}

function without<T>(record: Readonly<Record<string, T>>, key: string): Readonly<Record<string, T>> {
  const { [key]: _, ...rest } = record
  return rest
}
