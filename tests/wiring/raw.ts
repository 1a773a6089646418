import type { Branch } from '../../rules/wiring/circuit.ts'
import { branch } from '../../rules/wiring/operate.ts'

/** Bare branches between numbered nodes, for circuits out of a book. */
let count = 0
export const resistor = (a: number, b: number, ohms: number): Branch => branch(`r${++count}`, 'bare', a, b, { ohms })
export const source = (plus: number, minus: number, volts: number, ohms = 0): Branch =>
  branch(`v${++count}`, 'bare', plus, minus, { kind: 'source', volts, ohms })
export const current = (from: number, to: number, amps: number): Branch =>
  branch(`i${++count}`, 'bare', from, to, { kind: 'current', amps })
export const diode = (anode: number, cathode: number): Branch =>
  branch(`d${++count}`, 'bare', anode, cathode, { kind: 'diode' })
