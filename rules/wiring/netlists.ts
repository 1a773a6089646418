import acController from '../knowledge/netlists/ac-controller.json' with { type: 'json' }
import highFrequency from '../knowledge/netlists/high-frequency.json' with { type: 'json' }
import resistorContactor from '../knowledge/netlists/resistor-contactor.json' with { type: 'json' }
import resistorSliding from '../knowledge/netlists/resistor-sliding.json' with { type: 'json' }
import separateField from '../knowledge/netlists/separate-field-controller.json' with { type: 'json' }
import seriesController from '../knowledge/netlists/series-controller.json' with { type: 'json' }
import transformerAutomatic from '../knowledge/netlists/transformer-automatic.json' with { type: 'json' }
import transformerTimer from '../knowledge/netlists/transformer-timer.json' with { type: 'json' }
import { WiringError } from './errors.ts'
import { type Netlist, parseNetlist } from './netlist.ts'

const FILES: Record<string, unknown> = {
  'resistor-contactor': resistorContactor,
  'resistor-sliding': resistorSliding,
  'series-controller': seriesController,
  'separate-field-controller': separateField,
  'ac-controller': acController,
  'transformer-timer': transformerTimer,
  'transformer-automatic': transformerAutomatic,
  'high-frequency': highFrequency,
}

/** Drive families and charger types that have a netlist. */
export const NETLIST_FAMILIES: readonly string[] = Object.keys(FILES)

const parsed = new Map<string, Netlist>()

/** The netlist of a drive (`drive` of the car facts) or of a charger (`charger`). */
export function netlistOf(family: string): Netlist {
  const known = parsed.get(family)
  if (known) return known
  if (!Object.hasOwn(FILES, family)) {
    throw new WiringError('unknown-part', family, 'there is no netlist for it', `Use ${NETLIST_FAMILIES.join(', ')}`)
  }
  const made = parseNetlist(FILES[family])
  parsed.set(family, made)
  return made
}
