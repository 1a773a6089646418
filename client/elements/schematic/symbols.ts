import { type SVGTemplateResult, svg } from 'lit'

/** Pixels of a cell of the layout's grid. */
export const CELL = 18
/** From its middle to where its wire begins, px. */
export const HALF: Record<string, number> = {
  wire: 0,
  pack: 17,
  resistor: 16,
  variable: 16,
  fuse: 16,
  lamp: 11,
  switch: 12,
  contacts: 12,
  coil: 7,
  motor: 15,
  winding: 18,
  diode: 9,
  capacitor: 4,
  supply: 13,
  meter: 12,
  sensor: 16,
  insulation: 16,
}

/** From the wire to its edge, px; what is not listed is as a resistor. */
export const ACROSS: Record<string, number> = {
  pack: 14,
  lamp: 11,
  switch: 9,
  contacts: 9,
  coil: 12,
  motor: 15,
  diode: 9,
  capacitor: 11,
  supply: 13,
  meter: 12,
  sensor: 8,
}

/**
 * Graphical symbols after IEC 60617, drawn along x round the origin; the caller turns them. Letters are drawn by the
 * caller, since they stay upright.
 */
export function symbol(name: string, closed: boolean | undefined): SVGTemplateResult | undefined {
  switch (name) {
    case 'sensor':
      return svg`<rect x="-16" y="-8" width="32" height="16"/>`
    case 'resistor':
      return svg`<rect x="-16" y="-6" width="32" height="12"/>`
    case 'variable':
      return svg`<rect x="-16" y="-6" width="32" height="12"/><path d="M-13 13L13 -13M13 -13l-6.5 2M13 -13l-2 6.5"/>`
    case 'insulation':
      return svg`<rect x="-16" y="-6" width="32" height="12" stroke-dasharray="3 3"/>`
    case 'fuse':
      return svg`<rect x="-16" y="-5.5" width="32" height="11"/><path d="M-16 0H16"/>`
    case 'lamp':
      return svg`<circle r="11"/><path d="M-7.8 -7.8L7.8 7.8M-7.8 7.8L7.8 -7.8"/>`
    case 'switch':
    case 'contacts': {
      const blade = closed ? svg`<path class="blade" d="M-12 0H12"/>` : svg`<path class="blade" d="M-12 0L10 -11"/>`
      const fixed =
        name === 'contacts' ? svg`<path d="M12 -5a5 5 0 0 0 0 10" fill="none"/>` : svg`<path d="M12 -4V4" />`
      return svg`${blade}${fixed}<circle class="dot" cx="-12" cy="0" r="2.4"/>`
    }
    case 'coil':
      return svg`<rect x="-7" y="-12" width="14" height="24"/>`
    case 'motor':
      return svg`<circle r="15"/><path d="M-15 -4v8M15 -4v8" stroke-width="4.5"/>`
    case 'winding':
      return svg`<path fill="none" d="M-18 0a4.5 4.5 0 0 1 9 0a4.5 4.5 0 0 1 9 0a4.5 4.5 0 0 1 9 0a4.5 4.5 0 0 1 9 0"/>`
    case 'diode':
      return svg`<path d="M-9 -9V9L9 0ZM9 -9V9"/>`
    case 'capacitor':
      return svg`<path d="M-4 -11V11M4 -11V11"/>`
    case 'supply':
      return svg`<circle r="13"/>`
    case 'meter':
      return svg`<circle r="12"/>`
    case 'pack':
      return svg`<path d="M-17 -14V14M-6 -14V14M6 -14V14"/><path d="M-11.5 -7V7M0.5 -7V7M17 -7V7" stroke-width="4"/><path d="M7 0H16" stroke-width="1.6" stroke-dasharray="2 3"/>`
    default:
      return undefined
  }
}

/** Letters in a symbol: upright however it is turned. */
export const LETTER: Readonly<Record<string, string>> = { motor: 'M', supply: '∼', meter: 'A', sensor: 'S' }
/** Places that are metal rather than a terminal. */
export const CHASSIS: ReadonlySet<string> = new Set(['frame', 'case'])
