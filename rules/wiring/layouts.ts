import acController from '../knowledge/netlists/layout/ac-controller.json' with { type: 'json' }
import highFrequency from '../knowledge/netlists/layout/high-frequency.json' with { type: 'json' }
import resistorContactor from '../knowledge/netlists/layout/resistor-contactor.json' with { type: 'json' }
import resistorSliding from '../knowledge/netlists/layout/resistor-sliding.json' with { type: 'json' }
import separateField from '../knowledge/netlists/layout/separate-field-controller.json' with { type: 'json' }
import seriesController from '../knowledge/netlists/layout/series-controller.json' with { type: 'json' }
import transformerAutomatic from '../knowledge/netlists/layout/transformer-automatic.json' with { type: 'json' }
import transformerTimer from '../knowledge/netlists/layout/transformer-timer.json' with { type: 'json' }
import { WiringError } from './errors.ts'
import { type Layout, parseLayout } from './layout.ts'
import { netlistOf } from './netlists.ts'

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

const parsed = new Map<string, Layout>()

/** Where the parts of a family's netlist are drawn. */
export function layoutOf(family: string): Layout {
  const known = parsed.get(family)
  if (known) return known
  if (!Object.hasOwn(FILES, family)) {
    throw new WiringError('unknown-part', family, 'nobody has laid it out', `Use ${Object.keys(FILES).join(', ')}`)
  }
  const made = parseLayout(FILES[family], netlistOf(family))
  parsed.set(family, made)
  return made
}
