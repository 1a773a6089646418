import type { FindingBody } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { complaintsOf } from '../case-state.ts'
import type { Turn } from '../turn.ts'
import { cautionBody } from './caution.ts'
import { partPrice } from './estimate.ts'
import { evidenceFor } from './evidence.ts'
import type { Names } from './names.ts'
import { askedOf } from './why-first.ts'

/** The conclusion, once asking is over; null before. */
export function findingBody(r: Reasoner, turn: Turn, names: Names): FindingBody | null {
  if (!turn.over) return null
  const { t } = names
  const k = names.knowledge
  const role = turn.caller.role
  const top = turn.remedies[0]
  const causes = turn.ranked.filter(
    (x) =>
      x.id !== 'other' &&
      top?.remedy !== undefined &&
      r.compiled.remedies[r.compiled.remedyOf[x.cause]!] === top.remedy,
  )
  const heard = causes.filter((x) => x.p >= 0.1 * (top?.p ?? 0))
  const rows = heard.map((x) => ({ cause: x.id, name: names.cause(x.id, role), p: x.p, remedy: top!.remedy! }))
  const p = top?.p ?? 0
  const sure = p >= k.settings.sureEnough && top?.remedy !== undefined
  const evidence = evidenceFor(r, turn, names, new Set(heard.map((x) => x.cause))).map((e) => e.row)
  const first = k.causes.find((c) => c.id === heard[0]?.id)
  const until = [
    ...new Set(complaintsOf(turn.state).flatMap((id) => k.complaints.find((c) => c.id === id)?.text.until ?? [])),
  ]
  const body: FindingBody = {
    kind: 'other',
    causes: rows,
    p,
    sure,
    title: '',
    say: '',
    evidence,
    rootCauses: [],
    until,
    code: turn.state.code,
  }
  if (turn.asker === 'customer') {
    body.kind = 'hand-over'
    body.evidence = []
    // A customer hears a name only where it is the likeliest by far; else it would be a guess with a face.
    if (turn.stops.length > 0) {
      body.causes = []
      body.title = t('finding.stopped.title')
      body.say = t('finding.stopped.say')
      return body
    }
    const open = rows.length === 0 || p < 0.35
    body.causes = open ? [] : rows
    body.title = open
      ? t('finding.hand-over.open.title')
      : t('finding.hand-over.title', { plain: lowerFirst(rows[0]!.name) })
    body.say = open
      ? t('finding.hand-over.open.say')
      : t('finding.hand-over.say', { tenths: Math.max(1, Math.min(9, Math.round(p * 10))) })
    return body
  }
  if (top?.remedy === undefined || !first) {
    body.title = t('finding.other.title')
    body.say = t('finding.other.say')
    return body
  }
  const remedy = k.remedies.find((x) => x.id === top.remedy)!
  const percent = Math.min(99, Math.round(p * 100))
  const note = first.text.note ?? ''
  const count = evidence.filter((e) => e.weight !== 'against').length
  body.kind = rows.length > 1 ? 'one-remedy' : 'cause'
  if (!sure) {
    body.title = t('finding.unsure.title', { name: rows[0]!.name })
    body.say = t('finding.unsure.say', { percent, note }).trim()
  } else if (rows.length > 1) {
    body.title = remedy.text.name
    body.say = t('finding.one-remedy.say', { names: rows.map((x) => x.name).join('; '), note }).trim()
  } else {
    body.title = rows[0]!.name
    body.say = t('finding.cause.say', { count, percent, note }).trim()
  }
  const asked = askedOf(
    r,
    turn,
    names,
    remedy.id,
    heard.map((x) => x.id),
  )
  body.rootCauses = asked.map(({ root }) => ({ id: root.id, name: root.text.name, ask: root.text.ask }))
  body.remedy = {
    id: remedy.id,
    name: remedy.text.name,
    steps: [...remedy.text.steps],
    minutes: remedy.minutes,
    part: remedy.part.name,
    ...partPrice(remedy, turn.state.money),
    cautions: (remedy.cautions ?? []).map((id) =>
      cautionBody(k.cautions.find((c) => c.id === id)!, role, turn.state.acknowledged),
    ),
  }
  body.proof = { check: remedy.proof.check, title: names.check(remedy.proof.check)!.text.ask }
  return body
}

const lowerFirst = (text: string) =>
  (/^[A-Z][a-z]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text).replace(/\.$/, '')
