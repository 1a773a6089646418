import { measuredPackVolts } from '../../reasoning/evidence.ts'
import { PACK_AT_REST } from '../../reasoning/reading.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { predictionOf } from '../../reasoning/wired.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import type { Turn } from '../turn.ts'

/** "About 31 V on a 36 V car, 42 V on a 48 V car": figures for cars by their nominal volts, in any language. */
const BY_NOMINAL_VOLTS = /\b(24|36|48|72) V\b/

/**
 * What good looks like. Where the wiring says what this very car should read, a sentence with figures for cars of this and
 * that many volts is left out: the car's own band stands in its place.
 */
export function goodOf(r: Reasoner, turn: Turn, check: CheckFile): string | undefined {
  const { good } = check.text
  if (good === undefined || !check.reading || check.observable === PACK_AT_REST) return good
  const measured = measuredPackVolts(turn.learned, r.knowledge)
  // Neither said nor measured: the wiring would only take the usual pack for granted.
  if (turn.state.facts.packVolts === undefined && measured === undefined) return good
  if (predictionOf(check, turn.state.facts, measured)?.kind !== 'number') return good
  const kept = good
    .split(/(?<=[.;])\s+/)
    .filter((sentence) => !BY_NOMINAL_VOLTS.test(sentence))
    .join(' ')
  return kept === '' ? undefined : kept[0]!.toUpperCase() + kept.slice(1)
}
