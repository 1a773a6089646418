import type {
  AskBody,
  Because,
  CautionBody,
  ErrorCode,
  FindingBody,
  MeterBody,
  Noted,
  Opened,
  RefusalCode,
  Standing,
  Understood,
} from '../../rules/protocol/index.ts'
import type { Act } from './messages.ts'

/** Something the server would not or could not do, shown beside what caused it until that is tried again. */
export interface Problem {
  code: RefusalCode | ErrorCode
  text: string
  mend: string
  field?: string
}

export type Line = 'idle' | 'connecting' | 'open' | 'lost'

/** All that the element shows, made from the server's messages and nothing else. */
export interface View {
  line: Line
  opened?: Opened
  /** what free words were taken for, until the next turn */
  understood?: Understood
  ask: AskBody | null
  /** why there is no question */
  because?: string
  cautions: CautionBody[]
  stop: boolean
  standing?: Standing
  finding: FindingBody | null
  noted?: Noted
  /** the answer to "why", until the next turn */
  why?: Because
  /** what the meter shows at the current check, and what of the case is drawn */
  meter?: MeterBody
  /** the same at points that somebody picked, until another case */
  looked?: MeterBody
  /** by place, see `placeOf` */
  problems: Readonly<Record<string, Problem>>
  /** queued and not yet replied to, oldest first */
  waiting: readonly { id: string; act: Act | { type: 'open' } }[]
  /** counts replies that ended a turn of this screen: focus and the announcement follow it */
  turn: number
}

export const EMPTY: View = {
  line: 'idle',
  ask: null,
  cautions: [],
  stop: false,
  finding: null,
  problems: {},
  waiting: [],
  turn: 0,
}

/** Is an act from this place still on its way? */
export function isWaiting(
  view: View,
  place: (p: string) => boolean,
  placeOfAct: (a: Act | { type: 'open' }) => string,
) {
  return view.waiting.some((w) => place(placeOfAct(w.act)))
}
