import { z } from 'zod'

/**
 * What the instruments show between two points of this car, and the circuit drawn as solved. Asked with `meter`, answered
 * with `meter`; changes nothing, for technicians and dealers, on a closed case too.
 */
const id = z.string().min(1).max(80)
const stateValue = z.union([z.string().max(60), z.number(), z.boolean(), z.array(z.string().max(60)).max(20)])

/** The fields of the client's message, without its envelope. */
export const meterQuestion = {
  check: id
    .optional()
    .describe('as this check has it: its points, car state and click; without any field, the current check'),
  circuit: id.optional().describe('a drive or charger type; by default the one that the check or the car has'),
  red: id.optional().describe('where the red probe is: the id of a place, or what it is called'),
  black: id.optional(),
  step: z.number().int().min(0).max(8).optional().describe("the pedal's click; 0 = up"),
  cause: id.optional().describe('as if this were wrong; without it, a sound car'),
  carState: z
    .record(z.string().max(30), stateValue)
    .optional()
    .describe("over the check's own: wheels, key, direction, supply …"),
}

const place = z.tuple([z.number(), z.number()])
const named = z.object({ id: z.string(), name: z.string() })
export const FLOWS = ['power', 'signal', 'ready', 'loose'] as const
export const FAULTS = ['open', 'short', 'added-ohms', 'stuck', 'changed'] as const

/** A circuit diagram as data: places in cells of a square grid, x to the right, y down. */
export const circuitPicture = z.object({
  circuit: z.string(),
  title: z.string(),
  parts: z.array(
    z.object({
      key: z.string(),
      name: z.string(),
      label: z.string().describe('short, for the drawing; empty: none'),
      symbol: z.string(),
      path: z.array(place).min(2),
      at: place.describe('where the symbol stands'),
      turn: z.number().int().describe('quarter turns from "left to right"'),
      side: z.enum(['n', 's', 'e', 'w']).optional().describe('of the label'),
      closed: z.boolean().optional(),
      amps: z.number(),
      alternating: z.boolean(),
      flow: z.enum(FLOWS),
      suspect: z.boolean(),
      fault: z.enum(FAULTS).optional(),
    }),
  ),
  boxes: z.array(
    z.object({
      key: z.string(),
      name: z.string(),
      box: z.tuple([z.number(), z.number(), z.number(), z.number()]),
      text: z
        .tuple([z.number(), z.number(), z.number()])
        .describe('the middle of its words, and how wide they may run'),
      suspect: z.boolean(),
      say: z.string().optional().describe('what it does, or what it misses'),
    }),
  ),
  cores: z.array(z.tuple([place, place])),
  nodes: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      line: z.array(place).min(1),
      stretches: z
        .array(z.object({ line: z.tuple([place, place]), flow: z.enum(FLOWS) }))
        .describe('of a line: what it carries from joint to joint'),
      volts: z.number().optional().describe('against the reference; absent where it hangs on nothing'),
      alternating: z.boolean(),
      voltsAt: z.enum(['n', 's', 'e', 'w', 'ne', 'nw', 'se', 'sw']).optional(),
      label: z.object({ text: z.string(), at: place, anchor: z.enum(['start', 'middle', 'end']) }).optional(),
    }),
  ),
  joins: z.array(z.object({ from: place, to: place })).describe('what the fault joins'),
  red: z.string().optional().describe('node under the red probe'),
  black: z.string().optional(),
  /** the same in words: one line each */
  say: z.array(z.string()),
})

const band = z.object({ mean: z.number(), low: z.number(), high: z.number() })

/** Expected against measured, click by click. */
export const stepPlot = z.object({
  title: z.string(),
  unit: z.string(),
  red: z.string(),
  black: z.string(),
  rows: z.array(
    z.object({
      step: z.number().int(),
      check: z.string().optional(),
      expected: band.optional().describe('a sound car; the band holds 19 of 20'),
      fault: z.number().optional().describe('with the fault named in `fault`'),
      measured: z.number().optional(),
    }),
  ),
  fault: named.optional(),
  say: z.array(z.string()),
})

/** A bar a battery block. */
export const blockBars = z.object({
  title: z.string(),
  unit: z.string(),
  usual: z.number().describe('what each should show'),
  bars: z.array(z.object({ block: z.number().int(), volts: z.number(), low: z.boolean(), say: z.string() })),
  say: z.array(z.string()),
})

/** Everything that is drawn of a case: for the bench and for the printed record. */
export const pictures = z.object({
  circuit: circuitPicture.optional(),
  steps: z.array(stepPlot),
  blocks: blockBars.optional(),
})

/** What paper shows of a case: as it was found, before the repair where there was one. */
export const paperPictures = pictures.extend({
  at: z
    .object({
      check: z.string(),
      question: z.string(),
      answer: z.string(),
      stateSay: z.string().describe('the car as the drawing has it, in words'),
    })
    .optional()
    .describe(
      'the check at whose points the circuit is drawn: the strongest evidence that has points, else the last read',
    ),
  repaired: z.boolean().describe('drawn as it was before the repair'),
})

export const meterBody = z.object({
  check: z.string().optional(),
  circuit: z.string(),
  circuits: z.array(named).describe('what can be looked at on this car'),
  red: named,
  black: named,
  cause: named.optional(),
  carState: z.record(z.string(), stateValue),
  stateSay: z.string(),
  taken: z.string().optional().describe('car facts that were taken for granted, in words'),
  readings: z.array(
    z.object({
      instrument: z.string(),
      name: z.string(),
      said: z.string(),
      sound: z.string().optional().describe('what a sound car shows, where that differs'),
      kind: z.string(),
      unit: z.string().optional(),
      mean: z.number().optional(),
      low: z.number().optional(),
      high: z.number().optional(),
      around: z.string().optional().describe('what the clamp goes round'),
      dead: z.boolean().describe('with the key off and the pack isolated'),
    }),
  ),
  places: z.array(z.object({ group: z.string(), nodes: z.array(named) })),
  causes: z.array(named),
  steps: z.array(z.number().int()).describe('clicks of the pedal; empty where it has none'),
  pictures,
})

export type MeterBody = z.infer<typeof meterBody>
export type CircuitPicture = z.infer<typeof circuitPicture>
export type StepPlot = z.infer<typeof stepPlot>
export type BlockBars = z.infer<typeof blockBars>
export type Pictures = z.infer<typeof pictures>
export type PaperPictures = z.infer<typeof paperPictures>
