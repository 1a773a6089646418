import { HAND_BACK_ITEMS, type StoredEvent } from '../protocol/index.ts'

type Of<T extends StoredEvent['type']> = Extract<StoredEvent, { type: T }>
export type HandBackItem = (typeof HAND_BACK_ITEMS)[number]

/** What was agreed, done and signed for in a case, as its events leave it. Texts are keys of what stands beside the log. */
export interface WorkState {
  contact?: Of<'contact'>
  approved: Of<'approved'>[]
  declined: Of<'declined'>[]
  rootCauses: Map<string, Of<'root-cause'>>
  handBack: Map<HandBackItem, Of<'handed-back'>>
  signedOff?: Of<'signed-off'>
}

export const noWork = (): WorkState => ({ approved: [], declined: [], rootCauses: new Map(), handBack: new Map() })

/** Takes one event in; a later repair or a part bridged again undoes what was gone through before. */
export function addToWork(work: WorkState, event: StoredEvent): void {
  switch (event.type) {
    case 'contact':
      work.contact = event
      break
    case 'approved':
      work.approved.push(event)
      break
    case 'declined':
      work.declined.push(event)
      break
    case 'root-cause':
      work.rootCauses.set(event.root, event)
      break
    case 'handed-back':
      work.handBack.set(event.item, event)
      break
    case 'signed-off':
      work.signedOff = event
      break
    case 'repaired':
      work.handBack.clear()
      work.signedOff = undefined
      break
    case 'car-state':
      if (event.state.bridged?.length) {
        work.handBack.delete('bridges-out')
        work.signedOff = undefined
      }
      if (event.state.lifted?.length) {
        work.handBack.delete('leads-back')
        work.signedOff = undefined
      }
      break
  }
}

export function workOf(events: readonly StoredEvent[]): WorkState {
  const work = noWork()
  for (const event of events) addToWork(work, event)
  return work
}

export const toDo = (work: WorkState): HandBackItem[] => HAND_BACK_ITEMS.filter((item) => !work.handBack.has(item))

/**
 * Approvals still in force: a later approval of one of the same remedies takes the place of an earlier one, and a later
 * refusal of all its remedies ends it.
 */
export function inForce(work: WorkState): Of<'approved'>[] {
  return work.approved.filter((a) => {
    const again = work.approved.some((b) => b.seq > a.seq && b.remedies.some((r) => a.remedies.includes(r)))
    const refused = work.declined.filter((d) => d.seq > a.seq).flatMap((d) => d.remedies)
    return !again && !a.remedies.every((r) => refused.includes(r))
  })
}

/** Has somebody agreed to this repair, and nobody refused it since? */
export const isApproved = (work: WorkState, remedy: string): boolean =>
  inForce(work).some(
    (a) => a.remedies.includes(remedy) && !work.declined.some((d) => d.seq > a.seq && d.remedies.includes(remedy)),
  )

/** Was the last word on this repair a no? */
export const isDeclined = (work: WorkState, remedy: string): boolean =>
  work.declined.some((d) => d.remedies.includes(remedy)) && !isApproved(work, remedy)

/** The most that may be charged, in the shop's money; undefined where nothing was agreed. */
export function approvedUpTo(work: WorkState): number | undefined {
  const all = inForce(work)
  // In hundredths: sums of money as binary fractions drift.
  return all.length === 0 ? undefined : all.reduce((sum, a) => sum + Math.round(a.upTo * 100), 0) / 100
}
