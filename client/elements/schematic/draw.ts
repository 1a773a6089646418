import { nothing, svg } from 'lit'
import type { CircuitPicture } from '../../../rules/protocol/index.ts'
import { CELL, CHASSIS, HALF, LETTER, symbol } from './symbols.ts'
import { around, frameOf, needleEnd, type Placed, type Rect, type Said, type Tag, wrap } from './words.ts'

type Part = CircuitPicture['parts'][number]
type Node = CircuitPicture['nodes'][number]
type Place = [number, number]

const px = (cells: number) => Math.round(cells * CELL * 10) / 10
const at = ([x, y]: Place) => `${px(x)} ${px(y)}`
const lineOf = (path: readonly Place[]) => `M${path.map(at).join('L')}`

/** What the drawing takes, in px: all that this car has, and its words. */
export function boundsOf(p: CircuitPicture, placed: Placed): { x: number; y: number; width: number; height: number } {
  const dot = ([x, y]: Place): Rect => ({ left: px(x) - 14, right: px(x) + 14, top: px(y) - 14, bottom: px(y) + 14 })
  const { left, top, right, bottom } = around([
    ...p.parts.flatMap((x) => (x.path as Place[]).map(dot)),
    ...p.nodes.flatMap((n) => (n.line as Place[]).map(dot)),
    ...p.boxes.flatMap(({ box: [x, y, w, h] }) => [dot([x, y]), dot([x + w, y + h])]),
    ...placed.words.map((w) => w.room),
    ...placed.tags.map((t) => t.room),
  ])
  return {
    x: Math.floor(left) - 12,
    y: Math.floor(top) - 12,
    width: Math.ceil(right - left) + 24,
    height: Math.ceil(bottom - top) + 24,
  }
}

/** The whole drawing, inside an svg element. */
export function drawCircuit(
  p: CircuitPicture,
  placed: Placed,
  words: { suspect: string; volts(node: Node): string },
  onNode?: (id: string) => void,
) {
  return svg`
    <defs><pattern id="hatch" width="6" height="6" patternTransform="rotate(45)" patternUnits="userSpaceOnUse">
      <path d="M0 0V6" class="hatch"/></pattern></defs>
    ${p.boxes.map((b) => drawBox(b, words.suspect))}
    ${p.cores.map(([[x, y], [, y2]]) => svg`<path class="core" d="M${px(x) - 2.5} ${px(y)}V${px(y2)}M${px(x) + 2.5} ${px(y)}V${px(y2)}"/>`)}
    ${p.joins.map((j) => svg`<path class="join" d="M${at(j.from)}L${at(j.to)}"/>`)}
    ${p.parts.filter((x) => x.suspect).map(drawMark)}
    ${p.parts.map(drawPart)}
    ${p.nodes.map((n) => drawNode(n))}
    ${placed.words.map(drawWords)}
    ${
      onNode
        ? p.nodes.map(
            (
              n,
            ) => svg`<path class="hit" d=${n.line.length > 1 ? lineOf(n.line as Place[]) : `M${at(n.line[0] as Place)}h.01`}
        @click=${() => onNode(n.id)}><title>${n.name}: ${words.volts(n)}</title></path>`,
          )
        : nothing
    }
    ${placed.tags.map(drawProbe)}`
}

/** The wire up to the symbol, and from it on. */
function wires(part: Part): Place[][] {
  const path = part.path as Place[]
  const half = (HALF[part.symbol] ?? 0) / CELL
  if (half === 0) return [path]
  const [x, y] = part.at as Place
  const dx = part.turn === 0 ? 1 : part.turn === 2 ? -1 : 0
  const dy = part.turn === 1 ? 1 : part.turn === 3 ? -1 : 0
  const i = path.findIndex((b, k) => k > 0 && on(path[k - 1]!, b, [x, y]))
  return [
    [...path.slice(0, i), [x - dx * half, y - dy * half]],
    [[x + dx * half, y + dy * half], ...path.slice(i)],
  ]
}

function on([x1, y1]: Place, [x2, y2]: Place, [x, y]: Place): boolean {
  const between = (a: number, b: number, c: number) => Math.min(a, b) <= c && c <= Math.max(a, b)
  return between(x1, x2, x) && between(y1, y2, y)
}

function drawPart(part: Part) {
  const shape = symbol(part.symbol, part.closed)
  const letter = LETTER[part.symbol]
  return svg`<g class="part ${part.flow} ${part.suspect ? 'suspect' : ''}">
    ${wires(part).map((w) => svg`<path class="wire" d=${lineOf(w)}/>`)}
    ${shape ? svg`<g class="symbol" transform="translate(${at(part.at as Place)}) rotate(${part.turn * 90})">${shape}</g>` : nothing}
    ${letter ? svg`<text class="letter ${part.symbol === 'sensor' ? 'small' : ''}" x=${px(part.at[0])} y=${px(part.at[1]) + (part.symbol === 'sensor' ? 4.2 : 5.5)} text-anchor="middle">${letter}</text>` : nothing}
  </g>`
}

/** What is suspected stands in a hatched frame with a flag: told without colour. */
function drawMark(part: Part) {
  const { left, top, right, bottom } = frameOf(part)
  return svg`<g class="mark"><rect x=${left} y=${top} width=${right - left} height=${bottom - top} rx="7" fill="url(#hatch)"/></g>`
}

function drawWords({ kind, lines, flag, x, y, anchor, lineHeight, size }: Said) {
  const last = lines.length - 1
  return svg`<text class="${kind} word" x=${x} y=${y} text-anchor=${anchor} font-size=${size}>${
    lines.length === 1 && !flag
      ? lines[0]
      : lines.map(
          (l, i) =>
            svg`<tspan class=${flag && i === last ? 'flag' : nothing} x=${x} dy=${i === 0 ? 0 : lineHeight}>${l}</tspan>`,
        )
  }</text>`
}

function drawBox(
  { box: [x, y, w, h], text: [tx, ty, tw], name, say, suspect }: CircuitPicture['boxes'][number],
  flag: string,
) {
  const lines = say ? wrap(say, Math.floor((tw * CELL) / 7)) : []
  const [middle, top] = [px(tx), px(ty)]
  const line = (words: string, i: number, kind: string) =>
    svg`<text class=${kind} x=${middle} y=${top + 18 + 15 * i} text-anchor="middle">${words}</text>`
  return svg`<g class="box ${suspect ? 'suspect' : ''}"><rect x=${px(x)} y=${px(y)} width=${px(w)} height=${px(h)} rx="6"/>
    ${suspect ? svg`<rect class="hatched" x=${px(x)} y=${px(y)} width=${px(w)} height=${px(h)} rx="6" fill="url(#hatch)"/>` : nothing}
    <text class="box-name" x=${middle} y=${top} text-anchor="middle">${name}</text>
    ${lines.map((l, i) => line(l, i, 'box-say'))}${suspect ? line(flag, lines.length, 'box-say flag') : nothing}</g>`
}

function drawNode(n: Node) {
  const [x, y] = n.line[0] as Place
  const bus = n.line.length > 1
  return svg`${
    bus
      ? n.stretches.map(
          (s) => svg`<g class="part ${s.flow}"><path class="wire bus" d=${lineOf(s.line as Place[])}/></g>`,
        )
      : svg`<circle class="node" cx=${px(x)} cy=${px(y)} r="2.6"/>`
  }${
    CHASSIS.has(n.id)
      ? svg`<path class="chassis" d="M${px(x) - 11} ${px(y)}h22M${px(x) - 9} ${px(y)}l-5 8M${px(x)} ${px(y)}l-5 8M${px(x) + 9} ${px(y)}l-5 8"/>`
      : nothing
  }`
}

/** A needle on the place and a tag with what stands there; red is round, black is square. */
function drawProbe(tag: Tag) {
  const { which, said, room, size } = tag
  const [x, y] = tag.at
  const [nx, ny] = needleEnd(tag)
  const [width, height] = [room.right - room.left, room.bottom - room.top]
  return svg`<g class="probe ${which}"><path class="needle" d="M${x} ${y}L${nx} ${ny}"/>
    ${which === 'red' ? svg`<circle cx=${x} cy=${y} r="6"/>` : svg`<rect x=${x - 5.5} y=${y - 5.5} width="11" height="11"/>`}
    <rect class="tag" x=${room.left} y=${room.top} width=${width} height=${height} rx="5"/>
    <text x=${room.left + width / 2} y=${room.top + height / 2 + size * 0.36} font-size=${size} text-anchor="middle">${said}</text></g>`
}
