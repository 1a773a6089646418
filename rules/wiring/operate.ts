import type { Branch, Circuit, Contactor, Controller, Motor, Regulated } from './circuit.ts'
import { diodeAt } from './diode.ts'
import { Kept } from './kept.ts'
import { islands, type Solved, solveLinear } from './linear.ts'
import { type Phasors, solvePhasors } from './phasor.ts'
import { SPREAD } from './spread.ts'

/** What a controller does, and why it does no more. */
export interface ControllerState {
  /** what the throttle asks for, 0 to 1; 0 when something is missing */
  demand: number
  /** what the chopper gives: less than the demand at its current limit */
  duty: number
  missing: string[]
  /** it began, lost something it needs by that, and stays off */
  cutOut?: true
}

/** A circuit that has come to rest: every contactor, motor, controller and diode agrees with the volts it sees. */
export interface OperatingPoint extends Solved {
  /** what conducts, contactors and controller outputs as they ended */
  branches: Branch[]
  closed: ReadonlySet<string>
  /** contactors and controllers that never come to rest */
  chatters: string[]
  motors: ReadonlyMap<string, MotorState>
  controllers: ReadonlyMap<string, ControllerState>
  regulated: ReadonlyMap<string, RegulatedState>
  alternating: Phasors | undefined
}

export type MotorState = { runs: false } | { runs: true; amps: number }
export type RegulatedState = { mode: 'off'; missing: string[] } | { mode: 'amps' | 'volts' }

const MOST_ROUNDS = 40

/**
 * The state that a circuit settles in, from rest: contactors pull in at their pull-in volts and let go below their
 * drop-out volts; a motor takes the current of its load as soon as the circuit can give more than that (its back-EMF
 * takes up the rest), and else stands; a controller looks at its inputs. Repeated until nothing changes; a state met a
 * second time on the way is an oscillation, and what differs in it chatters.
 *
 * @param circuit from buildCircuit
 * @param extra   branches of an instrument
 */
export function operate(circuit: Circuit, extra: readonly Branch[] = []): OperatingPoint {
  const point = settle(circuit, extra, undefined)
  if (!circuit.supplyOn && !circuit.controllers.some((c) => c.outputs.some((o) => o.kind === 'phases'))) return point
  const alternating = solvePhasors(circuit, point)
  if (!circuit.regulated.some((r) => r.needs.some((n) => n.alternating))) return { ...point, alternating }
  return settle(circuit, extra, alternating)
}

function settle(circuit: Circuit, extra: readonly Branch[], alternating: Phasors | undefined): OperatingPoint {
  const fromRest = settleFrom(circuit, extra, alternating, atRest(circuit))
  if (!circuit.clickBefore || !depends(circuit, fromRest)) return fromRest
  return settleFrom(circuit, extra, alternating, before(circuit, alternating))
}

function atRest(circuit: Circuit): ReadonlySet<string> {
  return new Set(circuit.contactors.filter((c) => (c.stuck ?? c.rest) === 'closed').map((c) => c.id))
}

/** Whether a coil sees too little to pull in but enough to hold: then it matters what was closed before. */
function depends(circuit: Circuit, point: OperatingPoint): boolean {
  return (
    point.chatters.length > 0 ||
    circuit.contactors.some((c) => {
      const volts = coilVolts(c, point)
      return !c.stuck && volts >= c.dropOut && volts < c.pullIn
    })
  )
}

const earlierClosed = new Kept<ReadonlySet<string>>(400)

/** Contactors as the click before left them: the pedal goes down click by click. */
function before(circuit: Circuit, alternating: Phasors | undefined): ReadonlySet<string> {
  const { key, build } = circuit.clickBefore!
  return earlierClosed.get(circuit.netlist, key, () => {
    const earlier = build()
    const point = settle(earlier, [], alternating)
    return point.chatters.length > 0 ? atRest(earlier) : point.closed
  })
}

function coilVolts(c: Contactor, point: Solved): number {
  const [p, n] = c.coil
  return c.coilPresent && point.island[p] === point.island[n] ? Math.abs(point.volts[p]! - point.volts[n]!) : 0
}

function settleFrom(
  circuit: Circuit,
  extra: readonly Branch[],
  alternating: Phasors | undefined,
  start: ReadonlySet<string>,
): OperatingPoint {
  let closed = new Set(start)
  const history = new Map<string, number>()
  const states: Set<string>[] = []
  let inner = fresh(circuit)
  // An alternating supply has no part in the direct side.
  const direct = circuit.branches.filter((b) => b.kind !== 'phasor')
  for (;;) {
    const branches = [...direct, ...extra]
    for (const c of circuit.contactors) if (c.contacts && closed.has(c.id)) branches.push(c.contacts)
    const point = settleInner(circuit, branches, inner, alternating)
    const next = new Set<string>()
    for (const c of circuit.contactors) {
      const volts = coilVolts(c, point)
      const was = closed.has(c.id)
      const pulled = c.rest === 'open' ? was : !was
      const pulls = volts >= (pulled ? c.dropOut : c.pullIn)
      if (c.stuck ? c.stuck === 'closed' : pulls === (c.rest === 'open')) next.add(c.id)
    }
    const key = [...next].join()
    if (key === [...closed].join()) return { ...point.solved, ...point, closed, alternating }
    const seen = history.get(key)
    if (seen !== undefined) {
      const chatters = circuit.contactors
        .map((c) => c.id)
        .filter((id) => {
          const cycle = states.slice(seen)
          return cycle.some((s) => s.has(id)) && cycle.some((s) => !s.has(id))
        })
      return { ...point.solved, ...point, closed, chatters, alternating }
    }
    history.set(key, states.length)
    states.push(next)
    closed = next
    inner = { ...point.inner, controllers: fresh(circuit).controllers, warm: point.junctions }
  }
}

interface Inner {
  motors: Map<string, MotorState>
  controllers: Map<string, ControllerState>
  regulated: Map<string, RegulatedState>
  warm: ReadonlyMap<Branch, number> | undefined
}

function fresh(circuit: Circuit): Inner {
  return {
    motors: new Map(circuit.motors.map((m) => [m.id, { runs: false }])),
    controllers: new Map(circuit.controllers.map((c) => [c.id, { demand: 0, duty: 0, missing: [] }])),
    regulated: new Map(circuit.regulated.map((r) => [r.id, { mode: 'off', missing: [] }])),
    warm: undefined,
  }
}

type Settled = Omit<OperatingPoint, 'closed' | 'alternating'> & { solved: Solved; inner: Inner }

/** Motors, controllers and regulated supplies, with the contactors held as they are. */
function settleInner(
  circuit: Circuit,
  branches: readonly Branch[],
  start: Inner,
  alternating: Phasors | undefined,
): Settled {
  let inner = start
  for (let round = 0; ; round++) {
    const active = replaceDevices(circuit, branches, inner)
    const solved = solveLinear(circuit.nodes.length, circuit.reference, active, inner.warm)
    const motors = new Map(circuit.motors.map((m) => [m.id, motorNext(m, inner.motors.get(m.id)!, solved, active)]))
    let unsettled = circuit.motors
      .filter((m) => !sameMotor(inner.motors.get(m.id)!, motors.get(m.id)!))
      .map((m) => m.id)
    let next: Inner = { ...inner, motors, warm: solved.junctions }
    // Electronics are slower than the motor's first moment, so they look only once it has found its speed.
    if (unsettled.length === 0) {
      const controllers = new Map(
        circuit.controllers.map((c) => [
          c.id,
          controllerNext(circuit, c, solved, alternating, inner.controllers.get(c.id)!, active),
        ]),
      )
      const regulated = new Map(
        circuit.regulated.map((r) => [r.id, regulatedNext(r, inner.regulated.get(r.id)!, solved, alternating, active)]),
      )
      unsettled = [
        ...circuit.controllers.filter((c) => !sameDemand(inner.controllers.get(c.id)!, controllers.get(c.id)!)),
        ...circuit.regulated.filter((r) => inner.regulated.get(r.id)!.mode !== regulated.get(r.id)!.mode),
      ].map((d) => d.id)
      next = { ...next, controllers, regulated }
    }
    if (unsettled.length === 0 || round === MOST_ROUNDS) {
      return {
        ...solved,
        solved,
        inner: next,
        branches: active,
        chatters: unsettled,
        ...pick(unsettled.length ? inner : next),
      }
    }
    inner = next
  }
}

function pick(inner: Inner): Pick<OperatingPoint, 'motors' | 'controllers' | 'regulated'> {
  return { motors: inner.motors, controllers: inner.controllers, regulated: inner.regulated }
}

function sameMotor(a: MotorState, b: MotorState): boolean {
  return a.runs && b.runs ? Math.abs(a.amps - b.amps) <= 1e-9 * Math.abs(a.amps) : a.runs === b.runs
}

function sameDemand(a: ControllerState, b: ControllerState): boolean {
  return Math.abs(a.demand - b.demand) < 1e-9 && Math.abs(a.duty - b.duty) < 1e-9
}

/** A running motor's armature as a source of its load current, controller outputs as what they put out. */
function replaceDevices(circuit: Circuit, branches: readonly Branch[], inner: Inner): Branch[] {
  const active = [...branches]
  for (const m of circuit.motors) {
    const state = inner.motors.get(m.id)!
    const at = m.armature ? active.indexOf(m.armature) : -1
    if (state.runs && at >= 0) active[at] = { ...m.armature!, kind: 'current', amps: state.amps, spread: m.spread }
  }
  for (const c of circuit.controllers) active.push(...outputsOf(c, inner.controllers.get(c.id)!.duty))
  for (const r of circuit.regulated) {
    const state = inner.regulated.get(r.id)!
    if (state.mode === 'amps')
      active.push(
        branch(r.id, 'output', r.negative, r.positive, { kind: 'current', amps: r.amps, spread: SPREAD.regulated }),
      )
    if (state.mode === 'volts') {
      active.push(
        branch(r.id, 'output', r.positive, r.negative, {
          kind: 'source',
          volts: r.volts,
          ohms: r.ohms,
          voltsSd: 0.005 * r.volts,
        }),
      )
    }
  }
  return withoutLooseCurrents(circuit, active)
}

/** A current whose two ends no conductor joins cannot flow: such a motor stands, such a supply is at its volts limit. */
function withoutLooseCurrents(circuit: Circuit, active: Branch[]): Branch[] {
  if (!active.some((b) => b.kind === 'current')) return active
  const island = islands(
    circuit.nodes.length,
    active.filter((b) => b.kind !== 'current'),
  )
  return active.map((b) => {
    if (b.kind !== 'current' || island[b.a] === island[b.b]) return b
    const r = circuit.regulated.find((other) => other.id === b.part)
    return r
      ? branch(r.id, 'output', r.positive, r.negative, {
          kind: 'source',
          volts: r.volts,
          ohms: r.ohms,
          voltsSd: 0.005 * r.volts,
        })
      : circuit.motors.find((m) => m.id === b.part)!.armature!
  })
}

/** A bare branch, for an instrument or a device's output. */
export function branch(part: string, what: string, a: number, b: number, made: Partial<Branch>): Branch {
  const zero = { ohms: 0, volts: 0, amps: 0, farads: 0, henries: 0, degrees: 0, spread: 0, voltsSd: 0 }
  return { id: `${part}.${what}`, part, what, kind: 'resistor', a, b, ...zero, ...made }
}

function outputsOf(c: Controller, demand: number): Branch[] {
  if (demand <= 0) return []
  return c.outputs.flatMap((o, i): Branch[] => {
    const what = `output-${i + 1}`
    const [p, n] = [c.positive, c.negative]
    if (o.kind === 'chopper') {
      // On the average of its pulses a chopper is a DC transformer: part of the motor's current comes from the negative,
      // the rest turns through the freewheeling diode to the positive.
      const weights = [
        [o.nodes[0]!, 1],
        [p, demand - 1],
        [n, -demand],
      ] as const
      return [branch(c.id, what, o.nodes[0]!, n, { kind: 'coupled', ohms: o.ohms, weights })]
    }
    if (o.kind === 'field') {
      const k = o.reversed ? -o.fraction : o.fraction
      const [f1, f2] = o.nodes as [number, number]
      const weights = [
        [f1, 1],
        [f2, -1],
        [p, -k],
        [n, k],
      ] as const
      return [
        branch(c.id, what, f1, f2, { kind: 'coupled', ohms: o.ohms, weights }),
        // The field's two ends are switched to the supply; on the average their middle sits half-way.
        branch(c.id, `${what}-middle-positive`, p, f1, { ohms: 10_000 }),
        branch(c.id, `${what}-middle-negative`, f2, n, { ohms: 10_000 }),
      ]
    }
    // What the motor takes shows on the direct side as a load; its phases are solved as phasors.
    return [branch(c.id, what, p, n, { ohms: c.packVolts ** 2 / (o.watts * demand), spread: SPREAD.load })]
  })
}

function motorNext(m: Motor, now: MotorState, solved: Solved, active: readonly Branch[]): MotorState {
  if (!m.armature || m.amps === undefined || (now.runs && active.includes(m.armature))) return { runs: false }
  const { a, b, ohms } = m.armature
  const volts = solved.volts[a]! - solved.volts[b]!
  const armature = now.runs ? now.amps : volts / ohms
  const field = m.field ? (m.turns * (solved.volts[m.field.a]! - solved.volts[m.field.b]!)) / m.field.ohms : 0
  const torque = Math.abs(armature * field)
  const load = m.amps * (m.excitation === 'series' ? m.amps : m.fieldAmps)
  if (now.runs) {
    // Back-EMF is what is left of the terminal volts; a motor that would have to be driven round stands instead.
    if ((volts - armature * ohms) * Math.sign(armature) < 0) return { runs: false }
  } else if (torque <= load) {
    return { runs: false }
  }
  const factor = m.excitation === 'series' ? Math.sqrt(load / torque) : load / torque
  return { runs: true, amps: Math.abs(factor - 1) < 1e-9 ? armature : armature * factor }
}

function seen(
  solved: Solved,
  alternating: Phasors | undefined,
  across: readonly [number, number],
  ac: boolean,
): number {
  const [p, n] = across
  if (ac) return alternating?.rms(p, n) ?? 0
  return solved.island[p] === solved.island[n] ? solved.volts[p]! - solved.volts[n]! : 0
}

function missingOf(needs: Controller['needs'], solved: Solved, alternating: Phasors | undefined): string[] {
  return needs.filter((n) => seen(solved, alternating, n.across, n.alternating) < n.atLeast).map((n) => n.why)
}

function controllerNext(
  circuit: Circuit,
  c: Controller,
  solved: Solved,
  alternating: Phasors | undefined,
  now: ControllerState,
  active: readonly Branch[],
): ControllerState {
  if (now.cutOut) return now
  const asked = demandOf(circuit, c, solved, alternating)
  if (now.demand > 0 && asked.demand === 0) return { ...asked, duty: 0, cutOut: true }
  const chopper = active.find((b) => b.part === c.id && b.kind === 'coupled')
  const limit = c.outputs.find((o) => o.kind === 'chopper')?.amps
  if (limit === undefined || asked.demand === 0) return { ...asked, duty: asked.demand }
  // It begins gently, so that its current limit is known before the pack feels the motor at a standstill.
  if (!chopper) return { ...asked, duty: Math.min(asked.demand, SOFT_START) }
  const amps = Math.abs(ampsThrough(chopper, solved.volts))
  // A motor at speed takes the current of its load, whatever the duty; at a standstill the current follows the duty.
  if (amps < limit && active.some((b) => b.kind === 'current' && b.what === 'armature'))
    return { ...asked, duty: asked.demand }
  return { ...asked, duty: Math.min(asked.demand, amps > 0 ? (now.duty * limit) / amps : 1) }
}

const SOFT_START = 0.02

function demandOf(
  circuit: Circuit,
  c: Controller,
  solved: Solved,
  alternating: Phasors | undefined,
): { demand: number; missing: string[] } {
  if (c.stuck === 'open') return { demand: 0, missing: ['the controller gives nothing out'] }
  const missing = missingOf(c.needs, solved, alternating)
  if (missing.length > 0) return { demand: 0, missing }
  if (c.stuck === 'closed') return { demand: 1, missing: [] }
  const { rest, full, bounds, volts, highPedal } = c.throttle
  const fraction = seen(solved, alternating, c.between, false) / volts
  if (fraction < bounds[0] || fraction > bounds[1])
    return { demand: 0, missing: ['a throttle signal within its limits'] }
  let demand = Math.min(1, Math.max(0, (fraction - rest) / (full - rest)))
  if (demand < 1e-9) return { demand: 0, missing: ['the throttle to ask for speed'] }
  if (highPedal) {
    // What the controller saw before the pedal went down decides whether it starts at all.
    const before = circuit.pedalUp ? restDemand(circuit, c.id) : 1
    if (before > c.creep) return { demand: 0, missing: ['the throttle to come back to rest first'] }
  }
  demand = Math.max(demand, c.creep)
  return { demand, missing: [] }
}

const restDemands = new Kept<number>(400)

/** The demand that the controller saw with the pedal up; kept, since every pedal position asks for it. */
function restDemand(circuit: Circuit, id: string): number {
  const { key, build } = circuit.pedalUp!
  return restDemands.get(circuit.netlist, key, () => {
    const up = build()
    const c = up.controllers.find((other) => other.id === id)!
    // Only its throttle input is of interest, so nothing else holds it back.
    const loose = { ...c, needs: [], throttle: { ...c.throttle, highPedal: false }, outputs: [], creep: 0 }
    return operate({ ...up, controllers: [loose] }).controllers.get(id)!.demand
  })
}

function regulatedNext(
  r: Regulated,
  now: RegulatedState,
  solved: Solved,
  alternating: Phasors | undefined,
  active: readonly Branch[],
): RegulatedState {
  const missing = missingOf(r.needs, solved, alternating)
  if (r.stuck === 'open') return { mode: 'off', missing: ['the supply gives nothing out'] }
  if (missing.length > 0) return { mode: 'off', missing }
  const volts = seen(solved, alternating, [r.positive, r.negative], false)
  if (now.mode !== 'volts') return volts > r.volts ? { mode: 'volts' } : { mode: now.mode === 'off' ? 'volts' : 'amps' }
  const output = active.find((b) => b.part === r.id && b.what === 'output')
  const amps = output ? (output.volts - volts) / output.ohms : 0
  return { mode: amps > r.amps ? 'amps' : 'volts' }
}

/** Amperes through a branch from `a` to `b`. */
export function ampsThrough(b: Branch, volts: Float64Array): number {
  const across = volts[b.a]! - volts[b.b]!
  switch (b.kind) {
    case 'current':
      return b.amps
    case 'diode':
      return diodeAt(across).amps
    case 'capacitor':
      return 0
    case 'coupled':
      return b.weights!.reduce((sum, [n, w]) => sum + w * volts[n]!, 0) / b.ohms
    default:
      return b.ohms > 0 ? (across - b.volts) / b.ohms : Number.NaN
  }
}
