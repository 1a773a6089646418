import { INSTRUMENTS, toleranceAt } from '../../handbook/instruments.ts'
import type { Observed } from '../cycle.ts'
import { near, WiringError } from '../errors.ts'
import { ampsThrough } from '../operate.ts'
import { numberOf, type Prediction } from '../prediction.ts'
import { spreadOf } from '../sensitivity.ts'

/** DC amperes through a part (or a piece of one), from its first to its second end. 0 where it is lifted or open. */
export function clampAmmeter(observed: Observed, around: string): Prediction {
  const { circuit, moments } = observed
  const at = moments[0]!.branches.find((b) => b.id === around) ?? moments[0]!.branches.find((b) => b.part === around)
  if (!at) {
    const known = new Set(circuit.netlist.parts.flatMap((p) => [p.id]))
    const part = [...known].find((id) => around === id || around.startsWith(`${id}.`))
    if (part === undefined) {
      throw new WiringError(
        'unknown-part',
        around,
        'no such part in this circuit',
        `Clamp a part: ${near(around, known)}`,
      )
    }
    return numberOf('A', 0, { sd: 0, dueTo: [] }, toleranceAt(INSTRUMENTS['clamp-ammeter'], 0))
  }
  let mean = 0
  for (const m of moments) mean += ampsThrough(m.branches.find((b) => b.id === at.id)!, m.solved.volts) / moments.length
  const tolerance = toleranceAt(INSTRUMENTS['clamp-ammeter'], Math.max(-1000, Math.min(1000, mean)))
  return numberOf('A', mean, spreadOf(moments, { ampsOf: at.id }), tolerance)
}
