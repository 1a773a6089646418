import { foldCase } from '../../rules/conversation/case-state.ts'
import { outcomeOfReading, type Turn, type Turner } from '../../rules/conversation/turn.ts'
import type { CaseEvent, Role, StoredEvent } from '../../rules/protocol/index.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { setUpMinutes } from '../../rules/reasoning/set-up.ts'
import type { CheckFile } from '../../rules/schema/knowledge.ts'
import type { Answer, SimulatedCar } from './simulated-car.ts'

/** How one simulated visit went. */
export interface Visit {
  cause: string
  /** place of the right remedy, 1 = first; 0 = nowhere */
  place: number
  checks: number
  minutes: number
  /** P of the first remedy, and whether it is the right one */
  p: number
  right: boolean
  /** the visit ended with "not one of these" first */
  other: boolean
  asked: string[]
}

/** Which check next, given a turn: the conversation's own choice, or another order to compare it with. */
export type Chooser = (turn: Turn) => string | undefined

export const ownChoice: Chooser = (turn) =>
  turn.current && turn.current.kind !== 'complaint' ? turn.current.check.id : undefined

const MOST = 40

/** The outcome that a number stands for, as the conversation writes it down. */
function numberOutcome(r: Reasoner, check: CheckFile, answer: Answer): { outcome?: string } {
  if (!answer.reading) return {}
  const weights = r.weightsOf({ kind: 'answer', check: check.id, value: answer.reading.value }, {}, [])
  const outcome = weights && outcomeOfReading(r, check, weights)
  return outcome === undefined ? {} : { outcome }
}

/** Plays a visit through the conversation's own turns: what is asked, when asking is over, and the standing then. */
export async function visit(
  r: Reasoner,
  turner: Turner,
  car: SimulatedCar,
  role: Role,
  choose: Chooser,
  factsKnown = true,
): Promise<Visit> {
  const events: StoredEvent[] = []
  const put = (e: Record<string, unknown>) =>
    events.push({ at: '2026-01-01T00:00:00.000Z', by: role, cause: 'm', seq: events.length + 1, ...e } as CaseEvent &
      StoredEvent)
  put({
    type: 'opened',
    code: 'A1-000',
    shop: 'demo',
    language: 'en',
    knowledge: r.compiled.hash,
    facts: factsKnown ? car.facts : {},
  })
  put({ type: 'said', complaints: [car.complaint], circumstances: [], sure: true })
  for (const c of r.knowledge.cautions) put({ type: 'acknowledged', caution: c.id })
  const asked: string[] = []
  let minutes = 0
  let turn: Turn
  for (;;) {
    const state = foldCase({ id: 'case', events, words: {} }, r)
    turn = await turner(state, { role })
    if (turn.over || asked.length >= MOST) break
    const id = choose(turn)
    if (!id) break
    const check = r.check(id)!
    minutes += check.minutes + setUpMinutes(r.knowledge, state.setUp, check)
    asked.push(id)
    const answer = car.answer(id)
    put({ type: 'answered', check: id, ...answer, ...numberOutcome(r, check, answer) })
  }
  const right = r.knowledge.causes.find((c) => c.id === car.cause)?.remedy
  const place = turn.remedies.findIndex((x) => x.remedy === right) + 1
  return {
    cause: car.cause,
    place: right === undefined ? 0 : place,
    checks: asked.length,
    minutes,
    p: turn.remedies[0]!.p,
    right: turn.remedies[0]!.remedy === right,
    other: turn.remedies[0]!.remedy === undefined,
    asked,
  }
}
