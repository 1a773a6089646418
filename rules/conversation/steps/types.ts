import type { CaseEvent, RefusalCode, ServerMessage, StepMessage } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import type { CaseState } from '../case-state.ts'
import type { Names } from '../compose/names.ts'
import type { Turn } from '../turn.ts'
import type { Caller, Outside } from '../types.ts'
import type { Understand } from '../words/index.ts'

/** What a message handler is given. */
export interface StepInput<M extends StepMessage = StepMessage> {
  message: M
  state: CaseState
  /** the turn as it was before the message; made only when asked for */
  turn: () => Promise<Turn>
  caller: Caller
  outside: Outside
  r: Reasoner
  names: Names
  understand: Understand
}

export interface Refusal {
  code: RefusalCode
  text: string
  mend: string
  field?: string
}

/** What a message handler decides: events to append, or a refusal; and what to say of it. */
export type Decision =
  | { refuse: Refusal }
  | {
      events: CaseEvent[]
      words?: Record<string, string>
      /** sent before the view */
      replies?: Unsent[]
      say?: string
      /** say depends on the standing before and after */
      compare?: 'answered' | 'retracted' | 'proof'
      retracted?: string
    }

type WithoutEnvelope<T> = T extends unknown ? Omit<T, 'v' | 're' | 'case' | 'seq'> : never
/** A server message before its envelope. */
export type Unsent = WithoutEnvelope<ServerMessage>

export function stamp(input: StepInput) {
  const { id } = input.caller
  return {
    at: input.outside.now,
    by: input.caller.role,
    cause: input.message.id,
    ...(id === undefined ? {} : { who: id }),
  }
}

export function technicianOnly({ names }: StepInput): Refusal {
  return { code: 'not-your-role', text: names.t('refuse.not-your-role'), mend: names.t('refuse.not-your-role.mend') }
}
