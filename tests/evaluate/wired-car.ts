import { isExplained } from '../../rules/reasoning/explained.ts'
import { shown } from '../../rules/reasoning/lint/wiring.ts'
import { PACK_AT_REST } from '../../rules/reasoning/reading.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { instrumentOf, netlistFor, soundAt } from '../../rules/reasoning/wired.ts'
import type { CheckFile, ObservableFile } from '../../rules/schema/knowledge.ts'
import type { Netlist } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import type { Prediction } from '../../rules/wiring/prediction.ts'
import { drawNetlist } from './drawn-netlist.ts'
import type { Answer, Noise, SimulatedCar } from './simulated-car.ts'

/** Whether the circuit of some car shows this cause. */
export const isElectrical = (cause: string): boolean =>
  NETLIST_FAMILIES.some((family) => netlistOf(family).change.has(cause))

/**
 * A simulated car whose measured answers come from the solved circuit of this very car: parts and pack drawn about their
 * nominal values and hidden from the reasoning, the meter's error on top. What the circuit does not show is answered as the
 * plain simulated car does: so how far its pack is charged, which the circuit is given, and where the knowledge explains
 * why its circuit does not show a thing.
 */
export function wireCar(
  r: Reasoner,
  car: SimulatedCar,
  noise: Noise,
  random: () => number,
  typed: boolean,
): SimulatedCar {
  const drawn = new Map<Netlist, Netlist>()
  const packVolts = restVolts()
  const answers = new Map<string, Answer>()
  return {
    ...car,
    answer(id, sure) {
      if (sure) return car.answer(id, true)
      const known = answers.get(id)
      if (known) return known
      const made = measured(id) ?? car.answer(id)
      answers.set(id, made)
      return made
    },
  }

  function measured(id: string): Answer | undefined {
    const check = r.check(id)!
    if (check.observable === PACK_AT_REST) {
      if (!typed) return undefined
    } else if (isExplained(r.knowledge.explained, car.cause, id)) return undefined
    const nominal = netlistFor(check, car.facts)
    if (!nominal?.change.has(car.cause)) return undefined
    const prediction = reading(check, nominal)
    if (!prediction) return undefined
    const chance = random()
    if (chance < noise.dontKnow) return { outcome: 'dont-know' }
    const wrong = chance < noise.dontKnow + noise.wrong
    const file = check.observable ? r.lookup.observableFile.get(check.observable) : undefined
    if (typed && check.reading) {
      const { max, min } = check.reading
      const step = check.reading.step ?? 0.1
      let value: number | undefined
      if (prediction.kind === 'number') value = prediction.mean + prediction.tolerance * (2 * random() - 1)
      else if (prediction.kind === 'floating') value = 0.02 * random()
      if (value !== undefined) {
        // A wrong reading: the wrong place or the wrong moment, so any volts that this car has somewhere.
        if (wrong) value = random() * packVolts * (check.reading.unit === 'V' ? 1 : 0.2)
        const read = Math.min(max, Math.max(min, Math.round(value / step) * step))
        return { reading: { value: read, unit: check.reading.unit } }
      }
    }
    const weights = file && shown(prediction, file, packVolts, soundAt(check, car.facts, packVolts))
    if (!weights) return undefined
    const state = wordOf(check, nominal, file, weights, prediction)
    const honest = check.outcomes.find((o) => Array.isArray(o.shows) && o.shows.includes(state))?.id
    if (!honest) return undefined
    if (!wrong) return { outcome: honest }
    const others = check.outcomes.filter((o) => o.id !== honest)
    return { outcome: others[Math.floor(random() * others.length)]!.id }
  }

  /** Volts of the pack at rest, of the state of charge that goes with the cause. */
  function restVolts(): number {
    const nominal = ((car.facts.packVolts ?? 36) / 12) * 12.3
    // Nothing at the posts is an open joint, which the circuit has; its blocks are as charged as any.
    const state = car.state(PACK_AT_REST).replace('none', 'full')
    const reads = r.lookup.observableFile.get(PACK_AT_REST)!.quantity!.reads[state]!
    return nominal * ('mean' in reads ? reads.mean : between(reads, state))
  }

  /** Evenly in the range; a flat pack that still moves a needle is not far below it. */
  function between({ from, to }: { from: number; to: number }, state: string): number {
    const least = state === 'flat' ? Math.max(from, to - 0.1) : from
    return least + (to - least) * random()
  }

  /** The state by name. "As at the step before" is said of what is too low and reads so on this very car. */
  function wordOf(
    check: CheckFile,
    nominal: Netlist,
    file: ObservableFile,
    weights: readonly number[],
    prediction: Prediction,
  ): string {
    const before = file.states.find((state) => {
      const r = file.quantity?.reads[state]
      return r !== undefined && 'mean' in r && r.steps === -1
    })
    const fits = weights.map((w, i) => (file.states[i] === before ? 0 : w))
    const state = file.states[fits.indexOf(Math.max(...fits))]!
    if (before === undefined || state !== 'low' || prediction.kind !== 'number') return state
    const there = reading({ ...check, step: Number(check.step) - 1 } as CheckFile, nominal)
    return there?.kind === 'number' && Math.abs(there.mean - prediction.mean) < 0.015 * packVolts ? before : state
  }

  function reading(check: CheckFile, nominal: Netlist): Prediction | undefined {
    const instrument = instrumentOf(check)
    if (!check.probes || !instrument) return undefined
    let netlist = drawn.get(nominal)
    if (!netlist) {
      netlist = drawNetlist(nominal, random)
      drawn.set(nominal, netlist)
    }
    const { changed: _, ...facts } = car.facts
    try {
      return predict(netlist, {
        facts: { ...facts, measuredPackVolts: packVolts },
        cause: car.cause,
        carState: { ...check.carState, ...(typeof check.step === 'number' ? { step: check.step } : {}) },
        instrument,
        red: check.probes.red,
        black: check.probes.black,
      })
    } catch {
      return undefined
    }
  }
}
