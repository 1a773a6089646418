import { circuitPicture } from '../../rules/conversation/compose/circuit-picture.ts'
import { stateSay } from '../../rules/conversation/compose/meter.ts'
import { namesOf } from '../../rules/conversation/compose/names.ts'
import { sayPrediction } from '../../rules/conversation/compose/prediction.ts'
import { stepPlot } from '../../rules/conversation/compose/step-plot.ts'
import { textsOf } from '../../rules/conversation/texts/index.ts'
import type { MeterBody } from '../../rules/protocol/index.ts'
import type { CheckFile, Knowledge } from '../../rules/schema/knowledge.ts'
import type { WiringFacts, WiringState } from '../../rules/wiring/circuit.ts'
import { metersAt } from '../../rules/wiring/meter.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { pictureOf } from '../../rules/wiring/picture.ts'

/** Drawings for the gallery, from the very circuits and layouts: a drawing kept in a file would soon show another car. */
const NOTHING = {
  causes: [],
  checks: [],
  complaints: [],
  circumstances: [],
  cautions: [],
} as unknown as Knowledge
const names = namesOf(NOTHING, textsOf('en'), 'en')
const INSTRUMENTS: Record<string, string> = {
  voltmeter: 'Voltmeter',
  'voltmeter-ac': 'Voltmeter, AC',
  'test-lamp': 'Test lamp',
  'clamp-ammeter': 'Clamp ammeter',
  ohmmeter: 'Ohmmeter',
  continuity: 'Continuity',
}

interface Drawn {
  circuit: string
  title: string
  red: string
  black: string
  facts?: WiringFacts
  carState: WiringState
  suspect?: { id: string; name: string }
  /** solved with the suspect, not with a sound car */
  wrong?: boolean
  check?: string
  /** volts read at each click */
  measured?: Record<number, number>
}

export function drawn(d: Drawn): MeterBody {
  const netlist = netlistOf(d.circuit)
  const facts: WiringFacts = { packVolts: 36, measuredPackVolts: 36.9, ...d.facts }
  const cause = d.wrong ? d.suspect?.id : undefined
  const { step: _, ...carState } = d.carState
  const node = (id: string) => ({ id, name: names.place(id) })
  const steps = (netlist.states['step'] ?? []).map(Number)
  const checks = [2, 3, 4, 5].map(
    (step) => ({ id: `measure-bus-bar-volts-step-${step}`, step }) as unknown as CheckFile,
  )
  const given = Object.entries(d.measured ?? {}).map(([step, value]) => ({
    check: `measure-bus-bar-volts-step-${step}`,
    reading: { value, unit: 'V' as const },
    by: 'technician' as const,
    at: '',
    seq: 1,
    twice: false,
    stale: false,
  }))
  const question = { facts, carState: d.carState, red: d.red, black: d.black, cause }
  const picture = pictureOf(netlist, { facts, carState: d.carState, cause, suspects: d.suspect ? [d.suspect.id] : [] })
  return {
    ...(d.check ? { check: d.check } : {}),
    circuit: d.circuit,
    circuits: [
      { id: d.circuit, name: d.title },
      ...(d.circuit === 'transformer-timer' ? [] : [{ id: 'transformer-timer', name: 'Transformer, with a timer' }]),
    ],
    red: node(d.red),
    black: node(d.black),
    ...(d.wrong && d.suspect ? { cause: d.suspect } : {}),
    carState: d.carState as MeterBody['carState'],
    stateSay: stateSay(netlist, d.carState, names),
    readings: metersAt(netlist, question).map(({ instrument, prediction, around, dead }) => ({
      instrument,
      name: INSTRUMENTS[instrument]!,
      said: sayPrediction(prediction, names),
      kind: prediction.kind,
      ...(around ? { around: names.part(around) } : {}),
      dead: dead ?? false,
    })),
    places: [{ group: 'Places', nodes: [node(d.red), node(d.black), node('frame')] }],
    causes: d.suspect ? [d.suspect] : [],
    steps,
    pictures: {
      circuit: circuitPicture(picture, d.title, names, { red: d.red, black: d.black }),
      steps:
        steps.length > 0
          ? [
              stepPlot(
                netlist,
                { facts, carState, red: d.red, black: d.black, steps: [2, 3, 4, 5], cause: d.suspect, checks },
                given,
                names,
              ),
            ]
          : [],
    },
  }
}

const driving = { wheels: 'raised', key: 'on', direction: 'forward' }

export const busBarDrawn = (more: Partial<Drawn> = {}) =>
  drawn({
    circuit: 'resistor-contactor',
    title: 'Contactors and resistors',
    red: 'bus-bar',
    black: 'pack-negative',
    carState: { ...driving, step: 4 },
    suspect: { id: 'contactor-4.contacts-open', name: 'Contactor 4: contacts do not carry' },
    ...more,
  })

/** Probes and a suspect for each of the other circuits. */
export const others: Record<string, MeterBody> = Object.fromEntries(
  (
    [
      [
        'resistor-sliding',
        'Sliding contact and resistors',
        'main-contactor.board-side',
        'pack-negative',
        'button-contact-3.burnt',
        'Contact board: button 3 burnt, high resistance',
        {},
      ],
      [
        'series-controller',
        'Controller, series motor',
        'controller.m-minus',
        'controller.b-minus',
        'single-contactor.contacts-open',
        'Main contactor: contacts do not carry',
        { fieldBypass: true, runTow: true, mainFuse: true },
      ],
      [
        'separate-field-controller',
        'Controller, separate field',
        'motor.f1',
        'motor.f2',
        'field-cable-1.open',
        'Field lead F1: open',
        {},
      ],
      [
        'ac-controller',
        'AC controller',
        'encoder.supply',
        'encoder.negative',
        'encoder.open',
        'Encoder: dead',
        { throttle: 'three-wire-voltage' },
      ],
      [
        'transformer-timer',
        'Transformer, with a timer',
        'heat-sink',
        'ammeter.cord-end',
        'diode-1.open',
        'Rectifier diode 1: open',
        {},
      ],
      [
        'transformer-automatic',
        'Transformer, automatic',
        'relay.coil-positive',
        'relay.coil-negative',
        'relay.coil-open',
        'Charger relay: coil open',
        {},
      ],
      [
        'high-frequency',
        'High-frequency',
        'dc-cord.sense-pin',
        'charger.enable',
        'enable-cord.open',
        'DC cord: enable conductor open',
        {},
      ],
    ] as [string, string, string, string, string, string, WiringFacts][]
  ).map(([circuit, title, red, black, suspect, name, facts]) => {
    const { kind } = netlistOf(circuit)
    const charging = { supply: 'on', pack: 'connected', timer: 'wound' }
    return [
      circuit,
      drawn({
        circuit,
        title,
        red,
        black,
        facts,
        carState: kind === 'charger' ? charging : { ...driving, step: 3 },
        suspect: { id: suspect, name },
      }),
    ]
  }),
)

export const blocks: NonNullable<MeterBody['pictures']['blocks']> = {
  title: 'Block by block, at rest: are the volts alike?',
  unit: 'V',
  usual: 6.3,
  bars: [6.31, 6.29, 6.3, 5.24, 6.3, 6.32].map((volts, i) => ({
    block: i + 1,
    volts,
    low: volts < 6.2,
    say: `Block ${i + 1}: ${volts} V${volts < 6.2 ? ', below the others' : ''}`,
  })),
  say: ['Half the blocks read above 6.3 V, half below.', 'Block 4: 5.24 V, below the others'],
}
