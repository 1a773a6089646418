import { type Awg, awgOhmPerMetre } from '../handbook/conductor-awg.ts'
import { metricOhmPerMetre } from '../handbook/conductor-metric.ts'
import { WiringError } from './errors.ts'

/**
 * Ohms at 20 °C of a stranded copper conductor, from the handbook's tables.
 *
 * @param gauge "AWG 6", "AWG 2/0" or "16 mm2"
 * @param metres length
 */
export function conductorOhms(gauge: string, metres: number): number {
  const [, awg] = /^AWG (\S+)$/.exec(gauge) ?? []
  const [, metric] = /^(\d+(?:\.\d+)?) mm2$/.exec(gauge) ?? []
  try {
    if (awg !== undefined) return metres * awgOhmPerMetre(awg as Awg)
    if (metric !== undefined) return metres * metricOhmPerMetre(Number(metric))
  } catch (error) {
    throw new WiringError('impossible-netlist', gauge, (error as Error).message, 'Use a size of the handbook')
  }
  throw new WiringError('impossible-netlist', gauge, 'not a conductor size', 'Write it as "AWG 6" or "16 mm2"')
}
