import type { Prediction } from '../prediction.ts'
import { parallelPaths, tested } from './ohmmeter.ts'
import { between, type Probes } from './probes.ts'

/** A continuity tester: sounds below `belowOhms`. A meter's buzzer; common practice, no source. */
export const BUZZER = { testVolts: 2.5, sourceOhms: 2500, belowOhms: 40 }

/** Whether there is a connection, red being the tester's positive lead. */
export function continuity(p: Probes, query: { tester?: typeof BUZZER; part?: string } = {}): Prediction {
  const { testVolts, sourceOhms, belowOhms } = query.tester ?? BUZZER
  const open = between(p)
  if (!('kind' in open) && Math.abs(open.volts) > 0.02) {
    return { kind: 'live', volts: open.volts, why: 'there are volts between the probes: isolate the pack first' }
  }
  const test = tested(p.observed.circuit, p, { testVolts }, sourceOhms)
  const parallel = query.part === undefined ? undefined : parallelPaths(test.point, query.part, test.amps)
  return {
    kind: 'continuity',
    closed: test.ohms < belowOhms,
    ...(Number.isFinite(test.ohms) ? { ohms: test.ohms } : {}),
    ...(parallel ? { parallel } : {}),
  }
}
