import type { CheckFile } from '../../schema/knowledge.ts'
import type { Reasoner } from '../reasoner.ts'

/** As written in their files; the same in another order counts as changed. */
const written = (x: unknown, y: unknown) => JSON.stringify(x) === JSON.stringify(y)

/** Whether rules say the same of a cause at a check in both; a cause of undefined is a sound car. */
export type Unchanged = (check: CheckFile, cause: string | undefined) => boolean

/**
 * Compares two knowledges check by check and cause by cause, so that what one laid over the other does not touch need not
 * be looked at again. Where their car facts differ, everything counts as changed.
 */
export function unchangedSince(r: Reasoner, before: Reasoner): Unchanged {
  const sameFacts =
    written(r.compiled.facts, before.compiled.facts) && written(r.knowledge.carFacts, before.knowledge.carFacts)
  const sameCheck = remembered((id) => written(r.check(id), before.check(id)))
  const observables = (x: Reasoner, id: string) => x.compiled.observables[x.lookup.observable.get(id) ?? -1]
  const sameObservable = remembered((id) => {
    const [now, then] = [observables(r, id), observables(before, id)]
    return (
      now !== undefined &&
      then !== undefined &&
      written(now.states, then.states) &&
      written(now.facts, then.facts) &&
      written([...now.usual], [...then.usual]) &&
      written(r.lookup.observableFile.get(id), before.lookup.observableFile.get(id))
    )
  })
  const causeFile = (x: Reasoner, id: string) => x.knowledge.causes[x.lookup.cause.get(id) ?? -1]
  const sameCause = remembered((id) => written(causeFile(r, id)?.when, causeFile(before, id)?.when))
  return (check, cause) => {
    const id = check.observable
    if (!sameFacts || id === undefined || !sameCheck(check.id) || !sameObservable(id)) return false
    if (cause === undefined) return true
    const [h, g] = [r.lookup.cause.get(cause), before.lookup.cause.get(cause)]
    if (h === undefined || g === undefined || !sameCause(cause)) return false
    const [now, then] = [observables(r, id)!, observables(before, id)!]
    const n = now.states.length
    const [causes, causesThen] = [r.compiled.causes.length, before.compiled.causes.length]
    const combinations = now.table.length / (causes * n)
    for (let at = 0; at < combinations; at++) {
      for (let i = 0; i < n; i++) {
        if (now.table[(at * causes + h) * n + i] !== then.table[(at * causesThen + g) * n + i]) return false
      }
    }
    return true
  }
}

function remembered(same: (id: string) => boolean): (id: string) => boolean {
  const known = new Map<string, boolean>()
  return (id) => {
    let is = known.get(id)
    if (is === undefined) {
      is = same(id)
      known.set(id, is)
    }
    return is
  }
}
