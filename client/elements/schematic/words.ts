import type { CircuitPicture } from '../../../rules/protocol/index.ts'
import { ACROSS, CELL, HALF } from './symbols.ts'

type Part = CircuitPicture['parts'][number]
type Node = CircuitPicture['nodes'][number]
type Point = readonly [x: number, y: number]

/** All of a drawing's words are put here, in px: where nothing else stands, else where it hurts least. */
export interface Rect {
  left: number
  top: number
  right: number
  bottom: number
}

export interface Said {
  kind: 'part-name' | 'part-name suspect' | 'node-name' | 'volts'
  lines: string[]
  /** the last line is the flag of a suspect */
  flag: boolean
  x: number
  /** baseline of the first line */
  y: number
  anchor: 'start' | 'middle' | 'end'
  lineHeight: number
  size: number
  room: Rect
}

export interface Tag {
  which: 'red' | 'black'
  said: string
  at: Point
  /** of the words */
  size: number
  room: Rect
}

export interface Placed {
  words: Said[]
  tags: Tag[]
  /** the frames of suspects, each with its words */
  suspects: Rect[]
}

export interface Asked {
  volts(node: Node): string
  red: string
  black: string
  suspect: string
  /** on paper the words are larger against the lines */
  fixed: boolean
  /** how much the drawing is made smaller or larger: made small, the words shrink less, the probes' and suspects' least */
  scale: number
}

const px = (cells: number) => cells * CELL
/** What a character takes, as a share of the size of its font: rather more than less. */
const CHARACTER = { plain: 0.58, bold: 0.65, figures: 0.61 }
/** The flag of a suspect is smaller than its name. */
const FLAG = 0.9
/** Names longer than this stand on several lines. */
const LONG = 17
/** What it costs to cover something, against a place further away (1 each step). */
const COVERS = { word: 120, held: 25, tag: 160, symbol: 45, probe: 90, frame: 60, edge: 16, wire: 12 }

export const overlap = (a: Rect, b: Rect): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

export const around = (rects: readonly Rect[]): Rect => ({
  left: Math.min(...rects.map((r) => r.left)),
  top: Math.min(...rects.map((r) => r.top)),
  right: Math.max(...rects.map((r) => r.right)),
  bottom: Math.max(...rects.map((r) => r.bottom)),
})

const grown = (r: Rect, by: number): Rect => ({
  left: r.left - by,
  top: r.top - by,
  right: r.right + by,
  bottom: r.bottom + by,
})

/** Where the frame of a suspect is drawn. */
export function frameOf(part: Part): Rect {
  const [x, y] = [px(part.at[0]), px(part.at[1])]
  const along = Math.max(HALF[part.symbol] ?? 0, 12) + 9
  const across = part.symbol === 'wire' ? 13 : 20
  const [w, h] = part.turn % 2 === 0 ? [along, across] : [across, along]
  return { left: x - w, right: x + w, top: y - h, bottom: y + h }
}

export function wrap(words: string, most: number): string[] {
  const lines: string[] = []
  for (const word of words.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + word.length < most) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}

/** What is in the way. */
class Field {
  #taken: { rect: Rect; cost: number }[] = []

  /** @returns what gives it back */
  take(rect: Rect, cost: number): () => void {
    const taken = { rect, cost }
    this.#taken.push(taken)
    return () => (this.#taken = this.#taken.filter((t) => t !== taken))
  }

  line(path: readonly Point[], cost: number) {
    path.forEach(([x, y], i) => {
      const before = path[i - 1]
      if (before) this.take(grown(around([dot(before), dot([x, y])]), 2), cost)
    })
  }

  cost(rect: Rect): number {
    return this.#taken.reduce((sum, t) => sum + (overlap(t.rect, rect) ? t.cost : 0), 0)
  }
}

const dot = ([x, y]: Point): Rect => ({ left: x, right: x, top: y, bottom: y })

interface Block {
  lines: string[]
  size: number
  kind: Said['kind']
  flag?: boolean
}

function said(block: Block, x: number, y: number, anchor: Said['anchor']): Said {
  const { lines, size, kind, flag = false } = block
  const character = kind === 'volts' ? CHARACTER.figures : kind === 'node-name' ? CHARACTER.plain : CHARACTER.bold
  const wide = lines.map((l, i) => l.length * (flag && i === lines.length - 1 ? FLAG : 1))
  const width = Math.max(...wide) * size * (kind === 'part-name' ? CHARACTER.plain : character)
  const left = anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2
  const lineHeight = Math.round(size * 1.2)
  const room = {
    left: left - 2,
    right: left + width + 2,
    top: y - size * 0.86,
    bottom: y + (lines.length - 1) * lineHeight + size * 0.28,
  }
  return { kind, lines, flag, x, y, anchor, lineHeight, size, room }
}

/** Where words may stand beside something, nearest to what the layout says first. */
function beside(block: Block, box: Rect, gap: number, first: string): Said[] {
  const middle: Point = [(box.left + box.right) / 2, (box.top + box.bottom) / 2]
  const height = (block.lines.length - 1) * Math.round(block.size * 1.2)
  const above = box.top - gap - block.size * 0.28 - height
  const below = box.bottom + gap + block.size * 0.8
  const level = middle[1] + block.size * 0.35 - height / 2
  const sides: Record<string, Said> = {
    n: said(block, middle[0], above, 'middle'),
    s: said(block, middle[0], below, 'middle'),
    e: said(block, box.right + gap + 1, level, 'start'),
    w: said(block, box.left - gap - 1, level, 'end'),
    ne: said(block, middle[0] + 6, above, 'start'),
    nw: said(block, middle[0] - 6, above, 'end'),
    se: said(block, middle[0] + 6, below, 'start'),
    sw: said(block, middle[0] - 6, below, 'end'),
  }
  return [sides[first]!, ...Object.entries(sides).flatMap(([side, s]) => (side === first ? [] : [s]))]
}

/** The words of a suspect may stand above or below it a little aside as well. */
function besideFrame(block: Block, frame: Rect, first: string): Said[] {
  const aside = [5, 18, 30].flatMap((gap) =>
    [0, 14, -14, 28, -28, 48, -48].flatMap((dx) => {
      const moved = { ...frame, left: frame.left + dx, right: frame.right + dx }
      return beside(block, moved, gap, 'n').slice(0, 2)
    }),
  )
  return [...beside(block, frame, 5, first), ...aside]
}

/** The cheapest: the first where nothing is in the way; each further one costs a little. */
function best<T extends { room: Rect }>(
  field: Field,
  choices: readonly T[],
  first = 0,
  each = 1,
  more: (choice: T) => number = () => 0,
): [T, number] {
  let found: [T, number] = [choices[0]!, Number.POSITIVE_INFINITY]
  choices.forEach((c, i) => {
    const cost = field.cost(c.room) + more(c) + (i === 0 ? 0 : first + i * each)
    if (cost < found[1]) found = [c, cost]
  })
  return found
}

export function placeWords(p: CircuitPicture, asked: Asked): Placed {
  const { fixed, scale } = asked
  const larger = fixed ? 1 : Math.max(1, 0.85 / scale)
  const names = fixed ? 1 : Math.min(1.5, Math.max(1, 0.72 / scale))
  const field = obstacles(p)
  const words: Said[] = []
  const put = (s: Said, cost = COVERS.word) => {
    words.push(s)
    field.take(s.room, cost)
  }
  const probes = (['black', 'red'] as const).flatMap((which) => {
    const node = p.nodes.find((n) => n.id === p[which])
    const line = node?.line[0]
    return node && line ? [{ which, node, at: [px(line[0]), px(line[1])] as Point }] : []
  })
  for (const { at } of probes) field.take(grown(dot(at), 7), COVERS.probe)

  const plain = p.parts.filter((x) => x.label && x.side && !x.suspect)
  const size = fixed
    ? { part: 14, node: 13, volts: 12.5, tag: 13 }
    : { part: 13 * names, node: 12.5 * names, volts: 11.5 * names, tag: 12.5 }
  for (const part of plain) put(best(field, besidePart(part, size.part), 20)[0])
  // Names in boxes and at terminals may move a little, so they are only half in the way until their turn comes.
  const held = new Map(
    p.nodes.flatMap((n) => (n.label ? [[n.id, field.take(nameOf(n, size.node).room, COVERS.held)] as const] : [])),
  )

  const suspects: Rect[] = []
  for (const part of p.parts.filter((x) => x.suspect)) {
    const frame = frameOf(part)
    const lines = [...wrap(part.label, LONG).filter(Boolean), asked.suspect]
    const block: Block = { lines, size: (fixed ? 14 : 13) * larger, kind: 'part-name suspect', flag: true }
    const [s] = best(field, besideFrame(block, frame, part.side ?? (part.turn % 2 === 0 ? 'n' : 'e')), 1, 0.15)
    put(s)
    suspects.push(around([frame, s.room]))
  }

  const tags: Tag[] = []
  for (const { which, node, at } of probes) {
    const text = `${asked[which]} ${asked.volts(node)}`
    const other = probes.find((x) => x.which !== which)?.at
    const [tag] = best(
      field,
      tagPlaces({ which, text, at, size: size.tag * larger, wanted: node.voltsAt }),
      0,
      0.6,
      (t) => strikes(field, t) + away(t, other),
    )
    tags.push(tag)
    field.take(tag.room, COVERS.tag)
    field.take(around([dot(at), dot(needleEnd(tag))]), COVERS.symbol)
  }

  const probed = new Set([p.red, p.black])
  for (const n of p.nodes) {
    if (!n.label) continue
    const own = nameOf(n, size.node)
    held.get(n.id)!()
    const choices = [own, ...aroundNode(n, { lines: [n.label.text], size: size.node, kind: 'node-name' }, own)]
    const [s, cost] = best(field, choices, 6)
    // What a probe touches is named beside the drawing as well.
    if (cost < COVERS.symbol || !probed.has(n.id)) put(s)
  }
  for (const n of p.nodes) {
    if (!n.voltsAt || n.volts === undefined || probed.has(n.id)) continue
    const block: Block = { lines: [asked.volts(n)], size: size.volts, kind: 'volts' }
    const [s, cost] = best(field, besideNode(n, block, n.voltsAt), 3)
    // A figure that would cover a word helps nobody; it stands in the table as well.
    if (cost < COVERS.held) put(s)
  }
  return { words, tags, suspects }
}

function obstacles(p: CircuitPicture): Field {
  const field = new Field()
  for (const { box, text, name, say } of p.boxes) {
    const [x, y, w, h] = box.map(px) as [number, number, number, number]
    field.line([[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]], COVERS.edge) // biome-ignore format: a ring
    const lines = [name, ...(say ? wrap(say, Math.floor(px(text[2]) / 7)) : [])]
    const half = (Math.max(name.length * 9, ...lines.slice(1).map((l) => l.length * 7.2)) + 6) / 2
    const [mx, my] = [px(text[0]), px(text[1])]
    field.take(
      { left: mx - half, right: mx + half, top: my - 14, bottom: my + 6 + 15 * (lines.length - 1) },
      COVERS.word,
    )
  }
  for (const part of p.parts) {
    const path = part.path.map(([x, y]) => [px(x), px(y)] as Point)
    field.line(path, COVERS.wire)
    const frame = frameOf(part)
    if (part.suspect) field.take(frame, COVERS.frame)
    else if (part.symbol !== 'wire') field.take(symbolRoom(part), COVERS.symbol)
  }
  for (const n of p.nodes) {
    const line = n.line.map(([x, y]) => [px(x), px(y)] as Point)
    if (line.length > 1) field.line(line, COVERS.wire)
    else field.take(grown(dot(line[0]!), 3), COVERS.wire)
  }
  for (const [[x, y], [, y2]] of p.cores)
    field.take({ left: px(x) - 5, right: px(x) + 5, top: px(y), bottom: px(y2) }, COVERS.edge)
  return field
}

function symbolRoom(part: Part): Rect {
  const [x, y] = [px(part.at[0]), px(part.at[1])]
  const [along, across] = [HALF[part.symbol] ?? 12, ACROSS[part.symbol] ?? 6]
  const [w, h] = part.turn % 2 === 0 ? [along, across] : [across, along]
  // With the width of its lines.
  return grown({ left: x - w, right: x + w, top: y - h, bottom: y + h }, 2)
}

/** The name of a part: on the layout's side, close to its symbol. */
function besidePart(part: Part, size: number): Said[] {
  const [x, y] = [px(part.at[0]), px(part.at[1])]
  const across = (part.turn % 2 === 0 ? ACROSS[part.symbol] : Math.max(ACROSS[part.symbol] ?? 6, 8)) ?? 6
  const half = HALF[part.symbol] ?? 12
  const [w, h] = part.turn % 2 === 0 ? [half, across] : [across, half]
  const box = { left: x - w, right: x + w, top: y - h, bottom: y + h }
  return beside({ lines: [part.label], size, kind: 'part-name' }, box, 4, part.side!)
}

function nameOf(n: Node, size: number): Said {
  const { text, at, anchor } = n.label!
  return said({ lines: [text], size, kind: 'node-name' }, px(at[0]), px(at[1]), anchor)
}

/** Close round the place that a node's name stands at, and round the node. */
function aroundNode(n: Node, block: Block, own: Said): Said[] {
  const near = [
    [0, 5],
    [0, -5],
    [0, 10],
    [0, -10],
    [8, 0],
    [-8, 0],
    [14, 0],
    [-14, 0],
  ].map(([dx, dy]) => said(block, own.x + dx!, own.y + dy!, own.anchor))
  return [...near, ...besideNode(n, block, 'ne')]
}

function besideNode(n: Node, block: Block, first: string): Said[] {
  const [x, y] = n.line[0]!
  return beside(block, grown(dot([px(x), px(y)]), 3), 6, first)
}

const SIDES: Record<string, readonly [number, number]> = {
  ne: [1, -1],
  nw: [-1, -1],
  se: [1, 1],
  sw: [-1, 1],
  n: [0, -1],
  s: [0, 1],
  e: [1, 0],
  w: [-1, 0],
}

/** A probe's tag: round its place, near before far. */
function tagPlaces(asked: {
  which: Tag['which']
  text: string
  at: Point
  size: number
  wanted: string | undefined
}): Tag[] {
  const { which, text, at, size, wanted } = asked
  const [width, height] = [text.length * size * CHARACTER.figures + 14, size + 11.5]
  const sides = Object.entries(SIDES).sort(([a], [b]) => Number(b === wanted) - Number(a === wanted))
  return [16, 28, 44, 64, 90].flatMap((far) =>
    sides.map(([, [dx, dy]]) => {
      const [x, y] = [at[0] + dx * far, at[1] + dy * far]
      const left = dx === 0 ? x - width / 2 : dx > 0 ? x : x - width
      const top = dy === 0 ? y - height / 2 : dy > 0 ? y : y - height
      return { which, said: text, at, size, room: { left, top, right: left + width, bottom: top + height } }
    }),
  )
}

/** A tag towards the other probe rather than away from it: so both are seen in less room. */
function away({ at, room }: Tag, other: Point | undefined): number {
  if (!other) return 0
  const [x, y] = [(room.left + room.right) / 2 - at[0], (room.top + room.bottom) / 2 - at[1]]
  return x * (other[0] - at[0]) < -1 ? 20 : y * (other[1] - at[1]) < -1 ? 6 : 0
}

/** What the needle of a tag, and coming too close to it, would strike. */
function strikes(field: Field, tag: Tag): number {
  const [[x, y], [ex, ey]] = [tag.at, needleEnd(tag)]
  const along = [0.45, 0.6, 0.75, 0.9].map((t) => field.cost(grown(dot([x + t * (ex - x), y + t * (ey - y)]), 2)))
  return Math.max(...along) + (field.cost(grown(tag.room, 4)) - field.cost(tag.room)) / 4
}

/** Where the needle of a probe meets its tag. */
export function needleEnd({ at: [x, y], room }: Tag): Point {
  const inset = Math.min(8, (room.right - room.left) / 2)
  return [Math.min(room.right - inset, Math.max(room.left + inset, x)), Math.min(room.bottom, Math.max(room.top, y))]
}
