import type { Noted } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { isApproved, isDeclined, toDo } from '../../record/work.ts'
import type { Turn } from '../turn.ts'
import type { Names } from './names.ts'
import { type AskedWhy, askedOf, causesFor, unansweredFirst } from './why-first.ts'

type ToDo = NonNullable<Noted['toDo']>
type AskWhy = NonNullable<Noted['askWhy']>

/**
 * What is still to do on the way from the finding to the closed card, in the order in which it is done, and before what.
 * The same questions are asked here as by the steps that refuse, so that the list is why they would.
 */
export function toDoBody(r: Reasoner, turn: Turn, names: Names): ToDo | undefined {
  const { state } = turn
  if (turn.asker === 'customer' || state.status === 'closed') return undefined
  const { t } = names
  const list: ToDo = []
  const nameOf = (id: string) => names.knowledge.remedies.find((x) => x.id === id)?.text.name ?? id
  const remedy = foundRemedy(turn)
  const next = new Set(state.work.approved.flatMap((a) => a.remedies).filter((id) => isApproved(state.work, id)))
  // What was refused is decided: nothing is to do for it.
  if (remedy !== undefined && !isDeclined(state.work, remedy)) next.add(remedy)
  for (const { remedy: done } of state.repaired) next.delete(done)
  for (const id of next) {
    if (!isApproved(state.work, id)) {
      list.push({ what: 'approve', before: 'repaired', remedy: id, text: t('to-do.approve', { name: nameOf(id) }) })
    }
    for (const root of unansweredFirst(r, turn, names, id)) {
      const text = t('to-do.root-cause', { name: root.text.name })
      list.push({ what: 'root-cause', before: 'repaired', remedy: id, root: root.id, text })
    }
  }
  const parts = (components: readonly string[]) => components.map(names.part).join(', ')
  const { bridged = [], lifted = [] } = state.setUp.carState
  const begun = state.repaired.length > 0 || next.size > 0 || state.work.handBack.size > 0
  if (state.repaired.length > 0 && !state.proved)
    list.push({ what: 'proof', before: 'sign-off', text: t('to-do.proof') })
  if (bridged.length > 0)
    list.push({ what: 'bridge', before: 'close', text: t('to-do.bridge', { part: parts(bridged) }) })
  if (lifted.length > 0) list.push({ what: 'lead', before: 'close', text: t('to-do.lead', { part: parts(lifted) }) })
  if (begun) {
    for (const item of toDo(state.work)) {
      list.push({ what: 'hand-back', before: 'sign-off', item, text: t(`hand-back.${item}`) })
    }
  }
  return list.length === 0 && !begun ? undefined : list
}

/** What to ask about why it failed: of the repair found, and of those done. */
export function askWhyBody(r: Reasoner, turn: Turn, names: Names): AskWhy | undefined {
  if (turn.asker === 'customer') return undefined
  const asked: AskedWhy[] = []
  const add = (more: readonly AskedWhy[]) => {
    for (const x of more) if (!asked.some((y) => y.root.id === x.root.id)) asked.push(x)
  }
  for (const done of turn.state.repaired) add(askedOf(r, turn, names, done.remedy, done.causes))
  const remedy = foundRemedy(turn)
  if (remedy !== undefined) add(askedOf(r, turn, names, remedy, causesFor(r, turn, remedy)))
  if (asked.length === 0) return undefined
  return asked.map(({ root, first }) => ({ root: root.id, name: root.text.name, ask: root.text.ask, first }))
}

const foundRemedy = (turn: Turn): string | undefined => (turn.over ? turn.remedies[0]?.remedy : undefined)
