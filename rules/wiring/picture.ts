import { partsOfCar, type WiringFacts, type WiringState } from './circuit.ts'
import type { Observed } from './cycle.ts'
import { type Layout, onLine, type Place, piecesOf, type Side, type SymbolName } from './layout.ts'
import { layoutOf } from './layouts.ts'
import { type Change, type Netlist, nodesOf, type Part } from './netlist.ts'
import { ampsThrough } from './operate.ts'
import { admittance } from './phasor.ts'
import { observeCar } from './predict.ts'

/** From these currents on a path counts as live: a signal, or what turns the motor. Common practice, no source. */
export const SIGNAL_AMPS = 0.001
export const POWER_AMPS = 2

/** `power` and `signal` carry current; `ready` stands at volts or at the reference, and `loose` hangs on nothing. */
export type Flow = 'power' | 'signal' | 'ready' | 'loose'

export interface DrawnPart {
  key: string
  part: string
  symbol: SymbolName
  path: readonly Place[]
  at: Place
  turn: 0 | 1 | 2 | 3
  label?: 'n' | 's' | 'e' | 'w'
  /** switches and contacts: as they are in this car state */
  closed?: boolean
  /** along the path; of alternating current the rms value */
  amps: number
  alternating: boolean
  flow: Flow
  suspect: boolean
  /** what the suspect does to it */
  fault?: 'open' | 'short' | 'added-ohms' | 'stuck' | 'changed'
}

export interface DrawnNode {
  id: string
  line: readonly Place[]
  /** a line that several parts join: what it carries between each two of them */
  stretches: { line: [Place, Place]; amps: number; flow: Flow }[]
  /** against the reference, or rms against the mains' neutral; undefined where it hangs on neither */
  volts?: number
  alternating: boolean
  /** where its volts and its name are written */
  voltsAt?: Side
  nameAt?: readonly [number, number, 'start' | 'middle' | 'end']
}

/** A circuit as solved, drawn: what this car has, where it stands and what it carries. */
export interface Picture {
  family: string
  reference: string
  parts: DrawnPart[]
  boxes: {
    part: string
    box: readonly [number, number, number, number]
    text: readonly [number, number, number]
    suspect: boolean
    missing?: string[]
    demand?: number
  }[]
  cores: (readonly [Place, Place])[]
  nodes: DrawnNode[]
  /** two places that the fault joins */
  joins: { from: Place; to: Place }[]
  chatters: string[]
}

export interface PictureQuestion {
  facts?: WiringFacts
  carState?: WiringState
  /** the fault that the circuit is solved with; without it, nothing is wrong */
  cause?: string | undefined
  /** whose parts are marked */
  suspects?: readonly string[]
}

/** @throws WiringError as buildCircuit does */
export function pictureOf(netlist: Netlist, q: PictureQuestion): Picture {
  const layout = layoutOf(netlist.family)
  const observed = observeCar(netlist, {
    ...(q.facts ? { facts: q.facts } : {}),
    cause: q.cause,
    ...(q.carState ? { carState: q.carState } : {}),
  })
  const { circuit, point } = observed
  const car = partsOfCar(netlist, q.facts)
  const has = new Set(car.flatMap(nodesOf))
  const carried = currents(observed)
  const home = point.island[circuit.reference]!
  const neutral = netlist.parts.flatMap((p) => (p.kind === 'supply' ? [circuit.index.get(p.neutral)!] : []))[0]
  const against = neutral ?? circuit.reference
  const marks = marksOf((q.suspects ?? []).flatMap((id) => netlist.change.get(id) ?? []))
  const inCar = new Set(car.flatMap(endsOf))
  const present = new Set([...point.branches, ...(point.alternating?.branches ?? [])].map((b) => b.id))

  const nodes: DrawnNode[] = []
  for (const [id, line] of layout.nodes) {
    if (!has.has(id)) continue
    const n = circuit.index.get(id)!
    const direct = point.island[n] === home ? observed.volts[n]! : undefined
    const rms = point.alternating?.rms(n, against)
    const alternating = rms !== undefined && rms > Math.abs(direct ?? 0)
    const volts = alternating ? rms : direct
    const at = layout.volts.get(id)
    const nameAt = layout.names.get(id)
    nodes.push({
      id,
      line,
      stretches: [],
      ...(volts === undefined ? {} : { volts: tidy(volts) }),
      alternating,
      ...(at ? { voltsAt: at } : {}),
      ...(nameAt ? { nameAt } : {}),
    })
  }
  const voltsOf = new Map(nodes.map((n) => [n.id, n.volts]))
  const parts = layout.pieces
    .filter((p) => inCar.has(`${p.key} ${p.from} ${p.to}`))
    .map((p): DrawnPart => {
      const { amps, alternating } = carried.get(p.branch) ?? { amps: 0, alternating: false }
      const fault = marks.pieces.get(p.key) ?? marks.pieces.get(p.part)
      return {
        key: p.key,
        part: p.part,
        symbol: p.symbol,
        path: p.path,
        at: p.at,
        turn: p.turn,
        ...(p.label ? { label: p.label } : {}),
        ...(p.symbol === 'switch' || p.symbol === 'contacts' ? { closed: present.has(p.branch) } : {}),
        amps: tidy(amps),
        alternating,
        flow: flowOf(amps, voltsOf.get(p.from), voltsOf.get(p.to)),
        suspect: fault !== undefined,
        ...(fault ? { fault } : {}),
      }
    })
  for (const n of nodes) n.stretches = stretchesOf(n, parts, layout)
  return {
    family: netlist.family,
    reference: netlist.reference,
    parts,
    boxes: boxesOf(layout, car, observed, marks),
    cores: [...layout.cores].filter(([id]) => netlist.parts.some((p) => p.id === id)).map(([, core]) => core),
    nodes,
    joins: marks.joins.flatMap(([a, b]) => {
      const [from, to] = [placeOf(layout, a), placeOf(layout, b)]
      return from && to ? [{ from, to }] : []
    }),
    chatters: point.chatters,
  }
}

/** Where a node is drawn; what is inside the pack is drawn as the pack. */
function placeOf(layout: Layout, node: string): Place | undefined {
  const line = layout.nodes.get(node)
  return line ? line.at(-1) : layout.pieces.find((p) => p.symbol === 'pack' && node.startsWith('block-'))?.at
}

/** A part of a car, told from its twin by its nodes: `throttle` with two leads or with three. */
function endsOf(p: Part): string[] {
  return piecesOf(p).map((piece) => `${piece.key} ${piece.from} ${piece.to}`)
}

/**
 * What a node's line carries from one joint to the next: what has come in so far. What a box takes out of it, in its
 * middle, is what is left over.
 */
function stretchesOf(node: DrawnNode, parts: readonly DrawnPart[], layout: Layout): DrawnNode['stretches'] {
  const { line } = node
  if (line.length < 2) return []
  const ends = new Map(layout.pieces.map((p) => [`${p.key} ${p.path}`, p]))
  const joints: { at: Place; along: number; amps: number }[] = line.map((at) => ({
    at,
    along: alongOf(line, at),
    amps: 0,
  }))
  for (const p of parts) {
    const piece = ends.get(`${p.key} ${p.path}`)!
    if (piece.from === node.id) joints.push({ at: p.path[0]!, along: alongOf(line, p.path[0]!), amps: -p.amps })
    if (piece.to === node.id) joints.push({ at: p.path.at(-1)!, along: alongOf(line, p.path.at(-1)!), amps: p.amps })
  }
  // Alternating currents of several phases do not add up; a stretch carries what the joint at its lone end brings.
  const phases = parts.some((p) => p.alternating && joints.some((j) => j.amps !== 0 && Math.abs(j.amps) === p.amps))
  const left = joints.reduce((sum, j) => sum + j.amps, 0)
  if (!phases && Math.abs(left) > SIGNAL_AMPS) {
    const [[x1, y1], [x2, y2]] = [line[0]!, line[1]!]
    const at: Place = [(x1 + x2) / 2, (y1 + y2) / 2]
    joints.push({ at, along: alongOf(line, at), amps: -left })
  }
  joints.sort((a, b) => a.along - b.along)
  const out: DrawnNode['stretches'] = []
  joints.forEach((j, i) => {
    const next = joints[i + 1]
    if (!next || next.along === j.along) return
    const [before, after] = [joints.slice(0, i + 1), joints.slice(i + 1)]
    const sum = before.reduce((total, x) => total + x.amps, 0)
    const amps = phases
      ? Math.min(...[before, after].map((side) => Math.max(...side.map((x) => Math.abs(x.amps)))))
      : sum
    const carried = Math.abs(amps) < 1e-6 ? 0 : tidy(amps)
    out.push({ line: [j.at, next.at], amps: carried, flow: flowOf(carried, node.volts, node.volts) })
  })
  return out
}

/** How far along a line a place is. */
function alongOf(line: readonly Place[], at: Place): number {
  let length = 0
  for (let i = 1; i < line.length; i++) {
    const [a, b] = [line[i - 1]!, line[i]!]
    if (onLine([a, b], at)) return length + Math.abs(at[0] - a[0]) + Math.abs(at[1] - a[1])
    length += Math.abs(b[0] - a[0]) + Math.abs(b[1] - a[1])
  }
  return 0
}

function flowOf(amps: number, from: number | undefined, to: number | undefined): Flow {
  const size = Math.abs(amps)
  if (size >= POWER_AMPS) return 'power'
  if (size >= SIGNAL_AMPS) return 'signal'
  return from === undefined && to === undefined ? 'loose' : 'ready'
}

/** Amperes by branch: direct ones on the average of a cycle, or alternating ones where they are the larger. */
function currents(observed: Observed): Map<string, { amps: number; alternating: boolean }> {
  const out = new Map<string, { amps: number; alternating: boolean }>()
  const { moments, point } = observed
  for (const m of moments) {
    for (const b of m.branches) {
      const amps = ampsThrough(b, m.solved.volts) / moments.length
      if (!Number.isFinite(amps)) continue
      out.set(b.id, { amps: (out.get(b.id)?.amps ?? 0) + amps, alternating: false })
    }
  }
  const ac = point.alternating
  if (!ac) return out
  for (const b of ac.branches) {
    if (b.kind === 'diode') continue
    const [g, s] = admittance(b, 2 * Math.PI * ac.hertz)
    const angle = (b.degrees * Math.PI) / 180
    const emf = b.kind === 'phasor' ? b.volts : 0
    const re = ac.real[b.a]! - ac.real[b.b]! - emf * Math.cos(angle)
    const im = ac.imaginary[b.a]! - ac.imaginary[b.b]! - emf * Math.sin(angle)
    const rms = Math.hypot(re, im) * Math.hypot(g, s)
    if (rms > Math.abs(out.get(b.id)?.amps ?? 0)) out.set(b.id, { amps: rms, alternating: true })
  }
  return out
}

interface Marks {
  pieces: Map<string, NonNullable<DrawnPart['fault']>>
  joins: [string, string][]
}

function marksOf(changes: readonly Change[]): Marks {
  const marks: Marks = { pieces: new Map(), joins: [] }
  for (const e of changes.flatMap((c) => c.is)) {
    if ('join' in e) {
      marks.joins.push(e.join)
      continue
    }
    const fault = e.is.startsWith('stuck') ? 'stuck' : e.is === 'times' || e.is === 'set' ? 'changed' : (e.is as 'open')
    // A block or a joint of the pack is the pack on the drawing; so is what a part does as a whole.
    const piece = e.what !== undefined && !/^(block|joint)-/.test(e.what) ? `${e.part}.${e.what}` : e.part
    marks.pieces.set(piece, fault)
  }
  return marks
}

function boxesOf(layout: Layout, car: readonly Part[], observed: Observed, marks: Marks): Picture['boxes'] {
  const { point } = observed
  const ids = new Set(car.map((p) => p.id))
  const marked = (id: string) => [...marks.pieces.keys()].some((key) => key === id || key.startsWith(`${id}.`))
  return [...layout.boxes]
    .filter(([id]) => ids.has(id))
    .map(([part, { box, text }]) => {
      const inside = [...layout.inside].filter(([, into]) => into === part).map(([id]) => id)
      const controller = point.controllers.get(part)
      const regulated = point.regulated.get(part)
      const missing = controller?.missing ?? (regulated?.mode === 'off' ? regulated.missing : undefined)
      return {
        part,
        box,
        text,
        suspect: [part, ...inside].some(marked),
        ...(missing?.length ? { missing } : {}),
        ...(controller ? { demand: tidy(controller.duty) } : {}),
      }
    })
}

/** Four digits: a screen shows three, and what hangs on the solver's last bit is nobody's business. */
const tidy = (x: number) => (Math.abs(x) < 1e-9 ? 0 : Number(x.toPrecision(4)))
