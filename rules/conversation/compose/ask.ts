import type { AskBody } from '../../protocol/index.ts'
import { measuredPackVolts } from '../../reasoning/evidence.ts'
import { bandOf } from '../../reasoning/reading.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { changes, setUpMinutes } from '../../reasoning/set-up.ts'
import { rowsOf } from '../../reasoning/standing.ts'
import { predictionOf } from '../../reasoning/wired.ts'
import type { CheckFile, ObservableFile } from '../../schema/knowledge.ts'
import { blocksOf } from '../../wiring/circuit.ts'
import { readsBlocks } from '../steps/blocks.ts'
import type { TextKey } from '../texts/index.ts'
import type { Turn } from '../turn.ts'
import { cautionBody } from './caution.ts'
import { goodOf } from './good.ts'
import type { Names } from './names.ts'

/** The current question, ready to show. */
export function askBody(r: Reasoner, turn: Turn, names: Names): AskBody | null {
  const { current, state, asker } = turn
  const { t } = names
  if (!current) return null
  if (current.kind === 'complaint') {
    return {
      check: 'complaint',
      kind: 'complaint',
      way: 'say',
      title: t('ask.complaint.title'),
      how: [],
      hint: t('ask.complaint.hint'),
      reason: t('ask.complaint.reason'),
      minutes: 1,
      setUpMinutes: 0,
      setUp: [],
      tools: [],
      outcomes: [],
      cautions: [],
      carState: {},
      picked: false,
      others: [],
    }
  }
  const check = names.check(current.check.id) ?? current.check
  const setUp = setUpMinutes(r.knowledge, state.setUp, check)
  const others = turn.choice.worth
    .map((j) => ({ check: r.compiled.checks[j.option.check]!.id, minutes: Math.ceil(j.option.minutes) }))
    .filter((o) => o.check !== check.id)
    .slice(0, 8)
    .map((o) => ({ ...o, title: names.check(o.check)!.text.ask }))
  const good = goodOf(r, turn, check)
  const body: AskBody = {
    check: check.id,
    kind: current.kind,
    way: check.way,
    title: check.text.ask,
    how: [...(check.text.how ?? [])],
    hint: check.text.hint,
    good,
    reason: reasonOf(turn, check, good, setUp, names),
    minutes: check.minutes,
    setUpMinutes: setUp,
    setUp:
      asker === 'customer'
        ? []
        : changes(state.setUp, check)
            .filter((c) => !c.startsWith('tool:'))
            .map((c) => changeText(c, names)),
    tools: [...(check.tools ?? [])],
    outcomes: check.outcomes.map((o) => ({ id: o.id, ...names.outcome(check, o.id) })),
    reading: readingOf(r, turn, check, names),
    row: rowOf(turn, check, names),
    ...blocksOfPack(turn, check),
    cautions: turn.cautions
      .filter((c) => check.cautions?.includes(c.id))
      .map((c) => cautionBody(names.caution(c), turn.caller.role, state.acknowledged)),
    carState: check.carState ?? {},
    picked: current.picked,
    others,
  }
  if (check.probes) {
    body.probes = {
      red: { node: check.probes.red, label: names.place(check.probes.red) },
      black: { node: check.probes.black, label: names.place(check.probes.black) },
    }
  }
  return body
}

function reasonOf(turn: Turn, check: CheckFile, good: string | undefined, setUp: number, names: Names): string {
  const { t } = names
  const current = turn.current!
  if (current.kind === 'again') return t('ask.again')
  if (current.kind === 'proof') return t('ask.proof', { good: good ?? '' }).trim()
  if (turn.asker === 'customer') return t('ask.reason.customer', { reason: check.text.reason })
  const minutes = (m: number) => t('ask.minutes', { minutes: Math.round(m) })
  const reason =
    setUp < 0.5
      ? t('ask.reason.same', { minutes: minutes(check.minutes), reason: check.text.reason })
      : t('ask.reason.setup', {
          minutes: minutes(check.minutes),
          setup: minutes(Math.max(1, setUp)),
          reason: check.text.reason,
        })
  return current.kind === 'check' && current.confirms ? t('ask.reason.confirm', { reason }) : reason
}

function changeText(change: string, names: Names): string {
  const { t } = names
  const [name, value] = change.split(':') as [string, string]
  if (name === 'lifted' || name === 'bridged') {
    return value === 'none'
      ? t(`setup.${name}.none` as TextKey)
      : t(`setup.${name}` as TextKey, { part: names.part(value) })
  }
  return t(`setup.${name}.${value}` as TextKey)
}

/** Where a number can be typed: what a sound car shows here, and what the likeliest faults would. */
export function readingOf(r: Reasoner, turn: Turn, check: CheckFile, names: Names): AskBody['reading'] {
  const { reading } = check
  if (!reading) return undefined
  const file = check.observable ? r.lookup.observableFile.get(check.observable) : undefined
  const out: NonNullable<AskBody['reading']> = {
    unit: reading.unit,
    instrument: reading.instrument,
    min: reading.min,
    max: reading.max,
    step: reading.step ?? 0.1,
    ifFault: [],
  }
  if (!file?.quantity) return out
  const { number } = names
  const said: string[] = []
  const expected = expectedOf(r, turn, check, file)
  if (expected) {
    out.expected = {
      low: round(Math.max(reading.min, expected.low)),
      high: round(Math.min(reading.max, expected.high)),
    }
    said.push(
      names.t('ask.expected', { low: number(out.expected.low), high: number(out.expected.high), unit: reading.unit }),
    )
    for (const { id, middle } of faultsOf(r, turn, check, file)) {
      const value = round(middle)
      // Only what lies clearly outside the sound band tells anything, and each number once.
      const told = value >= out.expected.low && value <= out.expected.high
      if (told || out.ifFault.some((f) => f.value === value)) continue
      out.ifFault.push({ value, cause: names.cause(id, turn.caller.role) })
    }
  }
  const first = out.ifFault[0]
  if (first)
    said.push(names.t('ask.expected.fault', { value: number(first.value), unit: reading.unit, cause: first.cause }))
  if (said.length > 0) out.said = said.join(' ')
  return out
}

const round = (v: number) => Number(v.toPrecision(3))

/** What a sound car reads: from the wiring of this car, else from the knowledge's own numbers. */
function expectedOf(r: Reasoner, turn: Turn, check: CheckFile, file: ObservableFile) {
  const { facts } = turn.state
  const wired = predictionOf(check, facts, measuredPackVolts(turn.learned, r.knowledge))
  if (wired?.kind === 'number') return { low: wired.low, high: wired.high }
  const compiled = r.compiled.observables[r.lookup.observable.get(check.observable!)!]!
  return bandOf(
    file,
    compiled.states[likeliest(compiled.usual, 0, compiled.states.length)]!,
    r.scale(file.id, facts, turn.learned),
  )
}

/** What the likeliest causes would give, where a number can be named. */
function faultsOf(r: Reasoner, turn: Turn, check: CheckFile, file: ObservableFile): { id: string; middle: number }[] {
  const { facts } = turn.state
  const measured = measuredPackVolts(turn.learned, r.knowledge)
  const index = r.lookup.observable.get(check.observable!)!
  const compiled = r.compiled.observables[index]!
  const rows = rowsOf(turn.standing, index)
  const out: { id: string; middle: number }[] = []
  for (const { cause, id } of turn.ranked.slice(0, 6)) {
    const h = turn.standing.causeOf.indexOf(cause)
    if (h < 0 || id === 'other') continue
    const wired = predictionOf(check, facts, measured, id)
    if (wired) {
      if (wired.kind === 'number') out.push({ id, middle: wired.mean })
      continue
    }
    const state = compiled.states[likeliest(compiled.table, rows[h]!, compiled.states.length)]!
    const reads = file.quantity?.reads[state]
    const band =
      reads && 'mean' in reads
        ? bandOf(file, state, r.scale(file.id, facts, turn.learned), r.sound(check, facts, turn.learned))
        : undefined
    if (band) out.push({ id, middle: band.middle })
  }
  return out
}

function likeliest(row: ArrayLike<number>, from: number, count: number): number {
  let best = 0
  for (let s = 0; s < count; s++) if (row[from + s]! > row[from + best]!) best = s
  return best
}

/** The other checks that are entered in one row with this one. */
function rowOf(turn: Turn, check: CheckFile, names: Names): AskBody['row'] {
  if (!check.row || turn.asker === 'customer') return undefined
  const row = names.knowledge.checks.filter(
    (c) => c.row === check.row && (c.id === check.id || !turn.situation.done.has(c.id)) && c.who.includes(turn.asker),
  )
  if (row.length < 2) return undefined
  return row.map((c) => ({
    check: c.id,
    title: c.text.ask,
    ...(c.reading ? { unit: c.reading.unit } : {}),
    outcomes: c.outcomes.map((o) => ({ id: o.id, label: names.outcome(c, o.id).label })),
  }))
}

/** A check of blocks may be answered by the volts of each, where it is known how many there are. */
function blocksOfPack({ state: { facts }, asker }: Turn, check: CheckFile): Pick<AskBody, 'blocks'> {
  if (asker === 'customer' || !readsBlocks(check) || facts.packVolts === undefined) return {}
  try {
    return { blocks: { count: blocksOf(facts.packVolts, facts.blocks).count } }
  } catch {
    // Blocks that do not make this pack: said where the facts are entered; here the answers in words are left.
    return {}
  }
}
