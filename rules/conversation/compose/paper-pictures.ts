import type { FindingBody, PaperPictures } from '../../protocol/index.ts'
import type { Reasoner } from '../../reasoning/reasoner.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import { hasPartsFor } from '../../wiring/circuit.ts'
import { WiringError } from '../../wiring/errors.ts'
import { pictureOf } from '../../wiring/picture.ts'
import type { Turn } from '../turn.ts'
import { blockBarsOf } from './block-bars.ts'
import { circuitPicture } from './circuit-picture.ts'
import { circuitName, type Look, lastMeasured, lookOf } from './look.ts'
import { stateSay } from './meter.ts'
import type { Names } from './names.ts'
import { plotsOf } from './row-plots.ts'

/**
 * What paper shows of what was found: the circuit of a sound car with the probes of the check that decided and what was
 * found marked; each row of clicks that something was read of; the blocks. `turn` is the case when it was found.
 */
export function picturesFor(
  r: Reasoner,
  turn: Turn,
  names: Names,
  finding: FindingBody | null,
): Omit<PaperPictures, 'repaired'> {
  const blocks = blockBarsOf(turn, names)
  return { ...drawnAt(r, turn, names, finding), ...(blocks ? { blocks } : {}) }
}

function drawnAt(r: Reasoner, turn: Turn, names: Names, finding: FindingBody | null): Omit<PaperPictures, 'repaired'> {
  for (const check of worthDrawing(r, turn, finding)) {
    const look = lookOf(r, turn, names, { check: check.id })
    const given = turn.state.given.find((g) => g.check === check.id)
    if ('refuse' in look || !given || !hasPoints(look, check)) continue
    const { netlist, facts, carState, red, black } = look
    const suspects = (finding?.causes ?? [])
      .filter((c) => netlist.change.has(c.cause) && hasPartsFor(netlist, facts, c.cause))
      .map((c) => ({ id: c.cause, name: c.name }))
    try {
      const picture = pictureOf(netlist, { facts, carState, suspects: suspects.map((s) => s.id) })
      return {
        circuit: circuitPicture(picture, circuitName(names, netlist.family), names, { red, black }),
        steps: plotsOf(r, turn, names, look, suspects[0]).filter((p) => p.rows.some((x) => x.measured !== undefined)),
        at: {
          check: check.id,
          question: names.question(given),
          answer: names.answer(given),
          stateSay: stateSay(netlist, carState, names),
        },
      }
    } catch (error) {
      // A car state that this circuit has no answer for: the next check may do.
      if (!(error instanceof WiringError)) throw error
    }
  }
  return { steps: [] }
}

/** Checks with points: the finding's evidence, strongest first, then where something was read last. */
function worthDrawing(r: Reasoner, turn: Turn, finding: FindingBody | null): CheckFile[] {
  const evidence = (finding?.evidence ?? []).filter((e) => e.weight !== 'against').map((e) => r.check(e.check))
  return [...evidence, lastMeasured(r, turn)].filter((c): c is CheckFile => c?.probes !== undefined)
}

/** Where this car has no such points, `lookOf` takes the pack's ends: on paper that would be said of a check that never was. */
const hasPoints = ({ red, black }: Look, check: CheckFile) => red === check.probes?.red && black === check.probes?.black
