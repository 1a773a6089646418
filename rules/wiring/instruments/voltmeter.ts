import { INSTRUMENTS, toleranceAt } from '../../handbook/instruments.ts'
import { numberOf, type Prediction } from '../prediction.ts'
import { spreadOf } from '../sensitivity.ts'
import { between, floating, type Probes } from './probes.ts'

/** Input resistance of an ordinary hand-held meter on volts. Common practice, no source. */
export const VOLTMETER_OHMS = 10e6

/** DC volts, the mean over a cycle; red against black. The meter's own resistance loads the circuit. */
export function voltmeter(p: Probes): Prediction {
  const open = between(p)
  if ('kind' in open) return open
  const loading = VOLTMETER_OHMS / (VOLTMETER_OHMS + open.ohms)
  const mean = open.volts * loading
  const spread = spreadOf(p.observed.moments, { volts: [p.red, p.black] })
  return numberOf('V', mean, spread, toleranceAt(INSTRUMENTS.voltmeter, mean))
}

/** Relative standard deviation of the supply's volts. Estimate: EN 50160 allows ±10 %, most places keep within half. */
const SUPPLY_SPREAD = 0.03

/** AC volts, rms. */
export function voltmeterAc(p: Probes): Prediction {
  const { alternating } = p.observed.point
  const mean = alternating?.rms(p.red, p.black)
  if (mean === undefined) {
    if (alternating || p.observed.point.island[p.red] !== p.observed.point.island[p.black]) return floating(p)
  }
  const volts = mean ?? 0
  const sd = SUPPLY_SPREAD * volts
  return numberOf(
    'V',
    volts,
    { sd, dueTo: [{ id: 'supply.volts', sd }] },
    toleranceAt(INSTRUMENTS['voltmeter-ac'], volts),
  )
}
