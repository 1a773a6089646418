import { WiringError } from '../errors.ts'
import type { Prediction } from '../prediction.ts'
import { tested } from './ohmmeter.ts'
import { between, type Probes } from './probes.ts'

/**
 * The diode range of a hand-held meter: about 1 mA from 3 V, and it shows the volts that are left between the probes, up to
 * 2 V. Common practice, no source.
 */
export const DIODE_RANGE = { testVolts: 3, sourceOhms: 2400, upTo: 2, resolution: 0.001 }
/** Volts from which on a circuit is live for it, as for an ohmmeter. */
const LIVE_VOLTS = 0.02

/** What the diode range shows, red being its positive lead: one way round, and with the probes changed over. */
export function diodeTest(p: Probes, range: typeof DIODE_RANGE = DIODE_RANGE): Prediction {
  if (!(range.testVolts > range.upTo && range.sourceOhms > 0)) {
    throw new WiringError('bad-instrument', 'diode range', 'it cannot drive what it shows', 'Give more test volts')
  }
  const open = between(p)
  if (!('kind' in open) && Math.abs(open.volts) > LIVE_VOLTS) {
    return { kind: 'live', volts: open.volts, why: 'there are volts between the probes: isolate the pack first' }
  }
  const shown = (red: number, black: number): number | undefined => {
    const { ohms, amps } = tested(p.observed.circuit, { red, black }, range, range.sourceOhms)
    const volts = Number.isFinite(ohms) ? ohms * amps : Number.POSITIVE_INFINITY
    return volts <= range.upTo ? Math.round(volts / range.resolution) * range.resolution : undefined
  }
  const [volts, swapped] = [shown(p.red, p.black), shown(p.black, p.red)]
  return { kind: 'diode', ...(volts !== undefined && { volts }), ...(swapped !== undefined && { swapped }) }
}

/** Less than this is no junction but a connection. Common practice, no source: silicon shows 0.4 to 0.8 V. */
const JUNCTION_VOLTS = 0.3

export type Conducts = 'one-way' | 'open' | 'shorted'

/** What a technician calls it; undefined where a path round the part makes it neither. */
export function conducts({ volts, swapped }: Extract<Prediction, { kind: 'diode' }>): Conducts | undefined {
  if (volts === undefined && swapped === undefined) return 'open'
  if (volts === undefined || swapped === undefined) return 'one-way'
  return Math.max(volts, swapped) < JUNCTION_VOLTS ? 'shorted' : undefined
}
