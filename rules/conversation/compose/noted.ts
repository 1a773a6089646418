import type { Noted } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { TOOLS } from '../../schema/car.ts'
import { complaintsOf } from '../case-state.ts'
import type { TextKey } from '../texts/index.ts'
import type { Turn } from '../turn.ts'
import type { CaseRecord } from '../types.ts'
import type { Names } from './names.ts'
import { askWhyBody, toDoBody } from './to-do.ts'
import { workBody } from './work.ts'

export function notedBody(
  r: Reasoner,
  turn: Turn,
  names: Names,
  record: CaseRecord,
  say?: string,
): Omit<Noted, 'v' | 're' | 'case' | 'seq'> {
  const { state } = turn
  const { t } = names
  const list = (parts: readonly string[] | undefined) => (parts ?? []).map((x) => names.part(x)).join(', ')
  const bridged = state.setUp.carState.bridged ?? []
  const lifted = state.setUp.carState.lifted ?? []
  const reminders: string[] = []
  if (bridged.length > 0) reminders.push(t('remind.bridged', { part: list(bridged) }))
  if (lifted.length > 0) reminders.push(t('remind.lifted', { part: list(lifted) }))
  for (const c of turn.reminders)
    if (!(bridged.length > 0 && c.id.includes('bridge'))) reminders.push(names.caution(c).text.hazard)
  const complaints = complaintsOf(state).map(names.complaint)
  const body: Omit<Noted, 'v' | 're' | 'case' | 'seq'> = {
    type: 'noted',
    trail: state.given.map((g) => ({
      check: g.check,
      question: names.question(g),
      answer: names.answer(g),
      ...(g.outcome !== undefined ? { outcome: g.outcome } : {}),
      ...(g.reading ? { reading: g.reading } : {}),
      ...(g.reading?.instrument ? { instrument: instrumentName(names, g.reading.instrument) } : {}),
      by: g.by,
      seq: g.seq,
      at: g.at,
      ...(turn.disagreement?.check === g.check ? { doubted: true } : {}),
    })),
    facts: state.facts,
    carState: state.setUp.carState,
    reminders: turn.asker === 'customer' ? [] : reminders,
    repaired: state.repaired.map((x) => ({
      remedy: x.remedy,
      name: names.knowledge.remedies.find((y) => y.id === x.remedy)?.text.name ?? x.remedy,
      seq: x.seq,
    })),
    notes: state.notes.map((n) => ({ seq: n.seq, text: record.words[n.words] ?? '', by: n.by, at: n.at })),
    status: state.status,
  }
  const work = workBody(state, names, record)
  if (work) body.work = work
  const toDo = toDoBody(r, turn, names)
  if (toDo) body.toDo = toDo
  const askWhy = askWhyBody(r, turn, names)
  if (askWhy) body.askWhy = askWhy
  if (state.photos.length > 0) {
    body.photos = state.photos.map(({ photo, media, bytes, words, by, seq, at }) => {
      const text = words === undefined ? undefined : record.words[words]
      return { photo, media, bytes, ...(text === undefined ? {} : { text }), by, seq, at }
    })
  }
  if (say) body.say = say
  if (state.tag) body.tag = state.tag
  if (complaints.length > 0) body.complaint = complaints.join('; ')
  return body
}

/** A page may name an instrument of its own. */
const instrumentName = (names: Names, id: string): string =>
  (TOOLS as readonly string[]).includes(id) ? names.t(`tool.${id}` as TextKey) : id
