import type { CarFacts } from '../schema/car.ts'
import { near, WiringError } from './errors.ts'
import { factsThatMatter } from './facts.ts'
import { conductorOhms } from './gauge.ts'
import { Kept } from './kept.ts'
import type {
  Change,
  ControllerOutput,
  Edit,
  FactCondition,
  Need,
  Netlist,
  Part,
  PartOf,
  StateCondition,
} from './netlist.ts'
import { SPREAD } from './spread.ts'

/** What is known of the car, and the pack's volts at rest if they were measured (volts). */
export type WiringFacts = Partial<CarFacts> & { measuredPackVolts?: number }

/**
 * What is true of the car now. Beside the words of the knowledge's car state: `step` (the pedal's click, 0 to 5) or `pedal`
 * (0 to 1; a car without clicks takes `step` as fifths of the pedal), `wheels: 'rolling' | 'stalled'`, and whatever else the netlist lists under `states`.
 *
 * `lifted` and `bridged` name parts, or pieces of parts (`contactor-3.coil`, `contactor-3.contacts`); `jumpers` are pairs
 * of nodes joined by a test lead.
 */
export interface WiringState {
  [name: string]: string | number | boolean | readonly string[] | readonly (readonly [string, string])[] | undefined
  lifted?: readonly string[]
  bridged?: readonly string[]
  jumpers?: readonly (readonly [string, string])[]
}

/** A closed test lead, or a part that is shorted, in ohms. */
export const JUMPER_OHMS = 0.001

/** One two-ended thing of a circuit. `a` and `b` are node numbers; current counts from `a` to `b`. */
export interface Branch {
  id: string
  part: string
  what?: string
  kind: 'resistor' | 'source' | 'diode' | 'winding' | 'capacitor' | 'current' | 'coupled' | 'phasor'
  a: number
  b: number
  /** series resistance; 0 only in an ideal source */
  ohms: number
  /** EMF from `b` up to `a` (source, phasor: rms) */
  volts: number
  amps: number
  farads: number
  henries: number
  /** phasor: degrees */
  degrees: number
  /** coupled: Σ weight × node volts = ohms × current */
  weights?: readonly (readonly [node: number, weight: number])[]
  /** relative standard deviation of `ohms`, and standard deviation of `volts` that all of `group` share */
  spread: number
  voltsSd: number
}

export interface Contactor {
  id: string
  coil: [number, number]
  contacts: Branch | undefined
  rest: 'open' | 'closed'
  stuck?: 'open' | 'closed'
  pullIn: number
  dropOut: number
  coilPresent: boolean
}

export interface Motor {
  id: string
  armature: Branch | undefined
  field: Branch | undefined
  excitation: 'series' | 'separate'
  /** load current, A; with a separate field, at the field current `fieldAmps`; undefined = stalled */
  amps: number | undefined
  fieldAmps: number
  turns: number
  spread: number
}

export interface Controller {
  id: string
  packVolts: number
  positive: number
  negative: number
  needs: (Omit<Need, 'across'> & { across: [number, number] })[]
  throttle: PartOf<'controller'>['throttle']
  between: [number, number]
  outputs: (ControllerOutput & { nodes: number[]; reversed: boolean })[]
  creep: number
  stuck?: 'open' | 'closed'
}

export interface Regulated {
  id: string
  positive: number
  negative: number
  amps: number
  volts: number
  ohms: number
  needs: (Omit<Need, 'across'> & { across: [number, number] })[]
  stuck?: 'open'
}

export interface Transformer {
  id: string
  primary: Branch | undefined
  secondaries: { branch: Branch | undefined; rms: number; ballastOhms: number }[]
  resonant?: { farads: number; without: number; present: number }
}

/** One car in one state with at most one cause: what is left to do is to solve it. */
export interface Circuit {
  netlist: Netlist
  packVolts: number
  nodes: readonly string[]
  index: ReadonlyMap<string, number>
  reference: number
  branches: Branch[]
  contactors: Contactor[]
  motors: Motor[]
  controllers: Controller[]
  regulated: Regulated[]
  transformers: Transformer[]
  supplyOn: boolean
  hertz: number
  supplyVolts: number
  /** the same car with the pedal up: what the controller saw before the pedal was pressed */
  pedalUp?: Earlier
  /** the same car one click before */
  clickBefore?: Earlier
}

/** The same car a moment before, built when asked for; `key` tells it from others of the netlist. */
export interface Earlier {
  key: string
  build: () => Circuit
}

const VOLTS_PER_CELL = 2.05

interface Prepared {
  netlist: Netlist
  facts: WiringFacts
  packVolts: number
  parts: Part[]
  ids: Set<string>
}

const preparedCars = new Kept<Prepared>(64)

function prepare(netlist: Netlist, given: WiringFacts): Prepared {
  const facts = factsThatMatter(netlist, given)
  return preparedCars.get(netlist, JSON.stringify(facts), () => prepared(netlist, facts))
}

function prepared(netlist: Netlist, facts: WiringFacts): Prepared {
  const packVolts = Number(facts.packVolts)
  const volts = facts.measuredPackVolts
  if (!(packVolts > 0)) {
    throw new WiringError('bad-facts', 'packVolts', 'the pack has no nominal volts', 'Give packVolts as 36 or 48, say')
  }
  if (volts !== undefined && !(volts >= 0 && volts < 2 * packVolts)) {
    throw new WiringError(
      'bad-facts',
      'measuredPackVolts',
      `${volts} V cannot be a ${packVolts} V pack`,
      'Measure again',
    )
  }
  const parts = netlist.parts.filter((p) => p.when === undefined || factsHold(p.when, facts))
  return { netlist, facts, packVolts, parts, ids: new Set(parts.map((p) => p.id)) }
}

function factsHold(condition: FactCondition, facts: WiringFacts): boolean {
  return Object.entries(condition).every(([name, values]) => values.includes(facts[name as keyof WiringFacts] as never))
}

/** Whether the car state fulfils a condition. */
export function stateHolds(condition: StateCondition, state: WiringState): boolean {
  return Object.entries(condition).every(([name, want]) => {
    const value = state[name]
    return Array.isArray(want) ? want.includes(value as never) : Number(value) >= (want as { atLeast: number }).atLeast
  })
}

/** Count and volts of the blocks: "6x6" or "16s"; without it as few blocks of 6, 8 or 12 V as are usual. */
export function blocksOf(packVolts: number, blocks: string | undefined): { count: number; volts: number } {
  const written = /^(\d+)x(\d+)$/.exec(blocks ?? '')
  if (written) {
    const [count, volts] = [Number(written[1]), Number(written[2])]
    if (Math.abs(count * volts - packVolts) > 0.1 * packVolts) {
      throw new WiringError('bad-facts', 'blocks', `${blocks} is not a ${packVolts} V pack`, 'Count the blocks again')
    }
    return { count, volts }
  }
  const cells = /^(\d+)s$/.exec(blocks ?? '')
  if (cells) return { count: Number(cells[1]), volts: packVolts / Number(cells[1]) }
  const volts = packVolts % 6 === 0 && packVolts <= 36 ? 6 : packVolts % 8 === 0 && packVolts <= 48 ? 8 : 12
  return { count: packVolts / volts, volts }
}

/**
 * The circuit of one car in one state.
 *
 * @param netlist from parseNetlist
 * @param facts   what is known of the car
 * @param cause   id of a cause, or undefined for a car with nothing wrong
 * @param state   the car state; what is left out takes the netlist's usual value
 * @throws WiringError `unknown-cause`, `unknown-state`, `unknown-part`, `unknown-node`, `bad-facts`
 */
export function buildCircuit(
  netlist: Netlist,
  facts: WiringFacts = {},
  cause?: string,
  state: WiringState = {},
): Circuit {
  const car = prepare(netlist, facts)
  const now = completeState(netlist, state)
  const change = changeOf(car, cause)
  const circuit = new Builder(car, now, change).build()
  const earlier = (before: WiringState): Earlier => ({
    key: JSON.stringify([car.facts, cause ?? null, before]),
    build: () => buildCircuit(netlist, car.facts, cause, before),
  })
  if (circuit.controllers.length > 0 && Number(now.pedal ?? 0) > 0) circuit.pedalUp = earlier({ ...state, pedal: 0 })
  if (Number(now.step ?? 0) > 0) circuit.clickBefore = earlier({ ...state, step: Number(now.step) - 1 })
  return circuit
}

/** Whether this car can have this cause, as far as its wiring goes. */
export function hasPartsFor(netlist: Netlist, facts: WiringFacts, cause: string): boolean {
  const change = netlist.change.get(cause)
  if (!change) return false
  const car = prepare(netlist, facts)
  return (
    (change.when === undefined || factsHold(change.when, car.facts)) &&
    change.is.every((e) => !('part' in e) || car.ids.has(e.part))
  )
}

/** Where probes can go, what can be lifted, bridged or clamped on this car: node names, part ids and pieces of parts. */
export function placesOf(
  netlist: Netlist,
  facts: WiringFacts = {},
): { nodes: string[]; parts: string[]; pieces: string[] } {
  const circuit = buildCircuit(netlist, facts)
  const pieces = new Builder(prepare(netlist, facts), completeState(netlist, {}), undefined).pieces()
  return { nodes: [...circuit.nodes], parts: [...prepare(netlist, facts).ids], pieces }
}

/** The parts that this car has. */
export function partsOfCar(netlist: Netlist, facts: WiringFacts = {}): readonly Part[] {
  return prepare(netlist, facts).parts
}

function changeOf(car: Prepared, cause: string | undefined): Change | undefined {
  if (cause === undefined) return undefined
  const change = car.netlist.change.get(cause)
  if (!change) {
    throw new WiringError(
      'unknown-cause',
      cause,
      `the netlist "${car.netlist.family}" has no change for this cause`,
      `Use one of its causes${listed(near(cause, car.netlist.change.keys()))}`,
    )
  }
  const applies = change.when === undefined || factsHold(change.when, car.facts)
  const missing = change.is.find((e): e is Edit => 'part' in e && !car.ids.has(e.part))
  if (missing || !applies) {
    throw new WiringError(
      'unknown-cause',
      cause,
      `this car has no ${missing ? missing.part : 'such part'}`,
      'Leave this cause out for it, or mend the car facts',
    )
  }
  return change
}

function listed(names: string): string {
  return names === '' ? '' : `, such as ${names}`
}

const EXTRA = new Set(['lifted', 'bridged', 'jumpers'])
/** Car states that some circuit knows; where one has no part in a circuit it is passed over. */
const ELSEWHERE = new Set([
  'wheels',
  'key',
  'direction',
  'runTow',
  'pack',
  'charger',
  'step',
  'pedal',
  'supply',
  'timer',
])

function completeState(netlist: Netlist, state: WiringState): WiringState {
  const full: WiringState = {}
  for (const [name, values] of Object.entries(netlist.states)) full[name] = values[0]!
  // Checks name the pedal's place by steps; the pedal of a controller has none, so that step 5 is all the way down.
  if (netlist.states['pedal'] && !netlist.states['step'] && typeof state['step'] === 'number') {
    full['pedal'] = Math.min(1, Math.max(0, state['step'] / 5))
  }
  for (const [name, value] of Object.entries(state)) {
    const allowed = netlist.states[name]
    if (value === undefined || (!allowed && ELSEWHERE.has(name))) continue
    if (EXTRA.has(name)) {
      full[name] = value
    } else if (!allowed) {
      throw new WiringError(
        'unknown-state',
        name,
        `"${netlist.family}" knows no such car state`,
        `Use one of ${Object.keys(netlist.states).join(', ')}, lifted, bridged, jumpers`,
      )
    } else if (name === 'pedal' ? !(Number(value) >= 0 && Number(value) <= 1) : !allowed.includes(value as never)) {
      throw new WiringError('unknown-state', name, `it cannot be ${String(value)}`, `Use one of ${allowed.join(', ')}`)
    } else {
      full[name] = value
    }
  }
  return full
}

class Builder {
  private readonly branches: Branch[] = []
  private readonly byKey = new Map<string, Branch>()
  private readonly contactors: Contactor[] = []
  private readonly motors: Motor[] = []
  private readonly controllers: Controller[] = []
  private readonly regulated: Regulated[] = []
  private readonly transformers: Transformer[] = []
  private readonly nodes: string[] = []
  private readonly index = new Map<string, number>()
  private supplyOn = false
  private readonly car: Prepared
  private readonly state: WiringState
  private readonly change: Change | undefined

  constructor(car: Prepared, state: WiringState, change: Change | undefined) {
    this.car = car
    this.state = state
    this.change = change
  }

  build(): Circuit {
    for (const p of this.car.parts) this.add(p)
    const whole = new Set(this.byKey.keys())
    for (const e of this.change?.is ?? []) {
      if ('part' in e) this.edit(e)
      else this.join(`${this.change!.cause}.path`, e.join[0], e.join[1], e.ohms)
    }
    this.keepMeasured()
    for (const id of this.state.lifted ?? []) {
      if (!this.drop(id) && !whole.has(id) && !this.car.ids.has(id)) throw this.noPart(id, 'lifted')
    }
    for (const id of this.state.bridged ?? []) this.bridge(id)
    for (const [a, b] of this.state.jumpers ?? []) this.join(`jumper.${a}.${b}`, a, b, JUMPER_OHMS)
    if (this.state.pack === 'isolated') {
      for (const p of this.car.parts) if (p.kind === 'cable' && p.isolates) this.drop(p.id)
    }
    const kept = this.branches.filter((b) => !this.gone.has(b) && Number.isFinite(b.ohms))
    for (const c of this.contactors) {
      if (c.contacts && !kept.includes(c.contacts)) c.contacts = undefined
      c.coilPresent = kept.some((b) => b.part === c.id && b.what === 'coil')
    }
    for (const m of this.motors) {
      if (m.armature && !kept.includes(m.armature)) m.armature = undefined
      if (m.field && !kept.includes(m.field)) m.field = undefined
    }
    for (const t of this.transformers) {
      if (t.primary && !kept.includes(t.primary)) t.primary = undefined
      for (const s of t.secondaries) if (s.branch && !kept.includes(s.branch)) s.branch = undefined
      if (t.resonant) t.resonant.present = kept.find((b) => b.part === this.resonators.get(t.id))?.farads ?? 0
    }
    const contacts = new Set(this.contactors.map((c) => c.contacts))
    const supplyVolts = Number(this.car.facts.supplyVolts ?? 120)
    return {
      netlist: this.car.netlist,
      packVolts: this.car.packVolts,
      nodes: this.nodes,
      index: this.index,
      reference: this.node(this.car.netlist.reference),
      branches: kept.filter((b) => !contacts.has(b)),
      contactors: this.contactors,
      motors: this.motors,
      controllers: this.controllers,
      regulated: this.regulated,
      transformers: this.transformers,
      supplyOn: this.supplyOn,
      hertz: supplyVolts > 180 ? 50 : 60,
      supplyVolts,
    }
  }

  /** Ids of all branches, present in this state or not. */
  pieces(): string[] {
    for (const p of this.car.parts) this.add(p)
    return [...this.byKey.keys()]
  }

  private readonly gone = new Set<Branch>()
  private readonly resonators = new Map<string, string>()

  private node(name: string): number {
    let i = this.index.get(name)
    if (i === undefined) {
      i = this.nodes.length
      this.nodes.push(name)
      this.index.set(name, i)
    }
    return i
  }

  private put(
    p: { id: string; spread?: number | undefined },
    what: string | undefined,
    made: Partial<Branch> & { from: string; to: string; kind: Branch['kind'] },
  ): Branch {
    const { from, to, ...rest } = made
    const id = what === undefined ? p.id : `${p.id}.${what}`
    const branch: Branch = {
      id,
      part: p.id,
      what,
      a: this.node(from),
      b: this.node(to),
      ohms: 0,
      volts: 0,
      amps: 0,
      farads: 0,
      henries: 0,
      degrees: 0,
      spread: p.spread ?? 0,
      voltsSd: 0,
      ...rest,
    }
    this.branches.push(branch)
    this.byKey.set(id, branch)
    return branch
  }

  private add(p: Part): void {
    const spread = p.spread ?? SPREAD[p.kind]
    const tagged = { id: p.id, spread }
    switch (p.kind) {
      case 'pack':
        this.addPack(p)
        return
      case 'cable': {
        const value = p.ohms ?? conductorOhms(p.gauge!, p.metres!)
        this.put(tagged, undefined, { kind: 'resistor', from: p.from, to: p.to, ohms: value })
        return
      }
      case 'resistor':
      case 'fuse':
        this.put(tagged, undefined, { kind: 'resistor', from: p.from, to: p.to, ohms: p.ohms })
        return
      case 'lamp':
        this.put(tagged, undefined, {
          kind: 'resistor',
          from: p.from,
          to: p.to,
          ohms: this.car.packVolts ** 2 / p.watts,
        })
        return
      case 'switch': {
        const b = this.put(tagged, undefined, { kind: 'resistor', from: p.from, to: p.to, ohms: p.ohms })
        if (!stateHolds(p.closed, this.state)) this.gone.add(b)
        return
      }
      case 'contactor': {
        const volts = this.car.packVolts
        const [c, k] = [p.coil, p.contacts]
        const wound = { id: p.id, spread: SPREAD.coil }
        this.put(wound, 'coil', { kind: 'resistor', from: c[0], to: c[1], ohms: volts ** 2 / p.watts })
        const contacts = this.put(tagged, 'contacts', { kind: 'resistor', from: k[0], to: k[1], ohms: p.ohms })
        this.contactors.push({
          id: p.id,
          coil: [this.node(c[0]), this.node(c[1])],
          contacts,
          rest: p.rest,
          pullIn: p.pullIn * volts,
          dropOut: p.dropOut * volts,
          coilPresent: true,
        })
        return
      }
      case 'motor': {
        const armature = this.put(tagged, 'armature', {
          kind: 'resistor',
          from: p.armature[0],
          to: p.armature[1],
          ohms: p.armatureOhms,
        })
        const field = this.put(tagged, 'field', {
          kind: 'resistor',
          from: p.field[0],
          to: p.field[1],
          ohms: p.fieldOhms,
        })
        const wheels = this.state.wheels
        const amps = wheels === 'stalled' ? undefined : wheels === 'raised' ? p.amps.raised : p.amps.rolling
        const fieldAmps = p.fieldAmps ?? amps ?? 1
        this.motors.push({
          id: p.id,
          armature,
          field,
          excitation: p.excitation,
          amps,
          fieldAmps,
          turns: 1,
          spread: SPREAD.load,
        })
        return
      }
      case 'diode':
        this.put(tagged, undefined, { kind: 'diode', from: p.anode, to: p.cathode })
        return
      case 'capacitor':
        this.put(tagged, undefined, { kind: 'capacitor', from: p.from, to: p.to, farads: p.farads })
        if (p.bleedOhms) this.put(tagged, 'bleed', { kind: 'resistor', from: p.from, to: p.to, ohms: p.bleedOhms })
        return
      case 'winding':
        this.put(tagged, undefined, { kind: 'winding', from: p.from, to: p.to, ohms: p.ohms, henries: p.henries })
        return
      case 'throttle': {
        const at = p.restOhms + Number(this.state.pedal ?? 0) * (p.fullOhms - p.restOhms)
        if (p.wiper === undefined) {
          this.put(tagged, undefined, { kind: 'resistor', from: p.from, to: p.to, ohms: at })
        } else {
          this.put(tagged, 'upper', { kind: 'resistor', from: p.from, to: p.wiper, ohms: p.totalOhms! - at })
          this.put(tagged, 'lower', { kind: 'resistor', from: p.wiper, to: p.to, ohms: at })
        }
        return
      }
      case 'controller':
        this.addController(p)
        return
      case 'supply': {
        this.supplyOn = stateHolds(p.on, this.state)
        const volts = Number(this.car.facts.supplyVolts ?? 120)
        const b = this.put(tagged, undefined, {
          kind: 'phasor',
          from: p.line,
          to: p.neutral,
          ohms: p.ohms,
          volts,
          voltsSd: 0.03 * volts,
        })
        if (!this.supplyOn) this.gone.add(b)
        return
      }
      case 'transformer': {
        const [from, to] = p.primary
        const scale = (Number(this.car.facts.supplyVolts ?? 120) / 120) ** 2
        const primary = this.put(tagged, 'primary', {
          kind: 'winding',
          from,
          to,
          ohms: p.primaryOhms * scale,
          henries: p.henries * scale,
        })
        const secondaries = p.secondaries.map((s) => ({
          branch: this.put(tagged, s.name, { kind: 'winding', from: s.from, to: s.to, ohms: s.ohms }) as
            | Branch
            | undefined,
          rms: s.perPackVolt * this.car.packVolts,
          ballastOhms: s.ballastOhms,
        }))
        const made: Transformer = { id: p.id, primary, secondaries }
        if (p.resonant) {
          this.resonators.set(p.id, p.resonant.capacitor)
          made.resonant = { farads: p.resonant.farads, without: p.resonant.without, present: p.resonant.farads }
        }
        this.transformers.push(made)
        return
      }
      case 'regulated':
        if (p.input)
          this.put(tagged, 'input', { kind: 'resistor', from: p.input.from, to: p.input.to, ohms: p.input.ohms })
        this.regulated.push({
          id: p.id,
          positive: this.node(p.positive),
          negative: this.node(p.negative),
          amps: p.amps,
          volts: p.voltsOfPack ? p.volts * this.car.packVolts : p.volts,
          ohms: p.ohms,
          needs: this.needs(p.needs),
        })
        return
    }
  }

  private needs(list: readonly Need[]): Controller['needs'] {
    return list.map((n) => ({
      ...n,
      atLeast: n.ofPack ? n.atLeast * this.car.packVolts : n.atLeast,
      across: [this.node(n.across[0]), this.node(n.across[1])],
    }))
  }

  private addController(p: PartOf<'controller'>): void {
    p.inputs.forEach((input, i) => {
      this.put({ id: p.id, spread: 0.1 }, `input-${i + 1}`, {
        kind: 'resistor',
        from: input.at,
        to: p.negative,
        ohms: input.ohms,
      })
    })
    const [from, to] = p.throttle.between
    this.put({ id: p.id, spread: 0.02 }, 'throttle-input', {
      kind: 'source',
      from,
      to,
      ohms: p.throttle.ohms,
      volts: p.throttle.volts,
    })
    this.controllers.push({
      id: p.id,
      packVolts: this.car.packVolts,
      positive: this.node(p.positive),
      negative: this.node(p.negative),
      needs: this.needs(p.needs),
      throttle: p.throttle,
      between: [this.node(from), this.node(to)],
      outputs: p.outputs.map((o) => ({
        ...o,
        nodes: (o.kind === 'chopper' ? [o.output] : [...o.outputs]).map((n) => this.node(n)),
        reversed: o.kind === 'field' && stateHolds(o.reversedBy, this.state),
      })),
      creep: p.creep,
    })
  }

  private addPack(p: PartOf<'pack'>): void {
    const { facts, packVolts } = this.car
    const { count, volts } = blocksOf(packVolts, facts.blocks)
    const lithium = facts.cells === 'lithium-iron-phosphate'
    const nominal = lithium ? packVolts * 1.02 : (packVolts / 2) * VOLTS_PER_CELL
    const total = facts.measuredPackVolts ?? nominal
    const measured = facts.measuredPackVolts !== undefined
    const ohms = p.ohmsPerVolt * volts * (lithium ? 0.5 : weakening(total / (packVolts / 2)))
    for (let k = 1; k <= count; k++) {
      const minus = k === 1 ? p.negative : `block-${k}.negative`
      const plus = k === count ? p.positive : `block-${k}.positive`
      this.put({ id: p.id, spread: p.spread ?? SPREAD.pack }, `block-${k}`, {
        kind: 'source',
        from: plus,
        to: minus,
        ohms,
        volts: total / count,
        voltsSd: (measured ? 0.003 : 0.025) * (total / count),
      })
      if (k === count) continue
      this.put({ id: p.id, spread: SPREAD.joint }, `joint-${k}`, {
        kind: 'resistor',
        from: `block-${k + 1}.negative`,
        to: plus,
        ohms: p.jointOhms,
      })
    }
  }

  /** Measured on this car, the pack's volts at rest hold whatever ails its blocks: only their shares differ. */
  private keepMeasured(): void {
    const measured = this.car.facts.measuredPackVolts
    if (measured === undefined) return
    const blocks = this.branches.filter((b) => b.kind === 'source' && b.what?.startsWith('block-'))
    const sum = blocks.reduce((total, b) => total + b.volts, 0)
    if (sum > 0) for (const b of blocks) b.volts *= measured / sum
  }

  private matching(partId: string, what: string | undefined): Branch[] {
    return this.branches.filter((b) => b.part === partId && (what === undefined || b.what === what))
  }

  private edit(e: Edit): void {
    if (e.when && !factsHold(e.when, this.car.facts)) return
    const branches = this.matching(e.part, e.what)
    const device = [...this.contactors, ...this.motors, ...this.controllers, ...this.regulated].find(
      (d) => d.id === e.part,
    )
    if (branches.length === 0 && !device) {
      throw new WiringError(
        'unknown-part',
        `${e.part}.${e.what ?? ''}`,
        'this part has no such piece',
        'Name a piece of it',
      )
    }
    const by = (): number => {
      if (e.by === undefined) {
        throw new WiringError('impossible-netlist', this.change!.cause, `"${e.is}" needs "by"`, 'Say by how much')
      }
      return e.by
    }
    switch (e.is) {
      case 'open':
        for (const b of branches) this.gone.add(b)
        return
      case 'short':
        for (const b of branches) Object.assign(b, { kind: 'resistor', ohms: JUMPER_OHMS, volts: 0 })
        return
      case 'added-ohms': {
        for (const b of branches) {
          const was = b.ohms
          b.ohms += by()
          // The ohms of a fault are known far less well than those of a sound part.
          b.spread = Math.hypot(SPREAD.fault * (b.ohms - was), b.spread * was) / b.ohms
        }
        return
      }
      case 'stuck-closed':
      case 'stuck-open': {
        const stuck = e.is === 'stuck-closed' ? 'closed' : 'open'
        if (device && 'stuck' in Object.assign(device, { stuck })) return
        for (const b of branches) {
          if (stuck === 'closed') this.gone.delete(b)
          else this.gone.add(b)
        }
        return
      }
      case 'times':
      case 'set': {
        const value = e.value ?? 'ohms'
        const holders = [device, ...branches].filter((h) => h !== undefined && value in h) as unknown as Record<
          string,
          number
        >[]
        if (holders.length === 0) {
          throw new WiringError(
            'impossible-netlist',
            this.change!.cause,
            `${e.part} has no "${value}"`,
            'Name another value',
          )
        }
        for (const h of holders) if (h[value] !== undefined) h[value] = e.is === 'set' ? by() : h[value] * by()
        return
      }
    }
  }

  private drop(id: string): boolean {
    const found = this.branches.filter((b) => b.part === id || b.id === id)
    for (const b of found) this.gone.add(b)
    return found.length > 0
  }

  private bridge(id: string): void {
    const contacts = this.byKey.get(`${id}.contacts`) ?? this.byKey.get(id)
    if (!contacts) throw this.noPart(id, 'bridged')
    this.join(`bridge.${id}`, this.nodes[contacts.a]!, this.nodes[contacts.b]!, JUMPER_OHMS)
  }

  private join(id: string, from: string, to: string, ohms: number): void {
    for (const name of [from, to]) if (!this.index.has(name)) throw noNode(name, this.index.keys())
    this.put({ id, spread: SPREAD.fault }, undefined, { kind: 'resistor', from, to, ohms })
  }

  private noPart(id: string, where: string): WiringError {
    const like = near(id, [...this.byKey.keys(), ...this.car.ids])
    return new WiringError(
      'unknown-part',
      id,
      `it is ${where}, but this car has no such part`,
      `Name a part${listed(like)}`,
    )
  }
}

export function noNode(name: string, known: Iterable<string>, where = name): WiringError {
  return new WiringError(
    'unknown-node',
    where,
    'no such place in this circuit',
    `Put the probe on a node${listed(near(name, known))}`,
  )
}

/**
 * How much more internal resistance a lead-acid block has when it is part empty: twice at empty (1.98 V a cell), 1 at
 * full (2.11 V). Common practice, no source.
 */
function weakening(voltsPerCell: number): number {
  const charge = Math.min(1, Math.max(0, (voltsPerCell - 1.98) / (2.11 - 1.98)))
  return 2 - charge
}
