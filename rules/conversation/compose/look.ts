import type { StepMessage } from '../../protocol/index.ts'
import { measuredPackVolts } from '../../reasoning/evidence.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { netlistFor } from '../../reasoning/wired.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import { hasPartsFor, partsOfCar, placesOf, type WiringFacts, type WiringState } from '../../wiring/circuit.ts'
import { near, nearest, type WiringError } from '../../wiring/errors.ts'
import { wiringNames } from '../../wiring/names.ts'
import { type Netlist, nodesOf } from '../../wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../wiring/netlists.ts'
import type { Refusal } from '../steps/types.ts'
import type { Turn } from '../turn.ts'
import type { Names } from './names.ts'

export type Question = Pick<
  Extract<StepMessage, { type: 'meter' }>,
  'check' | 'circuit' | 'red' | 'black' | 'step' | 'cause' | 'carState'
>
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

const DRIVE_FAMILIES = NETLIST_FAMILIES.filter((f) => netlistOf(f).kind === 'drive')
const CHARGER_FAMILIES = NETLIST_FAMILIES.filter((f) => netlistOf(f).kind === 'charger')

const circuitIds = ({ state: { facts } }: Turn): string[] => [
  ...(facts.drive ? [facts.drive] : DRIVE_FAMILIES),
  ...(facts.charger ? [facts.charger] : CHARGER_FAMILIES),
]

export function circuitsOf(turn: Turn, names: Names): { id: string; name: string }[] {
  return circuitIds(turn).map((id) => ({ id, name: circuitName(names, id) }))
}

export function circuitName(names: Names, family: string): string {
  const { drive, charger } = names.knowledge.carFacts.facts
  return drive?.text.values[family] ?? charger?.text.values[family] ?? family
}

/** Facts as the wiring takes them: the pack's volts as measured, what was altered left to people. */
export function factsFor(turn: Turn, r: Reasoner): WiringFacts {
  const { changed: _, ...known } = turn.state.facts
  const measured = measuredPackVolts(turn.learned, r.knowledge)
  return { ...known, ...(measured === undefined ? {} : { measuredPackVolts: measured }) }
}

/** Where something was read last: what a card without a question shows. */
export function lastMeasured(r: Reasoner, turn: Turn): CheckFile | undefined {
  const read = turn.state.given.filter((g) => g.reading && !g.stale && r.check(g.check)?.probes)
  return read.length > 0 ? r.check(read.at(-1)!.check) : undefined
}

/** Finds what is meant, or says what there is instead. */
export function lookOf(r: Reasoner, turn: Turn, names: Names, q: Question): Look | { refuse: Refusal } {
  const { t } = names
  const current = turn.current && turn.current.kind !== 'complaint' ? turn.current.check : undefined
  const asked = q.check === undefined ? undefined : r.check(q.check)
  if (q.check !== undefined && !asked) {
    return refuse('unknown-check', t('refuse.unknown-check', { id: q.check }), t('refuse.unknown-check.mend'), 'check')
  }
  const bare = q.red === undefined && q.black === undefined && q.circuit === undefined
  const check = asked ?? (bare ? (current ? (current.probes ? current : undefined) : lastMeasured(r, turn)) : undefined)
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
export function refusalOf(error: WiringError, { t }: Names): Refusal {
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
