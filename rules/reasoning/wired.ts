import type { CarFacts } from '../schema/car.ts'
import type { CheckFile, ExplainedFile } from '../schema/knowledge.ts'
import { factsThatMatter } from '../wiring/facts.ts'
import { Kept } from '../wiring/kept.ts'
import type { Netlist } from '../wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../wiring/netlists.ts'
import { predict, type WiringInstrument } from '../wiring/predict.ts'
import type { Prediction } from '../wiring/prediction.ts'
import { isExplained } from './explained.ts'
import { OUTLIER_FLOOR, PACK_AT_REST, type Sound, tailOf } from './reading.ts'

/** Instruments whose readings the wiring predicts, by the knowledge's tool. */
const INSTRUMENTS: Readonly<Record<string, WiringInstrument>> = {
  voltmeter: 'voltmeter',
  ohmmeter: 'ohmmeter',
  'test-lamp': 'test-lamp',
}

/** The instrument of a check, as the wiring knows it. */
export function instrumentOf(check: CheckFile): WiringInstrument | undefined {
  if (check.range === 'diode') return 'diode-test'
  const tool = check.reading?.instrument ?? check.tools?.find((t) => t in INSTRUMENTS)
  return tool === undefined ? undefined : INSTRUMENTS[tool]
}

/** The netlist that a check's probes are on: of the car's drive, or of its charger. */
export function netlistFor(check: CheckFile, facts: CarFacts): Netlist | undefined {
  const family = check.circuit === 'charger' ? facts.charger : facts.drive
  return family !== undefined && NETLIST_FAMILIES.includes(family) ? netlistOf(family) : undefined
}

const kept = new Kept<Prediction | null>(20_000)

/**
 * What the instrument of a check shows on this car with a cause (or with none), from the wiring. Undefined where the
 * check has no probes, the drive is unknown, or the circuit does not have the cause.
 *
 * @param packVolts as measured at rest; undefined = nominal
 * @param stepsAway the same at another step of the pedal: so many away from the check's
 */
export function predictionOf(
  check: CheckFile,
  facts: CarFacts,
  packVolts: number | undefined,
  cause?: string,
  stepsAway = 0,
): Prediction | undefined {
  const instrument = instrumentOf(check)
  const netlist = check.probes && instrument ? netlistFor(check, facts) : undefined
  if (!netlist || !instrument || !check.probes) return undefined
  if (cause !== undefined && !changes(netlist).has(cause)) return undefined
  const car = factsThatMatter(netlist, {
    ...facts,
    ...(packVolts === undefined ? {} : { measuredPackVolts: packVolts }),
  })
  const key = JSON.stringify([check.id, car, cause ?? '', stepsAway])
  const { red, black } = check.probes
  const found = kept.get(netlist, key, () => {
    try {
      return predict(netlist, {
        facts: car,
        ...(cause === undefined ? {} : { cause }),
        carState: { ...check.carState, ...(typeof check.step === 'number' ? { step: check.step + stepsAway } : {}) },
        instrument,
        red,
        black,
      })
    } catch {
      // A car without that part, or a probe that this family has no place for: lint:rules names it; here it is no evidence.
      return null
    }
  })
  return found ?? undefined
}

/**
 * What this car reads at a check with nothing wrong, if its wiring says a number. Not of the pack at rest, whose volts the
 * circuit is given.
 *
 * @param packVolts at rest, as measured or else nominal: a reading is a fraction of them either way
 */
export function soundAt(check: CheckFile, facts: CarFacts, packVolts: number): Sound | undefined {
  if (check.observable === PACK_AT_REST) return undefined
  const prediction = predictionOf(check, facts, packVolts)
  if (prediction?.kind !== 'number') return undefined
  const { mean, sd } = prediction
  if (typeof check.step !== 'number') return { mean, sd }
  const away = new Map<number, number>()
  for (const steps of [-1, 1]) {
    const beside = predictionOf(check, facts, packVolts, undefined, steps)
    if (beside?.kind === 'number') away.set(steps, beside.mean)
  }
  return { mean, sd, away }
}

const changedBy = new WeakMap<Netlist, ReadonlySet<string>>()

function changes(netlist: Netlist): ReadonlySet<string> {
  let set = changedBy.get(netlist)
  if (!set) {
    set = new Set(netlist.change.keys())
    changedBy.set(netlist, set)
  }
  return set
}

/** Volts that a meter on nothing may wander to. */
const WANDERS = 2
/** Where the wiring says only that a reading is worth nothing. */
const NO_WORD = 0.2

/** How well a number fits a prediction, 1 at best, never under the outlier floor. */
export function fitOfReading(prediction: Prediction, value: number, check: CheckFile): number {
  switch (prediction.kind) {
    case 'number': {
      // Rounded, so that a last bit of the solver's cannot decide anything; a hand-held meter has no more digits either.
      const mean = Number(prediction.mean.toPrecision(4))
      const sd = Number(Math.max(prediction.sd, (check.reading?.step ?? 0.1) / 2).toPrecision(3))
      return tailOf((value - mean) / sd)
    }
    case 'over-range':
      return check.reading && value >= 0.5 * check.reading.max ? 1 : OUTLIER_FLOOR
    case 'floating':
      return Math.abs(value) <= WANDERS ? 1 : OUTLIER_FLOOR * 5
    default:
      return NO_WORD
  }
}

/** The fit of a reading under every cause that the circuit can show; NaN under the others and where explained/ says
 * that the circuit is not the car. By cause index. */
export function fitsByCause(
  check: CheckFile,
  value: number,
  facts: CarFacts,
  packVolts: number | undefined,
  causes: readonly string[],
  explained: readonly ExplainedFile[],
): Float64Array | undefined {
  const sound = predictionOf(check, facts, packVolts)
  if (!sound || isExplained(explained, undefined, check.id)) return undefined
  return Float64Array.from(causes, (cause) => {
    const prediction = isExplained(explained, cause, check.id)
      ? undefined
      : predictionOf(check, facts, packVolts, cause)
    return prediction ? fitOfReading(prediction, value, check) : Number.NaN
  })
}
