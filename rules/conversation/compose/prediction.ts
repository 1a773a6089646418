import { wiringNames } from '../../wiring/names.ts'
import type { Prediction } from '../../wiring/prediction.ts'
import { digitsOf } from '../../wiring/show.ts'
import type { Names } from './names.ts'

/** What an instrument shows, in words. */
export function sayPrediction(p: Prediction, names: Names): string {
  const { t, number } = names
  const w = wiringNames(names.language)
  switch (p.kind) {
    case 'number': {
      const digits = digitsOf(p)
      const round = (x: number) => number(Number(x.toFixed(digits)) + 0)
      return t('meter.number', { value: round(p.mean), unit: p.unit, low: round(p.low), high: round(p.high) })
    }
    case 'lamp':
      return t('meter.lamp', { brightness: p.brightness, volts: number(Number(p.volts.toFixed(1))) })
    case 'continuity':
      return t('meter.continuity', { closed: String(p.closed) })
    case 'over-range':
      return t('meter.over-range')
    case 'live':
      return t('meter.live', { volts: number(Number(p.volts.toFixed(1))) })
    case 'kick':
      return t('meter.kick', { from: number(Number(p.from.toFixed(1))), seconds: number(Number(p.seconds.toFixed(1))) })
    case 'floating':
      return t('meter.floating', { places: p.nodes.map((n) => w.node(n)).join(', '), count: p.nodes.length })
    case 'chatters':
      return t('meter.chatters', { parts: p.parts.map((x) => w.part(x)).join(', ') })
  }
}
