import { wiringNames } from '../../wiring/names.ts'
import type { NumberPrediction, Prediction } from '../../wiring/prediction.ts'
import { digitsOf } from '../../wiring/show.ts'
import type { Names } from './names.ts'

/** With as many digits as a meter of the shop shows, all alike; never less than nothing by a rounding. */
function written(x: number, digits: number, language: string): string {
  const rounded = Number(x.toFixed(digits)) + 0
  const format = new Intl.NumberFormat(language, {
    minimumFractionDigits: rounded === 0 ? 0 : digits,
    maximumFractionDigits: digits,
    useGrouping: false,
  })
  return format.format(rounded).replace('-', '−')
}

/** A meter's tolerance reaches below 0 Ω, no resistance does. */
const endsOf = ({ unit, low, high }: NumberPrediction) => ({ low: unit === 'Ω' ? Math.max(0, low) : low, high })

/** What an instrument shows, in words. */
export function sayPrediction(p: Prediction, names: Names): string {
  const { t } = names
  const tenths = (x: number) => written(x, 1, names.language)
  const w = wiringNames(names.language)
  switch (p.kind) {
    case 'number': {
      const digits = Math.min(digitsOf(p), Math.abs(p.mean) >= 10 ? 1 : 2)
      const { low, high } = endsOf(p)
      const [value, from, to] = [p.mean, low, high].map((x) => written(x, digits, names.language))
      return from === to
        ? t('meter.number.exact', { value: value!, unit: p.unit })
        : t('meter.number', { value: value!, unit: p.unit, low: from!, high: to! })
    }
    case 'lamp':
      return t('meter.lamp', { brightness: p.brightness, volts: tenths(p.volts) })
    case 'continuity':
      return t('meter.continuity', { closed: String(p.closed) })
    case 'diode': {
      const said = (volts: number | undefined) => (volts === undefined ? 'none' : written(volts, 2, names.language))
      return t('meter.diode', { volts: said(p.volts), swapped: said(p.swapped) })
    }
    case 'over-range':
      return t('meter.over-range')
    case 'live':
      return t('meter.live', { volts: tenths(p.volts) })
    case 'kick':
      return t('meter.kick', { from: tenths(p.from), seconds: tenths(p.seconds) })
    case 'floating':
      return t('meter.floating', { places: p.nodes.map((n) => w.node(n)).join(', '), count: p.nodes.length })
    case 'chatters':
      return t('meter.chatters', { parts: p.parts.map((x) => w.part(x)).join(', ') })
  }
}
