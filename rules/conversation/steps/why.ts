import type { StepMessage } from '../../protocol/index.ts'
import { predicted } from '../../reasoning/next-check.ts'
import { evidenceFor } from '../compose/evidence.ts'
import type { Turn } from '../turn.ts'
import type { Decision, StepInput } from './types.ts'

/** Why this check, or why this cause: in the standing's own numbers. Changes nothing. */
export async function why(input: StepInput): Promise<Decision> {
  const message = input.message as Extract<StepMessage, { type: 'why' }>
  const { r, names } = input
  const { t } = names
  const turn = await input.turn()
  if (message.cause !== undefined) {
    const cause = r.lookup.cause.get(message.cause)
    if (cause === undefined) {
      return {
        refuse: {
          code: 'unknown-cause',
          text: t('refuse.unknown-cause', { id: message.cause }),
          mend: t('refuse.unknown-cause.mend'),
          field: 'cause',
        },
      }
    }
    const p = turn.ranked.find((x) => x.cause === cause)?.p ?? 0
    const lines = [t('why.cause', { name: names.cause(message.cause, input.caller.role), percent: percent(p) })]
    for (const { row } of evidenceFor(r, turn, names, new Set([cause]))) {
      lines.push(
        t(row.weight === 'against' ? 'why.against' : 'why.for', { question: row.question, answer: row.answer }),
      )
    }
    if (lines.length === 1) lines.push(t('why.nothing'))
    return { events: [], replies: [{ type: 'because', cause: message.cause, say: lines }] }
  }
  const current = turn.current
  const id = message.check ?? (current && current.kind !== 'complaint' ? current.check.id : undefined)
  const check = id === undefined ? undefined : r.check(id)
  if (!check) {
    return {
      refuse: {
        code: 'unknown-check',
        text: t('refuse.unknown-check', { id: id ?? '' }),
        mend: t('refuse.unknown-check.mend'),
        field: 'check',
      },
    }
  }
  const lines = [
    t('ask.reason.customer', { reason: names.check(check.id)!.text.reason }),
    ...outcomesSay(input, turn, check.id),
  ]
  return { events: [], replies: [{ type: 'because', check: check.id, say: lines }] }
}

/** For each outcome, which of the likeliest causes it would speak for: those it makes at least half as likely again. */
function outcomesSay(input: StepInput, turn: Turn, id: string): string[] {
  const { r, names } = input
  const index = r.lookup.check.get(id)!
  const compiled = r.compiled.checks[index]!
  if (compiled.observable < 0) return []
  const s = turn.standing
  const few = turn.ranked.filter((x) => x.id !== 'other').slice(0, 8)
  const lines: string[] = []
  predicted(s, index).forEach((fit, o) => {
    let total = 0
    const byCause = new Map<number, { mine: number; p: number }>()
    for (let h = 0; h < fit.length; h++) {
      total += s.p[h]! * fit[h]!
      const at = byCause.get(s.causeOf[h]!) ?? { mine: 0, p: 0 }
      at.mine += s.p[h]! * fit[h]!
      at.p += s.p[h]!
      byCause.set(s.causeOf[h]!, at)
    }
    const up = few.filter((x) => {
      const at = byCause.get(x.cause)!
      return at.p > 0 && at.mine / at.p > 1.5 * total
    })
    if (up.length === 0) return
    const causes = [...new Set(up.map((x) => names.cause(x.id, input.caller.role)))].slice(0, 3).join('; ')
    const label = names.outcome(names.check(id)!, compiled.outcomes[o]!).label
    lines.push(names.t('why.outcome', { outcome: label, points: 'up', causes }))
  })
  return lines
}

const percent = (p: number) => (p < 0.01 ? '<1' : String(Math.round(p * 100)))
