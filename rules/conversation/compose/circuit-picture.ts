import type { CircuitPicture } from '../../protocol/index.ts'
import { wiringNames } from '../../wiring/names.ts'
import type { DrawnPart, Picture } from '../../wiring/picture.ts'
import type { Names } from './names.ts'

export interface Probes {
  red?: string
  black?: string
}

/** A solved circuit with its names and its description, for a screen or a printed page. */
export function circuitPicture(p: Picture, title: string, names: Names, probes: Probes = {}): CircuitPicture {
  const { t } = names
  const w = wiringNames(names.language)
  return {
    circuit: p.family,
    title,
    parts: p.parts.map((part) => ({
      key: part.key,
      name: nameOf(part, names),
      label: part.symbol === 'wire' && !part.suspect ? '' : w.drawn(part.key),
      symbol: part.symbol,
      path: part.path.map(([x, y]) => [x, y] as [number, number]),
      at: part.at,
      turn: part.turn,
      ...(part.label ? { side: part.label } : {}),
      ...(part.closed === undefined ? {} : { closed: part.closed }),
      amps: part.amps,
      alternating: part.alternating,
      flow: part.flow,
      suspect: part.suspect,
      ...(part.fault ? { fault: part.fault } : {}),
    })),
    boxes: p.boxes.map((b) => ({
      key: b.part,
      name: w.part(b.part),
      box: [...b.box] as [number, number, number, number],
      text: [...b.text] as [number, number, number],
      suspect: b.suspect,
      ...(b.missing
        ? { say: t('circuit.waits', { list: b.missing.map((x) => w.why(x)).join(', ') }) }
        : b.demand !== undefined
          ? { say: t('circuit.gives', { percent: Math.round(b.demand * 100) }) }
          : {}),
    })),
    cores: p.cores.map(([a, b]) => [a, b] as [[number, number], [number, number]]),
    nodes: p.nodes.map((n) => ({
      id: n.id,
      name: w.node(n.id),
      line: n.line.map(([x, y]) => [x, y] as [number, number]),
      stretches: n.stretches.map(({ line, flow }) => ({ line, flow })),
      ...(n.volts === undefined ? {} : { volts: n.volts }),
      alternating: n.alternating,
      ...(n.voltsAt ? { voltsAt: n.voltsAt } : {}),
      ...(n.nameAt
        ? { label: { text: w.drawn(n.id), at: [n.nameAt[0], n.nameAt[1]] as [number, number], anchor: n.nameAt[2] } }
        : {}),
    })),
    joins: p.joins,
    ...probes,
    say: sayings(p, names, probes),
  }
}

/** The drawing in words: where the current runs, where the probes are, what is suspected. */
function sayings(p: Picture, names: Names, probes: Probes): string[] {
  const { t } = names
  const w = wiringNames(names.language)
  const list = (flow: DrawnPart['flow']) =>
    p.parts
      .filter((x) => x.flow === flow && x.symbol !== 'wire')
      .map((x) => `${nameOf(x, names)} (${ampsSaid(x, names)})`)
  const power = list('power')
  const signal = list('signal')
  const lines: string[] = []
  if (p.chatters.length > 0) lines.push(t('meter.chatters', { parts: p.chatters.map((x) => w.part(x)).join(', ') }))
  lines.push(power.length > 0 ? t('circuit.power', { list: power.join('; ') }) : t('circuit.no-power'))
  if (signal.length > 0) lines.push(t('circuit.signal', { list: signal.join('; ') }))
  for (const colour of ['red', 'black'] as const) {
    const node = p.nodes.find((n) => n.id === probes[colour])
    if (!node) continue
    lines.push(
      node.volts === undefined
        ? t('circuit.probe.loose', { colour, place: w.node(node.id) })
        : t('circuit.probe', {
            colour,
            place: w.node(node.id),
            volts: names.number(Number(node.volts.toFixed(1))),
            reference: w.node(p.reference),
            alternating: String(node.alternating),
          }),
    )
  }
  const suspects = [...new Set(p.parts.filter((x) => x.suspect).map((x) => nameOf(x, names)))]
  const boxes = p.boxes.filter((b) => b.suspect).map((b) => w.part(b.part))
  if (suspects.length + boxes.length > 0) lines.push(t('circuit.suspect', { list: [...suspects, ...boxes].join('; ') }))
  return lines
}

const nameOf = (part: DrawnPart, names: Names) => wiringNames(names.language).part(part.key)

function ampsSaid(part: DrawnPart, names: Names): string {
  const amps = Math.abs(part.amps)
  return amps < 0.1
    ? `${names.number(Number((amps * 1000).toPrecision(2)))} mA`
    : `${names.number(Number(amps.toPrecision(2)))} A`
}
