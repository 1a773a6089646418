import { shown } from '../../rules/reasoning/lint/wiring.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { netlistFor } from '../../rules/reasoning/wired.ts'
import type { CheckFile } from '../../rules/schema/knowledge.ts'
import type { Netlist } from '../../rules/wiring/netlist.ts'
import { predict, type WiringInstrument } from '../../rules/wiring/predict.ts'
import type { Prediction } from '../../rules/wiring/prediction.ts'
import { drawNetlist, normal } from './drawn-netlist.ts'
import type { Answer, Noise, SimulatedCar } from './simulated-car.ts'

/**
 * A simulated car whose measured answers come from the solved circuit of this very car: parts and pack drawn about their
 * nominal values and hidden from the reasoning, the meter's error on top. What the circuit does not show is answered as the
 * plain simulated car does.
 */
export function wireCar(
  r: Reasoner,
  car: SimulatedCar,
  noise: Noise,
  random: () => number,
  typed: boolean,
): SimulatedCar {
  const drawn = new Map<Netlist, Netlist>()
  const packVolts = ((car.facts.packVolts ?? 36) / 12) * 12.35 * (1 + 0.02 * normal(random))
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
    const weights = file && shown(prediction, file, packVolts)
    if (!weights) return undefined
    const state = file.states[weights.indexOf(Math.max(...weights))]!
    const honest = check.outcomes.find((o) => Array.isArray(o.shows) && o.shows.includes(state))?.id
    if (!honest) return undefined
    if (!wrong) return { outcome: honest }
    const others = check.outcomes.filter((o) => o.id !== honest)
    return { outcome: others[Math.floor(random() * others.length)]!.id }
  }

  function reading(check: CheckFile, nominal: Netlist): Prediction | undefined {
    const tool =
      check.reading?.instrument ?? check.tools?.find((t) => ['voltmeter', 'ohmmeter', 'test-lamp'].includes(t))
    if (!check.probes || !tool || !['voltmeter', 'ohmmeter', 'test-lamp'].includes(tool)) return undefined
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
        instrument: tool as WiringInstrument,
        red: check.probes.red,
        black: check.probes.black,
      })
    } catch {
      return undefined
    }
  }
}
