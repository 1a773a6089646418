import { lampAmps, lampLight, lampWord } from '../../handbook/lamp.ts'
import { observe } from '../cycle.ts'
import { branch } from '../operate.ts'
import type { LampPrediction, Prediction } from '../prediction.ts'
import { between, type Probes } from './probes.ts'

/** A test lamp rated for the pack; without it, one of the pack's nominal volts and 10 W. Common practice, no source. */
export interface TestLamp {
  volts: number
  watts: number
}

/**
 * How a test lamp burns between two points. Its filament is far below its hot resistance when it gets little, so that
 * its resistance and the circuit are solved in turn.
 */
export function testLamp(p: Probes, lamp?: TestLamp): Prediction {
  const { circuit } = p.observed
  const rated = lamp ?? { volts: circuit.packVolts, watts: 10 }
  const open = between(p)
  if ('kind' in open) return burning(0, rated)
  let volts = lampVolts(Math.abs(open.volts), open.ohms, rated)
  // What flows through the lamp can move a contactor, so the lamp goes into the circuit and all of it is solved again.
  for (let round = 0; round < 20 && volts > 0; round++) {
    const ohms = volts / lampAmps(Math.min(volts, 1000), rated.volts, rated.watts)
    const at = observe(circuit, [branch('test-lamp', 'filament', p.red, p.black, { ohms })])
    if (at.point.chatters.length > 0) {
      return { kind: 'chatters', parts: at.point.chatters, why: 'with the lamp there, something pulls in and lets go' }
    }
    const next = Math.abs(at.volts[p.red]! - at.volts[p.black]!)
    if (Math.abs(next - volts) < 1e-4 * (1 + volts)) break
    volts = 0.5 * (next + volts)
  }
  return burning(volts, rated)
}

/** Volts at a lamp behind `ohms`, by bisection: its current only rises with its volts. */
function lampVolts(open: number, ohms: number, rated: TestLamp): number {
  let [low, high] = [0, open]
  for (let k = 0; k < 50; k++) {
    const mid = (low + high) / 2
    if (mid + ohms * lampAmps(Math.min(mid, 1000), rated.volts, rated.watts) > open) high = mid
    else low = mid
  }
  return (low + high) / 2
}

function burning(volts: number, rated: TestLamp): LampPrediction {
  const at = Math.min(volts, 1000)
  return {
    kind: 'lamp',
    brightness: lampWord(at, rated.volts),
    volts,
    watts: at * lampAmps(at, rated.volts, rated.watts),
    light: lampLight(at, rated.volts),
  }
}

/**
 * "Brighter than at the last click?" An eye tells a fifth more light side by side in time. Common practice, no source.
 */
export function brighter(now: LampPrediction, before: LampPrediction): boolean {
  return now.brightness !== 'off' && now.light > 1.2 * before.light
}
