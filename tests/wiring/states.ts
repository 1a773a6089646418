import type { WiringState } from '../../rules/wiring/circuit.ts'
import type { Netlist } from '../../rules/wiring/netlist.ts'

type Values = Record<string, readonly (string | number | boolean)[]>

/** Every car state that makes a difference: the product of what is driven, and each interlock on its own. */
export function carStates(netlist: Netlist): WiringState[] {
  const { states } = netlist
  if (netlist.kind === 'charger') {
    return product({ supply: states.supply!, pack: states.pack!, ...(states.timer ? { timer: states.timer } : {}) })
  }
  const pedal: Values = 'step' in states ? { step: states.step! } : { pedal: [0, 0.4, 1] }
  const drive = product({
    wheels: ['raised', 'rolling', 'stalled'],
    key: states.key!,
    direction: states.direction!,
    ...pedal,
  })
  const full = { key: 'on', direction: 'forward', wheels: 'raised', ...('step' in states ? { step: 5 } : { pedal: 1 }) }
  // The wheels make a difference only while something drives them, and the same one in both directions.
  return [
    ...drive.filter((s) => s.wheels === 'raised' || (s.key === 'on' && s.direction === 'forward')),
    { ...full, runTow: 'tow' },
    { ...full, charger: 'plugged-in' },
    { ...full, pack: 'isolated' },
    { pack: 'isolated' },
  ]
}

/** All combinations of some values. */
export function product(values: Values): WiringState[] {
  return Object.entries(values).reduce<WiringState[]>(
    (made, [name, list]) => made.flatMap((state) => list.map((value) => ({ ...state, [name]: value }))),
    [{}],
  )
}
