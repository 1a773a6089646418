import { foldCase } from '../../rules/conversation/case-state.ts'
import { outcomeOfReading, type Turn, type Turner } from '../../rules/conversation/turn.ts'
import type { CaseEvent, Role, StoredEvent } from '../../rules/protocol/index.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { setUpMinutes } from '../../rules/reasoning/set-up.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import type { CheckFile } from '../../rules/schema/knowledge.ts'
import type { Answer, SimulatedCar } from './simulated-car.ts'

/** How one simulated visit went. */
export interface Visit {
  cause: string
  /** drive family of the car */
  drive: string
  /** place of the right remedy, 1 = first; 0 = nowhere */
  place: number
  checks: number
  minutes: number
  /** P of the first remedy, and whether it is the right one */
  p: number
  right: boolean
  /** the visit ended with "not one of these" first */
  other: boolean
  /** repairs tried until the car was fixed, or "not one of these" stood first, or nobody would go on */
  repairs: number
  /** how it ended */
  end: 'fixed' | 'other' | 'given-up'
  /** asking ended of itself */
  over: boolean
  asked: string[]
}

/** Which check next, given a turn: the conversation's own choice, or another order to compare it with. */
export type Chooser = (turn: Turn) => string | undefined

export const ownChoice: Chooser = (turn) =>
  turn.current && turn.current.kind !== 'complaint' ? turn.current.check.id : undefined

const MOST = 40
/** A shop fits no more parts than this before it sends the car away. */
const MOST_REPAIRS = 3

/** The outcome that a number stands for, as the conversation writes it down. */
function numberOutcome(r: Reasoner, check: CheckFile, answer: Answer, facts: CarFacts): { outcome?: string } {
  if (!answer.reading) return {}
  const weights = r.weightsOf({ kind: 'answer', check: check.id, value: answer.reading.value }, facts, [])
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
  /** the fault is not in the knowledge: no repair mends it */
  absent = false,
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
  const right = r.knowledge.causes.find((c) => c.id === car.cause)?.remedy
  /** Asks until asking is over. */
  const ask = async (): Promise<Turn> => {
    const until = asked.length + MOST
    for (;;) {
      const turn = await turner(foldCase({ id: 'case', events, words: {} }, r), { role })
      if (turn.over || turn.why || asked.length >= until) return turn
      const id = choose(turn)
      if (!id) return turn
      const check = r.check(id)!
      minutes += check.minutes + setUpMinutes(r.knowledge, turn.state.setUp, check)
      asked.push(id)
      const answer = car.answer(id, turn.current?.kind === 'proof')
      put({ type: 'answered', check: id, ...answer, ...numberOutcome(r, check, answer, factsKnown ? car.facts : {}) })
    }
  }
  const first = await ask()
  const found: Omit<Visit, 'repairs' | 'end'> = {
    cause: car.cause,
    drive: car.facts.drive ?? '',
    place: placeOf(first, right),
    checks: asked.length,
    minutes,
    p: first.remedies[0]!.p,
    right: first.remedies[0]!.remedy === right,
    other: first.remedies[0]!.remedy === undefined,
    over: first.over,
    asked: [...asked],
  }
  // Then the likeliest repair is tried, and its proof, as long as there is one to try.
  let turn = first
  let repairs = 0
  const tried = new Set<string>()
  let end: Visit['end'] = 'given-up'
  while (role === 'technician' && repairs < MOST_REPAIRS) {
    // What was fitted and did not help is not fitted again.
    const { remedy } = turn.remedies.find((x) => x.remedy === undefined || !tried.has(x.remedy))!
    if (remedy === undefined) {
      end = 'other'
      break
    }
    repairs++
    tried.add(remedy)
    if (remedy === right && !absent) {
      end = 'fixed'
      break
    }
    put({ type: 'repaired', remedy })
    turn = await ask()
    if (turn.why === 'proved') {
      // The part's own proof holds, but what the customer complained of is still there on the road.
      put({ type: 'said', complaints: [car.complaint], circumstances: [], sure: true })
      turn = await ask()
    }
  }
  if (
    end !== 'fixed' &&
    turn.remedies.find((x) => x.remedy === undefined || !tried.has(x.remedy))!.remedy === undefined
  )
    end = 'other'
  return { ...found, repairs, end }
}

/** Among the repairs that one would try: "not one of these" takes a place only where it stands first. */
function placeOf(turn: Turn, right: string | undefined): number {
  const list = turn.remedies.filter((x, i) => i === 0 || x.remedy !== undefined)
  return right === undefined ? 0 : list.findIndex((x) => x.remedy === right) + 1
}
