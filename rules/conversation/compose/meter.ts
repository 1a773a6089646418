import type { MeterBody, StepMessage } from '../../protocol/index.ts'
import { measuredPackVolts } from '../../reasoning/evidence.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { netlistFor } from '../../reasoning/wired.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import { hasPartsFor, partsOfCar, placesOf, type WiringFacts, type WiringState } from '../../wiring/circuit.ts'
import { near, nearest, WiringError } from '../../wiring/errors.ts'
import { type MeterQuestion, type MeterReading, metersAt } from '../../wiring/meter.ts'
import { wiringNames } from '../../wiring/names.ts'
import { type Netlist, nodesOf } from '../../wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../wiring/netlists.ts'
import { pictureOf } from '../../wiring/picture.ts'
import type { Refusal } from '../steps/types.ts'
import type { TextKey } from '../texts/index.ts'
import type { Turn } from '../turn.ts'
import { blockBarsOf } from './block-bars.ts'
import { circuitPicture } from './circuit-picture.ts'
import type { Names } from './names.ts'
import { sayPrediction } from './prediction.ts'
import { stepPlot } from './step-plot.ts'

type Question = Pick<
  Extract<StepMessage, { type: 'meter' }>,
  'check' | 'circuit' | 'red' | 'black' | 'step' | 'cause' | 'carState'
>
/** A cause less likely than this is not marked on the drawing: everything would be. */
const SUSPECT_FROM = 0.05

const DRIVING: WiringState = {
  wheels: 'raised',
  key: 'on',
  direction: 'forward',
  runTow: 'run',
  pack: 'connected',
  charger: 'unplugged',
}
const CHARGING: WiringState = { supply: 'on', pack: 'connected', timer: 'wound' }

/** What is looked at: the circuit, the points, the car, all known to exist. */
export interface Look {
  check?: CheckFile
  netlist: Netlist
  facts: WiringFacts
  red: string
  black: string
  carState: WiringState
  cause?: string
}

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

/** Click by click between these points, and every row of clicks that something was read of. */
function plotsOf(
  r: Reasoner,
  turn: Turn,
  names: Names,
  look: Look,
  cause: { id: string; name: string } | undefined,
): MeterBody['pictures']['steps'] {
  const { netlist, facts, carState, red, black } = look
  const plots: MeterBody['pictures']['steps'] = []
  const rows = steppedRows(r, turn)
  const own = rows.find((row) => row[0]!.probes!.red === red && row[0]!.probes!.black === black)
  const has = (row: readonly CheckFile[]) =>
    row.some((c) => turn.state.given.some((g) => g.check === c.id && g.reading && !g.stale))
  if (netlist.states['step'] && (own || !look.check)) {
    const { step: _, ...state } = carState
    const steps = own ? own.map((c) => Number(c.step)) : (netlist.states['step'] as number[]).filter((s) => s > 0)
    plots.push(
      stepPlot(
        netlist,
        { facts, carState: state, red, black, steps, cause, ...(own ? { checks: own } : {}) },
        turn.state.given,
        names,
      ),
    )
  }
  for (const row of rows) if (row !== own && has(row)) plots.push(rowPlot(row, turn, names, cause, facts))
  return plots
}

function rowPlot(
  row: readonly CheckFile[],
  turn: Turn,
  names: Names,
  cause: { id: string; name: string } | undefined,
  facts: WiringFacts,
) {
  const [first] = row
  const netlist = netlistFor(first!, turn.state.facts)!
  const { red, black } = first!.probes!
  const known = cause && netlist.change.has(cause.id) && hasPartsFor(netlist, facts, cause.id) ? cause : undefined
  const q = {
    facts,
    carState: (first!.carState ?? {}) as WiringState,
    red,
    black,
    steps: row.map((c) => Number(c.step)),
    cause: known,
    checks: row,
  }
  return stepPlot(netlist, q, turn.state.given, names)
}

/** Rows of checks that read volts between the same two points at different clicks, as far as this car has them. */
function steppedRows(r: Reasoner, turn: Turn): CheckFile[][] {
  const rows = new Map<string, CheckFile[]>()
  for (const c of r.knowledge.checks) {
    if (typeof c.step !== 'number' || !c.probes || c.reading?.unit !== 'V' || !c.row) continue
    const netlist = netlistFor(c, turn.state.facts)
    if (!netlist?.states['step'] || r.appliesTo(turn.standing, c, turn.situation) <= 0) continue
    const nodes = new Set(partsOfCar(netlist, factsFor(turn, r)).flatMap(nodesOf))
    if (!nodes.has(c.probes.red) || !nodes.has(c.probes.black)) continue
    const key = `${c.row} ${c.probes.red} ${c.probes.black}`
    rows.set(key, [...(rows.get(key) ?? []), c])
  }
  return [...rows.values()]
    .filter((row) => row.length > 1)
    .map((row) => row.sort((a, b) => Number(a.step) - Number(b.step)))
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

const DRIVE_FAMILIES = NETLIST_FAMILIES.filter((f) => netlistOf(f).kind === 'drive')
const CHARGER_FAMILIES = NETLIST_FAMILIES.filter((f) => netlistOf(f).kind === 'charger')

const circuitIds = ({ state: { facts } }: Turn): string[] => [
  ...(facts.drive ? [facts.drive] : DRIVE_FAMILIES),
  ...(facts.charger ? [facts.charger] : CHARGER_FAMILIES),
]

function circuitsOf(turn: Turn, names: Names): MeterBody['circuits'] {
  return circuitIds(turn).map((id) => ({ id, name: circuitName(names, id) }))
}

function circuitName(names: Names, family: string): string {
  const { drive, charger } = names.knowledge.carFacts.facts
  return drive?.text.values[family] ?? charger?.text.values[family] ?? family
}

/** Facts as the wiring takes them: the pack's volts as measured, what was altered left to people. */
export function factsFor(turn: Turn, r: Reasoner): WiringFacts {
  const { changed: _, ...known } = turn.state.facts
  const measured = measuredPackVolts(turn.learned, r.knowledge)
  return { ...known, ...(measured === undefined ? {} : { measuredPackVolts: measured }) }
}

/** Finds what is meant, or says what there is instead. */
function lookOf(r: Reasoner, turn: Turn, names: Names, q: Question): Look | { refuse: Refusal } {
  const { t } = names
  const current = turn.current && turn.current.kind !== 'complaint' ? turn.current.check : undefined
  const asked = q.check === undefined ? undefined : r.check(q.check)
  if (q.check !== undefined && !asked) {
    return refuse('unknown-check', t('refuse.unknown-check', { id: q.check }), t('refuse.unknown-check.mend'), 'check')
  }
  const bare = q.red === undefined && q.black === undefined && q.circuit === undefined
  const check = asked ?? (bare && current?.probes ? current : undefined)
  const family =
    q.circuit ?? (check ? netlistFor(check, turn.state.facts)?.family : undefined) ?? turn.state.facts.drive
  const known = circuitIds(turn)
  if (family === undefined || !known.includes(family)) {
    return refuse(
      'unknown-circuit',
      family === undefined ? t('refuse.no-circuit') : t('refuse.unknown-circuit', { id: family }),
      t('refuse.unknown-circuit.mend', { list: known.join(', ') }),
      'circuit',
    )
  }
  const netlist = netlistOf(family)
  const facts = factsFor(turn, r)
  const nodes = new Set(partsOfCar(netlist, facts).flatMap(nodesOf))
  const w = wiringNames(names.language)
  const ends = netlist.parts.find((p) => p.kind === 'pack')
  const at: Record<'red' | 'black', string> = { red: '', black: '' }
  for (const probe of ['red', 'black'] as const) {
    // A check whose own points this car does not have is looked at from the pack's ends.
    const own = check?.probes?.[probe]
    const pole = ends?.kind === 'pack' ? ends[probe === 'red' ? 'positive' : 'negative'] : ''
    const said = q[probe] ?? (own !== undefined && nodes.has(own) ? own : pole)
    const node = nodes.has(said) ? said : [...nodes].find((n) => w.node(n).toLowerCase() === said.trim().toLowerCase())
    if (node === undefined) return noPlace(said, probe, nodes, names)
    at[probe] = node
  }
  if (q.cause !== undefined && !(netlist.change.has(q.cause) && hasPartsFor(netlist, facts, q.cause))) {
    const like = near(
      q.cause,
      [...netlist.change.keys()].filter((id) => hasPartsFor(netlist, facts, id)),
    )
    return refuse(
      'unknown-cause',
      t('refuse.not-in-circuit', { id: q.cause }),
      t('refuse.not-in-circuit.mend', { list: like }),
      'cause',
    )
  }
  const usual =
    netlist.kind === 'charger'
      ? CHARGING
      : { ...DRIVING, ...(netlist.states['step'] ? { step: lastStep(netlist) } : { pedal: 1 }) }
  const ofCheck = check ? { ...check.carState, ...(typeof check.step === 'number' ? { step: check.step } : {}) } : usual
  const carState: WiringState = {
    ...onlyKnown(ofCheck, netlist, facts),
    ...(q.carState as WiringState),
    ...(q.step === undefined ? {} : { step: q.step }),
  }
  return {
    ...(check ? { check } : {}),
    netlist,
    facts,
    ...at,
    carState,
    ...(q.cause === undefined ? {} : { cause: q.cause }),
  }
}

/** A check may lift or bridge what this circuit does not show: that changes nothing in it. */
function onlyKnown(state: WiringState, netlist: Netlist, facts: WiringFacts): WiringState {
  const { parts, pieces } = placesOf(netlist, facts)
  const known = new Set([...parts, ...pieces])
  const { lifted, bridged, ...rest } = state
  const bridges = (id: string) => pieces.includes(id) || pieces.includes(`${id}.contacts`)
  return {
    ...rest,
    lifted: (lifted ?? []).filter((id) => known.has(id)),
    bridged: (bridged ?? []).filter(bridges),
  }
}

const lastStep = (netlist: Netlist) => Math.max(...netlist.states['step']!.map(Number))

function noPlace(said: string, probe: 'red' | 'black', nodes: ReadonlySet<string>, names: Names): { refuse: Refusal } {
  const { t } = names
  const w = wiringNames(names.language)
  const byName = new Map([...nodes].flatMap((n) => [[n, n] as const, [w.node(n), n] as const]))
  const list = [
    ...new Set(
      nearest(said, byName.keys())
        .map((x) => byName.get(x))
        .filter((n) => n !== undefined),
    ),
  ].map((n) => w.node(n))
  const instead = list.length > 0 ? list : [...nodes].slice(0, 3).map((n) => w.node(n))
  return refuse(
    'unknown-place',
    t('refuse.unknown-place', { probe, said }),
    t('refuse.unknown-place.mend', { list: instead.join('; ') }),
    probe,
  )
}

function refuse(code: Refusal['code'], text: string, mend: string, field: string): { refuse: Refusal } {
  return { refuse: { code, text, mend, field } }
}

/** The wiring's own complaint; it says what was wrong and what to use instead. */
function refusalOf(error: WiringError, { t }: Names): Refusal {
  const code = (
    {
      'unknown-state': 'unknown-state',
      'unknown-part': 'unknown-state',
      'unknown-node': 'unknown-place',
      'unknown-cause': 'unknown-cause',
    } as const
  )[error.code as 'unknown-state']
  const field = code === 'unknown-state' ? 'carState' : undefined
  return {
    code: code ?? 'no-solution',
    text: t(code === 'unknown-state' ? 'refuse.unknown-state' : 'refuse.no-solution', { where: error.where }),
    mend: `${error.mend}.`,
    ...(field ? { field } : {}),
  }
}

/** The car state in words: "wheels raised, key on, forward, click 3". */
function stateSay(netlist: Netlist, state: WiringState, { t }: Names): string {
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
