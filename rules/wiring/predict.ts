import { buildCircuit, noNode, type WiringFacts, type WiringState } from './circuit.ts'
import { type Observed, observe } from './cycle.ts'
import { WiringError } from './errors.ts'
import { factsThatMatter } from './facts.ts'
import { clampAmmeter } from './instruments/clamp-ammeter.ts'
import { continuity } from './instruments/continuity.ts'
import { diodeTest } from './instruments/diode-test.ts'
import { type OhmmeterQuery, ohmmeter } from './instruments/ohmmeter.ts'
import { type TestLamp, testLamp } from './instruments/test-lamp.ts'
import { voltmeter, voltmeterAc } from './instruments/voltmeter.ts'
import { Kept } from './kept.ts'
import type { Netlist } from './netlist.ts'
import type { Prediction } from './prediction.ts'

export const WIRING_INSTRUMENTS = [
  'voltmeter',
  'voltmeter-ac',
  'ohmmeter',
  'continuity',
  'diode-test',
  'test-lamp',
  'clamp-ammeter',
] as const
export type WiringInstrument = (typeof WIRING_INSTRUMENTS)[number]

/** What is measured, where, on which car with which cause. */
export interface Question {
  facts?: WiringFacts
  /** id of a cause; without it, nothing is wrong */
  cause?: string | undefined
  carState?: WiringState
  instrument: WiringInstrument
  /** node names; a lamp's clip is on black */
  red?: string
  black?: string
  /** clamp ammeter: the part (or `part.piece`) it goes round */
  around?: string
  lamp?: TestLamp
  ohmmeter?: OhmmeterQuery
}

/**
 * What an instrument shows.
 *
 * @example predict(netlist, {facts: {packVolts: 36, measuredPackVolts: 36.9}, cause: 'contactor-3.contacts-open',
 *   carState: {wheels: 'raised', key: 'on', direction: 'forward', step: 3},
 *   instrument: 'voltmeter', red: 'bus-bar', black: 'pack-negative'})
 * @throws WiringError if a node, part, cause, state or fact does not exist; the message says what to use instead
 */
export function predict(netlist: Netlist, question: Question): Prediction {
  const { instrument } = question
  if (!WIRING_INSTRUMENTS.includes(instrument)) {
    throw new WiringError(
      'bad-instrument',
      String(instrument),
      'no such instrument',
      `Use ${WIRING_INSTRUMENTS.join(', ')}`,
    )
  }
  const observed = observeCar(netlist, question)
  const { point } = observed
  if (point.chatters.length > 0) {
    return {
      kind: 'chatters',
      parts: point.chatters,
      why: `${point.chatters.join(', ')} pulls in and lets go again and again`,
    }
  }
  if (instrument === 'clamp-ammeter') {
    if (question.around === undefined) {
      throw new WiringError(
        'bad-instrument',
        instrument,
        'it goes round a part',
        'Give "around": the id of a cable or part',
      )
    }
    return clampAmmeter(observed, question.around)
  }
  const probes = {
    observed,
    red: nodeOf(observed, 'red', question.red),
    black: nodeOf(observed, 'black', question.black),
  }
  switch (instrument) {
    case 'voltmeter':
      return voltmeter(probes)
    case 'voltmeter-ac':
      return voltmeterAc(probes)
    case 'ohmmeter':
      return ohmmeter(probes, question.ohmmeter)
    case 'continuity':
      return continuity(probes, question.ohmmeter?.part === undefined ? {} : { part: question.ohmmeter.part })
    case 'diode-test':
      return diodeTest(probes)
    case 'test-lamp':
      return testLamp(probes, question.lamp)
  }
}

const observedCars = new Kept<Observed>(400)

/** The solved car; kept, since a screenful of predictions asks for few cars at many points. */
export function observeCar(netlist: Netlist, q: Pick<Question, 'facts' | 'cause' | 'carState'>): Observed {
  const facts = factsThatMatter(netlist, q.facts ?? {})
  const key = JSON.stringify([facts, q.cause ?? null, q.carState ?? {}])
  return observedCars.get(netlist, key, () => observe(buildCircuit(netlist, facts, q.cause, q.carState)))
}

function nodeOf(observed: Observed, probe: string, name: string | undefined): number {
  const { index } = observed.circuit
  const at = name === undefined ? undefined : index.get(name)
  if (at === undefined) throw noNode(name ?? '', index.keys(), `${name ?? 'nothing'} (${probe} probe)`)
  return at
}
