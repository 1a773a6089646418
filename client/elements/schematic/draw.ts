import { nothing, svg } from 'lit'
import type { CircuitPicture } from '../../../rules/protocol/index.ts'
import { ACROSS, CELL, CHASSIS, HALF, LETTER, symbol } from './symbols.ts'

type Part = CircuitPicture['parts'][number]
type Node = CircuitPicture['nodes'][number]
type Place = [number, number]

export interface Words {
  volts(node: Node): string
  red: string
  black: string
  suspect: string
}

const px = (cells: number) => Math.round(cells * CELL * 10) / 10
const at = ([x, y]: Place) => `${px(x)} ${px(y)}`
const lineOf = (path: readonly Place[]) => `M${path.map(at).join('L')}`

/** What the drawing takes, in px: of all that this car has, with room for words at the edges. */
export function boundsOf(p: CircuitPicture): { x: number; y: number; width: number; height: number } {
  const places: Place[] = [
    ...p.parts.flatMap((x) => x.path as Place[]),
    ...p.nodes.flatMap((n) => n.line as Place[]),
    ...p.boxes.flatMap(({ box: [x, y, w, h] }) => [[x, y] as Place, [x + w, y + h] as Place]),
  ]
  // Words stand beside their parts and may reach further than those.
  const ends = p.parts.flatMap((x): number[] => {
    const reach = (x.label.length * 7.4 + 20) / CELL
    return x.side === 'e' ? [x.at[0] + reach] : x.side === 'w' ? [x.at[0] - reach] : []
  })
  const xs = [...places.map((q) => q[0]), ...ends]
  const ys = places.map((q) => q[1])
  const [left, top] = [Math.min(...xs) - 3, Math.min(...ys) - 2.4]
  return {
    x: px(left),
    y: px(top),
    width: px(Math.max(...xs) + 3.4 - left),
    height: px(Math.max(...ys) + 2.6 - top),
  }
}

/** Where a probe is set on a node: a line is touched at its first end, beside which its volts would stand. */
export function probePlace(p: CircuitPicture, which: 'red' | 'black'): Place | undefined {
  return p.nodes.find((n) => n.id === p[which])?.line[0] as Place | undefined
}

/** The whole drawing, inside an svg element. */
export function drawCircuit(p: CircuitPicture, words: Words, onNode?: (id: string) => void) {
  const probed = new Set([p.red, p.black])
  return svg`
    <defs><pattern id="hatch" width="6" height="6" patternTransform="rotate(45)" patternUnits="userSpaceOnUse">
      <path d="M0 0V6" class="hatch"/></pattern></defs>
    ${p.boxes.map((b) => drawBox(b))}
    ${p.cores.map(([[x, y], [, y2]]) => svg`<path class="core" d="M${px(x) - 2.5} ${px(y)}V${px(y2)}M${px(x) + 2.5} ${px(y)}V${px(y2)}"/>`)}
    ${p.joins.map((j) => svg`<path class="join" d="M${at(j.from)}L${at(j.to)}"/>`)}
    ${p.parts.filter((x) => x.suspect).map((x) => drawMark(x, words))}
    ${p.parts.map(drawPart)}
    ${p.nodes.map((n) => drawNode(n))}
    ${p.parts.map(drawLabel)}
    ${p.nodes.map((n) => (n.label ? text(n.label.at, n.label.text, n.label.anchor, 'node-name') : nothing))}
    ${p.nodes.filter((n) => n.voltsAt && !probed.has(n.id)).map((n) => drawVolts(n, words))}
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
    ${drawProbe(p, 'black', words)}${drawProbe(p, 'red', words)}`
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
    ${letter ? svg`<text class="letter" x=${px(part.at[0])} y=${px(part.at[1]) + 5.5} text-anchor="middle">${letter}</text>` : nothing}
  </g>`
}

function drawLabel(part: Part) {
  if (!part.label || !part.side) return nothing
  // Beside the frame of a suspect there is less room.
  const far = (part.turn % 2 === 0 ? ACROSS[part.symbol] : Math.max(ACROSS[part.symbol] ?? 6, 8)) ?? 6
  const out = far + (part.suspect ? 12 : 0)
  const [x, y] = [px(part.at[0]), px(part.at[1])]
  const [dx, dy, anchor] = {
    n: [0, -out - 7, 'middle'],
    s: [0, out + 17, 'middle'],
    e: [out + 9, 4.5, 'start'],
    w: [-out - 9, 4.5, 'end'],
  }[part.side] as [number, number, string]
  return svg`<text class="part-name ${part.suspect ? 'suspect' : ''}" x=${x + dx} y=${y + dy} text-anchor=${anchor}>${part.label}</text>`
}

/** What is suspected stands in a hatched frame with a flag: told without colour. */
function drawMark(part: Part, words: Words) {
  const [x, y] = [px(part.at[0]), px(part.at[1])]
  const along = Math.max(HALF[part.symbol] ?? 0, 12) + 9
  const across = 20
  const flat = part.turn % 2 === 0
  const [w, h] = flat ? [along, across] : [across, along]
  // The flag stands where neither the wire nor the label is.
  const flag = flat
    ? svg`<text x=${x} y=${part.side === 'n' ? y + h + 14 : y - h - 6} text-anchor="middle">${words.suspect}</text>`
    : svg`<text x=${x + 7} y=${y - h - 5} text-anchor="start">${words.suspect}</text>`
  return svg`<g class="mark"><rect x=${x - w} y=${y - h} width=${2 * w} height=${2 * h} rx="7" fill="url(#hatch)"/>${flag}</g>`
}

function drawBox({ box: [x, y, w, h], text: [tx, ty, tw], name, say, suspect }: CircuitPicture['boxes'][number]) {
  const lines = say ? wrap(say, Math.floor((tw * CELL) / 7)) : []
  const [middle, top] = [px(tx), px(ty)]
  return svg`<g class="box ${suspect ? 'suspect' : ''}"><rect x=${px(x)} y=${px(y)} width=${px(w)} height=${px(h)} rx="6"/>
    ${suspect ? svg`<rect class="hatched" x=${px(x)} y=${px(y)} width=${px(w)} height=${px(h)} rx="6" fill="url(#hatch)"/>` : nothing}
    <text class="box-name" x=${middle} y=${top} text-anchor="middle">${name}</text>
    ${lines.map((l, i) => svg`<text class="box-say" x=${middle} y=${top + 18 + 15 * i} text-anchor="middle">${l}</text>`)}</g>`
}

function wrap(words: string, most: number): string[] {
  const lines: string[] = []
  for (const word of words.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + word.length < most) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
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

const COMPASS: Record<string, { dx: number; dy: number; anchor: string }> = {
  n: { dx: 0, dy: -7, anchor: 'middle' },
  s: { dx: 0, dy: 17, anchor: 'middle' },
  e: { dx: 8, dy: 4, anchor: 'start' },
  w: { dx: -8, dy: 4, anchor: 'end' },
  ne: { dx: 5, dy: -6, anchor: 'start' },
  nw: { dx: -5, dy: -6, anchor: 'end' },
  se: { dx: 5, dy: 16, anchor: 'start' },
  sw: { dx: -5, dy: 16, anchor: 'end' },
}

function drawVolts(n: Node, words: Words) {
  const { dx, dy, anchor } = COMPASS[n.voltsAt!]!
  const [x, y] = n.line[0] as Place
  return svg`<text class="volts" x=${px(x) + dx} y=${px(y) + dy} text-anchor=${anchor}>${words.volts(n)}</text>`
}

/** A needle on the place and a tag with what stands there; red is round, black is square. */
function drawProbe(p: CircuitPicture, which: 'red' | 'black', words: Words) {
  const place = probePlace(p, which)
  const node = p.nodes.find((n) => n.id === p[which])
  if (!place || !node) return nothing
  const said = `${words[which]} ${words.volts(node)}`
  const [x, y] = [px(place[0]), px(place[1])]
  const [width, height] = [said.length * 7.6 + 14, 24]
  const other = probePlace(p, which === 'red' ? 'black' : 'red')
  // Where the layout leaves room for the volts; else away from the other probe.
  const side = node.voltsAt ?? (other && other[1] < place[1] ? 'se' : 'ne')
  const tx = side.includes('e') ? x + 15 : side.includes('w') ? x - 15 - width : x - width / 2
  const ty = side.includes('n') ? y - 20 - height : side.includes('s') ? y + 18 : y - height / 2
  const [nx, ny] = [Math.min(tx + width - 8, Math.max(tx + 8, x)), Math.min(ty + height, Math.max(ty, y))]
  return svg`<g class="probe ${which}"><path class="needle" d="M${x} ${y}L${nx} ${ny}"/>
    ${which === 'red' ? svg`<circle cx=${x} cy=${y} r="6"/>` : svg`<rect x=${x - 5.5} y=${y - 5.5} width="11" height="11"/>`}
    <rect class="tag" x=${tx} y=${ty} width=${width} height=${height} rx="5"/>
    <text x=${tx + width / 2} y=${ty + 16.5} text-anchor="middle">${said}</text></g>`
}

function text([x, y]: Place, said: string, anchor: string, kind: string) {
  return svg`<text class=${kind} x=${px(x)} y=${px(y)} text-anchor=${anchor}>${said}</text>`
}
