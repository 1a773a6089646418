import type { Standing as StandingMessage } from '../../protocol/index.ts'
import { branch, predicted } from '../../reasoning/next-check.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { after } from '../../reasoning/set-up.ts'
import type { Standing } from '../../reasoning/standing.ts'
import type { TextKey } from '../texts/index.ts'
import { CUSTOMER_QUESTIONS, type Turn } from '../turn.ts'
import { estimateOf } from './estimate.ts'
import type { Names } from './names.ts'

const SHOWN = 5
/** Among so many checks the rough look ahead is taken. */
const FEW = 24
/** Below this a cause is out of the question, for the one line that says so. */
const OUT = 0.002

export function standingBody(
  r: Reasoner,
  turn: Turn,
  names: Names,
): Omit<StandingMessage, 'v' | 're' | 'case' | 'seq'> {
  const role = turn.caller.role
  const rows = turn.ranked
    .filter((x) => x.id !== 'other')
    .slice(0, SHOWN)
    .filter((x) => x.p >= 0.005)
    .map((x) => ({
      cause: x.id,
      name: names.cause(x.id, role),
      p: x.p,
      remedy: r.compiled.remedies[r.compiled.remedyOf[x.cause]!] ?? '',
    }))
  const shown = new Set(rows.map((x) => x.cause))
  const rest = turn.ranked.filter((x) => x.id !== 'other' && !shown.has(x.id) && x.p >= OUT)
  const other = turn.ranked.find((x) => x.id === 'other')?.p ?? 0
  const body: Omit<StandingMessage, 'v' | 're' | 'case' | 'seq'> = {
    type: 'standing',
    rows,
    others: { count: rest.length, p: rest.reduce((sum, x) => sum + x.p, 0) },
    other,
    out: outOf(turn, names),
    lamp: lampOf(turn, names),
    remaining: remainingOf(r, turn),
    estimate: estimateOf(r, turn),
  }
  if (turn.disagreement) {
    const { check, confirmed, pairs } = turn.disagreement
    const given = turn.state.given.find((g) => g.check === check)!
    const question = names.question(given)
    const answer = names.answer(given)
    body.disagreement = {
      check,
      question,
      answer,
      say: confirmed ? names.t('disagree.confirmed') : names.t('disagree.say', { question, answer }),
      pairs: pairs().map((x) => ({ causes: [...x.causes], names: x.causes.map((c) => names.cause(c, role)), p: x.p })),
    }
  }
  return body
}

/** Components all of whose causes are out, though the complaint alone left them in. */
function outOf(turn: Turn, names: Names): string[] {
  if (turn.asker === 'customer') return []
  const alive = new Map<string, number>()
  for (const x of turn.ranked) {
    const component = x.id.split('.')[0]!.replace(/-\d+$/, '')
    alive.set(component, (alive.get(component) ?? 0) + x.p)
  }
  return [...alive]
    .filter(([component, p]) => p < OUT && component !== 'other')
    .map(([component]) => names.part(component))
    .sort()
}

function lampOf(turn: Turn, names: Names): { brightness: number; say: string } {
  const top = turn.remedies[0]
  const p = top && top.remedy !== undefined ? top.p : 0
  // A customer's card never says found: the shop proves it.
  const found = turn.asker === 'technician' && turn.over && p >= 0.8
  const key: TextKey = found
    ? 'lamp.lit'
    : p >= 0.8
      ? 'lamp.bright'
      : p >= 0.5
        ? 'lamp.half'
        : p >= 0.25
          ? 'lamp.glow'
          : 'lamp.dark'
  return { brightness: found ? 1 : Math.min(0.95, p), say: names.t(key) }
}

/** About how many more checks, if each gives its likeliest answer. */
function remainingOf(r: Reasoner, turn: Turn): { checks: number; minutes: number } {
  if (turn.over || !turn.current) return { checks: 0, minutes: 0 }
  let s: Standing = turn.standing
  let checks = 0
  let minutes = 0
  // The checks worth most now are those that come next, nearly always.
  const few = turn.choice.worth.slice(0, FEW).map((j) => j.option.check)
  const done = new Set<number>()
  let setUp = turn.state.setUp
  let next = turn.current.kind === 'complaint' ? undefined : r.lookup.check.get(turn.current.check.id)
  const limit =
    turn.asker === 'customer'
      ? Math.max(0, CUSTOMER_QUESTIONS - turn.state.given.filter((g) => r.check(g.check)).length)
      : 12
  while (checks < limit) {
    if (next === undefined) {
      const left = few.filter((c) => !done.has(c))
      const choice = r.chooseAmong(s, left, setUp)
      const best = choice.worth[0]
      if (!best) break
      next = best.option.check
      minutes += best.option.minutes
    } else minutes += r.check(r.compiled.checks[next]!.id)!.minutes
    const check = r.check(r.compiled.checks[next]!.id)!
    checks++
    done.add(next)
    setUp = after(setUp, check)
    let likeliest = 0
    let most = -1
    predicted(s, next).forEach((fit, outcome) => {
      let p = 0
      for (let h = 0; h < fit.length; h++) p += s.p[h]! * fit[h]!
      if (p > most) {
        most = p
        likeliest = outcome
      }
    })
    s = branch(s, next, likeliest).standing
    next = undefined
  }
  return { checks, minutes: Math.round(minutes) }
}
