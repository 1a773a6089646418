import type { NumberPrediction, Prediction } from './prediction.ts'

/** Digits after the point that a reading is worth: two of its spread. */
export function digitsOf(p: NumberPrediction): number {
  return Math.max(0, Math.min(4, 1 - Math.floor(Math.log10(Math.max(p.sd, 1e-4)))))
}

/** Nothing is nothing, whichever side it was rounded from. */
const fixed = (x: number, digits: number) => (Number(x.toFixed(digits)) + 0).toFixed(digits)

/** A prediction in a few words, for a command or a log; screens have their own words. */
export function show(p: Prediction): string {
  switch (p.kind) {
    case 'number': {
      const digits = digitsOf(p)
      const range = `${fixed(p.low, digits)} to ${fixed(p.high, digits)} in 19 cars of 20`
      const spoiled = p.parallel?.length ? `; also through ${p.parallel.join(', ')}` : ''
      return `${fixed(p.mean, digits)} ${p.unit} (${range})${spoiled}`
    }
    case 'lamp':
      return `lamp ${p.brightness}, ${p.volts.toFixed(1)} V across it`
    case 'continuity':
      return p.closed ? 'connected' : 'not connected'
    case 'diode': {
      const said = (volts: number | undefined) => (volts === undefined ? 'nothing' : `${volts.toFixed(2)} V`)
      return `${said(p.volts)}, probes changed over ${said(p.swapped)}`
    }
    case 'over-range':
      return 'over range: open'
    case 'live':
      return `live, ${p.volts.toFixed(1)} V: ${p.why}`
    case 'kick':
      return `kicks to ${p.from.toFixed(1)} Ω and falls back within ${p.seconds.toFixed(1)} s`
    case 'floating':
      return `floating: ${p.why}`
    case 'chatters':
      return `chatters: ${p.why}`
  }
}
