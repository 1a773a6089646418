import { z } from 'zod'
import { WiringError } from './errors.ts'
import type { Netlist, Part } from './netlist.ts'
import { nodesOf } from './netlist.ts'

/**
 * Where each part of a netlist is drawn: rules/knowledge/netlists/layout/<family>.json. Places are counted in cells of a
 * square grid, x to the right, y down. How to lay out a new part: README.md beside this file.
 */
const place = z.tuple([z.number(), z.number()])
export type Place = z.infer<typeof place>
const side = z.enum(['n', 's', 'e', 'w', 'ne', 'nw', 'se', 'sw'])
export type Side = z.infer<typeof side>

/** What stands in the middle of a path; a wire has nothing. */
export const SYMBOLS = [
  'wire',
  'pack',
  'resistor',
  'variable',
  'fuse',
  'lamp',
  'switch',
  'contacts',
  'coil',
  'motor',
  'winding',
  'diode',
  'capacitor',
  'supply',
  'meter',
  'sensor',
  'insulation',
] as const
export type SymbolName = (typeof SYMBOLS)[number]

const placed = z.union([
  z.literal(true).describe('straight from its first node to its second, or round one corner'),
  z.array(place).min(1).describe('corners on the way'),
  z.strictObject({
    via: z.array(place).optional().describe('corners on the way'),
    from: place.optional().describe('where it leaves its first node, if that is a line'),
    to: place.optional(),
    at: place.optional().describe('where the symbol stands; without it, in the middle of the longest stretch'),
    label: z.union([z.enum(['n', 's', 'e', 'w']), z.literal(false)]).optional(),
    symbol: z.enum(SYMBOLS).optional(),
    box: z.tuple([z.number(), z.number(), z.number(), z.number()]).optional().describe('x, y, width, height'),
    text: z
      .tuple([z.number(), z.number(), z.number()])
      .optional()
      .describe("the middle of a box's name, and how wide its words may run; without it, the box's"),
    core: z.tuple([place, place]).optional().describe("a transformer's iron"),
    inside: z.string().optional().describe('a part of this box, not drawn by itself'),
  }),
])
const layoutFile = z.strictObject({
  $schema: z.string().optional(),
  netlist: z.string(),
  about: z.string().min(10),
  nodes: z.record(z.string(), z.union([place, z.array(place).min(2)])).describe('a point, or a line of several'),
  parts: z.record(z.string(), placed).describe('by part, or by piece: "contactor-3.coil", "motor.armature"'),
  names: z
    .record(z.string(), z.tuple([z.number(), z.number(), z.enum(['start', 'middle', 'end'])]))
    .describe('nodes whose name is written, and where'),
  volts: z.record(z.string(), side).describe('nodes whose volts are written, and on which side'),
})

export interface PiecePlace {
  /** key of the layout: the part, or `part.piece` */
  key: string
  part: string
  /** id of the branch whose current it carries */
  branch: string
  from: string
  to: string
  symbol: SymbolName
  path: Place[]
  at: Place
  /** quarter turns from "left to right" */
  turn: 0 | 1 | 2 | 3
  label?: 'n' | 's' | 'e' | 'w'
}

export interface BoxPlace {
  box: readonly [x: number, y: number, width: number, height: number]
  text: readonly [x: number, y: number, width: number]
}

export interface Layout {
  netlist: string
  nodes: ReadonlyMap<string, readonly Place[]>
  pieces: readonly PiecePlace[]
  boxes: ReadonlyMap<string, BoxPlace>
  cores: ReadonlyMap<string, readonly [Place, Place]>
  /** part -> the box that it is a part of */
  inside: ReadonlyMap<string, string>
  names: ReadonlyMap<string, readonly [number, number, 'start' | 'middle' | 'end']>
  volts: ReadonlyMap<string, Side>
}

interface Piece {
  key: string
  branch: string
  from: string
  to: string
  symbol: SymbolName
}

/** The pieces of a part that are drawn as a path from node to node; a controller is a box and has none. */
export function piecesOf(p: Part): Piece[] {
  const one = (symbol: SymbolName, from: string, to: string, what?: string, branch = what): Piece => ({
    key: what === undefined ? p.id : `${p.id}.${what}`,
    branch: branch === undefined ? p.id : `${p.id}.${branch}`,
    from,
    to,
    symbol,
  })
  switch (p.kind) {
    case 'pack':
      return [one('pack', p.positive, p.negative, undefined, 'block-1')]
    case 'cable':
      return [one('wire', p.from, p.to)]
    case 'contactor':
      return [one('coil', ...p.coil, 'coil'), one('contacts', ...p.contacts, 'contacts')]
    case 'motor':
      return [one('motor', ...p.armature, 'armature'), one('winding', ...p.field, 'field')]
    case 'diode':
      return [one('diode', p.anode, p.cathode)]
    case 'throttle':
      return p.wiper === undefined
        ? [one('variable', p.from, p.to)]
        : [one('variable', p.from, p.wiper, 'upper'), one('resistor', p.wiper, p.to, 'lower')]
    case 'supply':
      return [one('supply', p.line, p.neutral)]
    case 'transformer':
      return [
        one('winding', ...p.primary, 'primary'),
        ...p.secondaries.map((s) => one('winding', s.from, s.to, s.name)),
      ]
    case 'controller':
    case 'regulated':
      return []
    default:
      return [one(p.kind, p.from, p.to)]
  }
}

/**
 * Reads a layout against its netlist.
 *
 * @throws WiringError naming the first part or node that has no place, or a place that cannot be
 */
export function parseLayout(json: unknown, netlist: Netlist): Layout {
  const parsed = layoutFile.safeParse(json)
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!
    throw wrong(issue.path.join('.'), issue.message)
  }
  const file = parsed.data
  const nodes = new Map<string, Place[]>()
  for (const [id, at] of Object.entries(file.nodes))
    nodes.set(id, typeof at[0] === 'number' ? [at as Place] : (at as Place[]))
  const layout = {
    netlist: file.netlist,
    nodes,
    pieces: new Map<string, PiecePlace>(),
    boxes: new Map<string, BoxPlace>(),
    cores: new Map<string, readonly [Place, Place]>(),
    inside: new Map<string, string>(),
    names: new Map(Object.entries(file.names)),
    volts: new Map(Object.entries(file.volts)),
  }
  const used = new Set<string>()
  for (const p of netlist.parts) {
    for (const node of nodesOf(p)) if (!nodes.has(node)) throw noPlace(`nodes.${node}`, `a node of ${p.id}`)
    const own = file.parts[p.id]
    const options = typeof own === 'object' && !Array.isArray(own) ? own : {}
    if (own !== undefined) used.add(p.id)
    if (options.inside !== undefined) {
      if (!file.parts[options.inside]) throw noPlace(`parts.${options.inside}`, `the box of ${p.id}`)
      layout.inside.set(p.id, options.inside)
      continue
    }
    if (options.box) {
      const [x, y, width, height] = options.box
      layout.boxes.set(p.id, { box: options.box, text: options.text ?? [x + width / 2, y + height / 2, width] })
    }
    if (options.core) layout.cores.set(p.id, options.core)
    const pieces = piecesOf(p)
    if (pieces.length === 0 && !options.box) throw noPlace(`parts.${p.id}`, 'a box, or what it is inside of')
    for (const piece of pieces) {
      const how = file.parts[piece.key]
      if (how === undefined) throw noPlace(`parts.${piece.key}`, 'its path')
      used.add(piece.key)
      layout.pieces.set(`${piece.key} ${piece.symbol} ${piece.from} ${piece.to}`, pathOf(p.id, piece, how, nodes))
    }
  }
  for (const key of Object.keys(file.parts))
    if (!used.has(key)) throw wrong(`parts.${key}`, 'the netlist has no such part')
  const known = new Set(netlist.parts.flatMap(nodesOf))
  for (const [what, ids] of [
    ['nodes', nodes.keys()],
    ['names', layout.names.keys()],
    ['volts', layout.volts.keys()],
  ] as const) {
    for (const id of ids) if (!known.has(id)) throw wrong(`${what}.${id}`, 'the netlist has no such node')
  }
  return { ...layout, pieces: [...layout.pieces.values()] }
}

type How = z.infer<typeof placed>

function pathOf(part: string, piece: Piece, how: How, nodes: ReadonlyMap<string, Place[]>): PiecePlace {
  const o = how === true ? {} : Array.isArray(how) ? { via: how } : how
  const via = o.via ?? []
  const [a, b] = [nodes.get(piece.from)!, nodes.get(piece.to)!]
  const start = o.from ?? nearest(a, via[0] ?? o.to ?? b)
  const end = o.to ?? nearest(b, via.at(-1) ?? start)
  for (const [at, node, id] of [
    [start, a, piece.from],
    [end, b, piece.to],
  ] as const) {
    if (!onLine(node, at)) throw wrong(`parts.${piece.key}`, `[${at}] is not on ${id}`)
  }
  const path: Place[] = [start, ...via, end]
  if (via.length === 0 && start[0] !== end[0] && start[1] !== end[1]) path.splice(1, 0, [end[0], start[1]])
  for (let i = 1; i < path.length; i++) {
    const [[x1, y1], [x2, y2]] = [path[i - 1]!, path[i]!]
    if (x1 !== x2 && y1 !== y2) throw wrong(`parts.${piece.key}`, `[${path[i - 1]}] to [${path[i]}] is aslant`)
  }
  const { at, turn, length } = middle(path, o.at)
  if (length < SYMBOL_LENGTH && (o.symbol ?? piece.symbol) !== 'wire') {
    throw wrong(`parts.${piece.key}`, `a symbol needs a stretch of ${SYMBOL_LENGTH} cells, there are ${length}`)
  }
  const label = o.label ?? (turn % 2 === 0 ? 'n' : 'e')
  return {
    ...piece,
    part,
    symbol: o.symbol ?? piece.symbol,
    path,
    at,
    turn,
    ...(label === false ? {} : { label }),
  }
}

/** Room that a symbol takes along its path, in cells. */
export const SYMBOL_LENGTH = 2.5

function middle(path: readonly Place[], wanted: Place | undefined): { at: Place; turn: 0 | 1 | 2 | 3; length: number } {
  let best = { at: path[0]!, turn: 0 as 0 | 1 | 2 | 3, length: -1 }
  for (let i = 1; i < path.length; i++) {
    const [[x1, y1], [x2, y2]] = [path[i - 1]!, path[i]!]
    const length = Math.abs(x2 - x1) + Math.abs(y2 - y1)
    const turn = y1 === y2 ? (x2 >= x1 ? 0 : 2) : y2 >= y1 ? 1 : 3
    if (wanted ? onLine([path[i - 1]!, path[i]!], wanted) : length > best.length) {
      best = { at: wanted ?? [(x1 + x2) / 2, (y1 + y2) / 2], turn, length }
    }
  }
  return best
}

/** The place on a node's line that looks straight at the target, else its nearest end. */
function nearest(line: readonly Place[], target: Place | readonly Place[]): Place {
  const targets = (typeof target[0] === 'number' ? [target] : target) as readonly Place[]
  const [x, y] = targets[0]!
  if (targets.length === 1) {
    for (let i = 1; i < line.length; i++) {
      const [a, b] = [line[i - 1]!, line[i]!]
      const at: Place = a[0] === b[0] ? [a[0], y] : [x, a[1]]
      if (onLine([a, b], at)) return at
    }
  }
  const far = (p: Place) => Math.min(...targets.map(([a, b]) => Math.abs(a - p[0]) + Math.abs(b - p[1])))
  return [...line].sort((p, q) => far(p) - far(q))[0]!
}

/** Whether a place is on a line of several, or is the point. */
export function onLine(line: readonly Place[], [x, y]: Place): boolean {
  if (line.length === 1) return line[0]![0] === x && line[0]![1] === y
  return line.some((b, i) => {
    const a = line[i - 1]
    if (!a) return false
    const between = (u: number, v: number, w: number) => Math.min(u, v) <= w && w <= Math.max(u, v)
    return (
      (a[0] === b[0] && x === a[0] && between(a[1], b[1], y)) || (a[1] === b[1] && y === a[1] && between(a[0], b[0], x))
    )
  })
}

const README = 'See "How to lay out a part" in rules/wiring/README.md'
const wrong = (where: string, what: string) => new WiringError('impossible-netlist', `layout ${where}`, what, README)
const noPlace = (where: string, what: string) =>
  new WiringError('impossible-netlist', `layout ${where}`, `it has no place (${what})`, README)
