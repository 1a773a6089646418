import type { FindingBody } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import { CAR_FACT_NAMES } from '../../schema/car.ts'
import { foldCase } from '../case-state.ts'
import type { Turn, Turner } from '../turn.ts'
import type { Caller, CaseRecord, Papers, SheetLine } from '../types.ts'
import { readingOf } from './ask.ts'
import { findingBody } from './finding.ts'
import type { Names } from './names.ts'
import { picturesFor } from './paper-pictures.ts'

/** Lines to fill in by pen that a test sheet offers beyond what was done: the checks worth most. */
const MORE_LINES = 6

/** What a work order and a test sheet show and no screen of the conversation does. */
export async function papersOf(
  r: Reasoner,
  makeTurn: Turner,
  names: Names,
  record: CaseRecord,
  caller: Caller,
): Promise<Papers> {
  const turn = await makeTurn(foldCase(record, r), caller)
  const mended = await repairsOf(r, makeTurn, names, record, caller)
  const repairs = mended.map((m) => m.repair)
  // As the finding on the work order: what was acted on, else what is found now.
  const acted = mended.findLast((m) => m.repair.finding !== null)
  return {
    car: CAR_FACT_NAMES.flatMap((fact) => {
      const value = (turn.state.facts as Record<string, unknown>)[fact]
      const text = names.knowledge.carFacts.facts[fact]?.text
      if (value === undefined || !text) return []
      const list = Array.isArray(value) ? value : [value]
      return [{ fact, name: text.name, value: list.map((v) => text.values[String(v)] ?? String(v)).join(', ') }]
    }),
    cautions: [...turn.state.acknowledged].flatMap((id) => {
      const file = names.knowledge.cautions.find((c) => c.id === id)
      return file ? [{ id, signal: file.signal, hazard: file.text.hazard }] : []
    }),
    repairs,
    sheet: sheetOf(r, turn, names, repairs),
    pictures: acted
      ? { ...picturesFor(r, acted.before, names, acted.repair.finding), repaired: true }
      : { ...picturesFor(r, turn, names, findingBody(r, turn, names)), repaired: false },
  }
}

/**
 * Each repair with the finding that it was for. A repair makes what was found stale, so that the newest finding is no
 * longer the one that was acted on: the case is read again up to the moment before it.
 */
async function repairsOf(
  r: Reasoner,
  makeTurn: Turner,
  names: Names,
  record: CaseRecord,
  caller: Caller,
): Promise<{ repair: Papers['repairs'][number]; before: Turn }[]> {
  const out: { repair: Papers['repairs'][number]; before: Turn }[] = []
  for (const event of record.events) {
    if (event.type !== 'repaired') continue
    const until = { ...record, events: record.events.filter((e) => e.seq < event.seq) }
    const before = await makeTurn(foldCase(until, r), caller)
    // Somebody may repair before asking is over: what was likeliest then is what it was for.
    const finding = findingBody(r, { ...before, over: true }, names)
    const remedy = names.knowledge.remedies.find((x) => x.id === event.remedy)
    const repair = {
      remedy: event.remedy,
      name: remedy?.text.name ?? event.remedy,
      seq: event.seq,
      steps: [...(remedy?.text.steps ?? [])],
      part: remedy?.part.name ?? '',
      minutes: remedy?.minutes ?? 0,
      finding: finding && finding.kind !== 'other' ? finding : null,
      proof: remedy ? [remedy.proof.check] : [],
    }
    out.push({ repair, before })
  }
  return out
}

function sheetOf(r: Reasoner, turn: Turn, names: Names, repairs: Papers['repairs']): SheetLine[] {
  const given = turn.state.given.map((g) => g.check)
  const proofs = [...repairs.flatMap((x) => x.proof), ...proofOf(findingBody(r, turn, names))]
  const worth =
    turn.state.status === 'closed'
      ? []
      : turn.choice.worth.slice(0, MORE_LINES).map((j) => r.compiled.checks[j.option.check]!.id)
  return [...new Set([...given, ...proofs, ...worth])].flatMap((id) => {
    const check = names.check(id)
    if (!check) return []
    const reading = readingOf(r, turn, check, names)
    return [
      {
        check: id,
        title: check.text.ask,
        done: given.includes(id),
        proof: proofs.includes(id),
        ...(check.text.good === undefined ? {} : { good: check.text.good }),
        ...(reading === undefined ? {} : { unit: reading.unit, instrument: reading.instrument }),
        ...(reading?.expected === undefined ? {} : { expected: reading.expected }),
        ...(check.probes === undefined
          ? {}
          : { red: names.part(check.probes.red), black: names.part(check.probes.black) }),
      },
    ]
  })
}

const proofOf = (finding: FindingBody | null) => (finding?.proof ? [finding.proof.check] : [])
