import { HAND_BACK_ITEMS, type StoredEvent, type Work } from '../../protocol/index.ts'
import { approvedUpTo, inForce } from '../../record/work.ts'
import type { CaseState } from '../case-state.ts'
import type { CaseRecord } from '../types.ts'
import type { Names } from './names.ts'

/** Contact, approval, hand-back and sign-off for people; undefined where nothing of it is on record. */
export function workBody(state: CaseState, names: Names, record: CaseRecord): Work | undefined {
  const w = state.work
  if (!w.contact && !w.signedOff && [w.approved, w.declined].every((x) => x.length === 0)) {
    if (w.rootCauses.size === 0 && w.handBack.size === 0) return undefined
  }
  const text = (key: string | undefined) => {
    const kept = key === undefined ? undefined : record.words[key]
    return kept === undefined ? {} : { text: kept }
  }
  const stamped = (e: StoredEvent) => ({
    seq: e.seq,
    by: e.by,
    at: e.at,
    ...(e.who === undefined ? {} : { who: e.who }),
  })
  const remedies = (ids: readonly string[]) =>
    ids.map((id) => ({ remedy: id, name: names.knowledge.remedies.find((x) => x.id === id)?.text.name ?? id }))
  const money = (e: { currency?: string }) => (e.currency === undefined ? {} : { currency: e.currency })
  const standing = inForce(w)
  const upTo = approvedUpTo(w)
  const body: Work = {
    approved: w.approved.map((e) => ({
      ...stamped(e),
      remedies: remedies(e.remedies),
      upTo: e.upTo,
      ...money(e),
      way: e.way,
      ...text(e.words),
      inForce: standing.includes(e),
    })),
    ...(upTo === undefined ? {} : { upTo }),
    declined: w.declined.map((e) => ({ ...stamped(e), remedies: remedies(e.remedies), ...text(e.words) })),
    rootCauses: [...w.rootCauses.values()].map((e) => ({
      ...stamped(e),
      root: e.root,
      name: names.knowledge.rootCauses.find((x) => x.id === e.root)?.text.name ?? e.root,
      found: e.found,
      ...text(e.words),
    })),
    handBack: HAND_BACK_ITEMS.map((item) => {
      const done = w.handBack.get(item)
      return { item, name: names.t(`hand-back.${item}`), ...(done ? { result: done.result, ...text(done.words) } : {}) }
    }),
  }
  if (w.contact) {
    const name = w.contact.name === undefined ? undefined : record.words[w.contact.name]
    const phone = w.contact.phone === undefined ? undefined : record.words[w.contact.phone]
    if (name !== undefined || phone !== undefined) {
      body.contact = { ...(name === undefined ? {} : { name }), ...(phone === undefined ? {} : { phone }) }
    }
  }
  if (w.signedOff) {
    body.signedOff = {
      ...stamped(w.signedOff),
      ...(w.signedOff.charged === undefined ? {} : { charged: w.signedOff.charged }),
      ...money(w.signedOff),
      ...text(w.signedOff.words),
    }
  }
  return body
}
