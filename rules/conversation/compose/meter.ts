import type { MeterBody } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { hasPartsFor, partsOfCar, type WiringFacts, type WiringState } from '../../wiring/circuit.ts'
import { WiringError } from '../../wiring/errors.ts'
import { type MeterQuestion, type MeterReading, metersAt } from '../../wiring/meter.ts'
import { wiringNames } from '../../wiring/names.ts'
import { type Netlist, nodesOf } from '../../wiring/netlist.ts'
import { pictureOf } from '../../wiring/picture.ts'
import type { Refusal } from '../steps/types.ts'
import type { TextKey } from '../texts/index.ts'
import type { Turn } from '../turn.ts'
import { blockBarsOf } from './block-bars.ts'
import { circuitPicture } from './circuit-picture.ts'
import { circuitName, circuitsOf, type Look, lookOf, type Question, refusalOf } from './look.ts'
import type { Names } from './names.ts'
import { sayPrediction } from './prediction.ts'
import { plotsOf } from './row-plots.ts'

/** A cause less likely than this is not marked on the drawing: everything would be. */
const SUSPECT_FROM = 0.05

/** What every instrument shows between two points of this car, and the circuit drawn; or what was wrong with asking. */
export function meterBody(
  r: Reasoner,
  turn: Turn,
  names: Names,
  q: Question,
): { meter: MeterBody } | { refuse: Refusal } {
  const look = lookOf(r, turn, names, q)
  if ('refuse' in look) return look
  try {
    return { meter: bodyOf(r, turn, names, look) }
  } catch (error) {
    if (error instanceof WiringError) return { refuse: refusalOf(error, names) }
    throw error
  }
}

function bodyOf(r: Reasoner, turn: Turn, names: Names, look: Look): MeterBody {
  const w = wiringNames(names.language)
  const { netlist, facts, carState, red, black, cause, check } = look
  const question: MeterQuestion = { facts, carState, red, black, cause }
  const readings = metersAt(netlist, question)
  const sound = cause === undefined ? undefined : metersAt(netlist, { ...question, cause: undefined })
  const suspect = cause ?? suspectOf(turn, look)
  const named = suspect === undefined ? undefined : { id: suspect, name: names.cause(suspect, 'technician') }
  const picture = pictureOf(netlist, { facts, carState, cause, ...(suspect ? { suspects: [suspect] } : {}) })
  const steps = (netlist.states['step'] ?? []).map(Number)
  const blocks = blockBarsOf(turn, names)
  return {
    ...(check ? { check: check.id } : {}),
    circuit: netlist.family,
    circuits: circuitsOf(turn, names),
    red: { id: red, name: w.node(red) },
    black: { id: black, name: w.node(black) },
    ...(cause === undefined ? {} : { cause: { id: cause, name: names.cause(cause, 'technician') } }),
    carState: carState as MeterBody['carState'],
    stateSay: stateSay(netlist, carState, names),
    ...taken(netlist, turn, names),
    readings: readings.map((x) => readingBody(x, sound, names)),
    places: placesOfCar(netlist, facts, names),
    causes: causesOf(r, turn, names, look),
    steps,
    pictures: {
      circuit: circuitPicture(picture, circuitName(names, netlist.family), names, { red, black }),
      steps: plotsOf(r, turn, names, look, named),
      ...(blocks ? { blocks } : {}),
    },
  }
}

function readingBody(
  x: MeterReading,
  sound: readonly MeterReading[] | undefined,
  names: Names,
): MeterBody['readings'][number] {
  const { prediction: p } = x
  const said = sayPrediction(p, names)
  const other = sound?.find((s) => s.instrument === x.instrument && s.dead === x.dead)
  const otherSaid = other && sayPrediction(other.prediction, names)
  return {
    instrument: x.instrument,
    name: names.t(`meter.instrument.${x.instrument}` as TextKey),
    said,
    ...(otherSaid !== undefined && otherSaid !== said ? { sound: otherSaid } : {}),
    kind: p.kind,
    ...(p.kind === 'number' ? { unit: p.unit, mean: p.mean, low: p.low, high: p.high } : {}),
    ...(x.around === undefined ? {} : { around: wiringNames(names.language).part(x.around) }),
    dead: x.dead ?? false,
  }
}

/** The likeliest cause that this circuit can show, if it stands out at all. */
function suspectOf(turn: Turn, { netlist, facts }: Look): string | undefined {
  return turn.ranked.find((x) => x.p >= SUSPECT_FROM && netlist.change.has(x.id) && hasPartsFor(netlist, facts, x.id))
    ?.id
}

function causesOf(r: Reasoner, turn: Turn, names: Names, { netlist, facts }: Look): MeterBody['causes'] {
  const order = new Map(turn.ranked.map((x, i) => [x.id, i]))
  return [...netlist.change.keys()]
    .filter((id) => r.lookup.cause.has(id) && hasPartsFor(netlist, facts, id))
    .sort((a, b) => (order.get(a) ?? 1e9) - (order.get(b) ?? 1e9) || (a < b ? -1 : 1))
    .map((id) => ({ id, name: names.cause(id, 'technician') }))
}

function placesOfCar(netlist: Netlist, facts: WiringFacts, names: Names): MeterBody['places'] {
  const w = wiringNames(names.language)
  const groups = new Map<string, { name: string; nodes: { id: string; name: string }[] }>()
  const nodes = [...new Set(partsOfCar(netlist, facts).flatMap(nodesOf))]
  for (const id of nodes) {
    const { id: group, name } = w.group(id)
    const at = groups.get(group) ?? { name, nodes: [] }
    at.nodes.push({ id, name: w.node(id) })
    groups.set(group, at)
  }
  return [...groups]
    .sort(([a], [b]) => w.groupOrder(a) - w.groupOrder(b))
    .map(([, g]) => ({ group: g.name, nodes: g.nodes.sort((a, b) => (a.name < b.name ? -1 : 1)) }))
}

/** The car state in words: "wheels raised, key on, forward, click 3". */
export function stateSay(netlist: Netlist, state: WiringState, { t }: Names): string {
  const said = Object.keys(netlist.states).flatMap((name) => {
    const value = state[name]
    if (value === undefined || Array.isArray(value)) return []
    if (name === 'step')
      return Number(value) === 0 ? [t('meter.state.pedal-up')] : [t('meter.state.step', { step: Number(value) })]
    if (name === 'pedal')
      return Number(value) === 0
        ? [t('meter.state.pedal-up')]
        : [t('meter.state.pedal', { percent: Math.round(Number(value) * 100) })]
    return [t('meter.state', { name, value: String(value).replace(/-/g, '') })]
  })
  if (state['step'] !== undefined && netlist.states['pedal'])
    said.push(t('meter.state.pedal', { percent: Math.round(Number(state['step']) * 20) }))
  return said.filter(Boolean).join(', ')
}

/** What the wiring took for granted since nobody has said it. */
function taken(netlist: Netlist, turn: Turn, names: Names): { taken?: string } {
  const facts = turn.state.facts as Record<string, unknown>
  const files = names.knowledge.carFacts.facts
  const list = ['packVolts', 'throttle', 'supplyVolts'].flatMap((fact) => {
    const value = netlist.facts[fact]
    if (value === undefined || facts[fact] !== undefined) return []
    return [files[fact]?.text.values[String(value)] ?? String(value)]
  })
  return list.length > 0 ? { taken: names.t('meter.taken', { list: list.join(', ') }) } : {}
}
