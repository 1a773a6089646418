import { z } from 'zod'
import { carFacts, carState, DRIVES, TOOLS, UNITS } from './car.ts'
import { condition } from './conditions.ts'
import { LIKELIHOOD_WORDS, type LikelihoodWord } from './words.ts'

/**
 * One schema a kind of file in rules/knowledge. `text` is English, the language that the knowledge is written in; other
 * languages stand under texts/<language>/ with the same paths. See rules/knowledge/README.md for how to add one.
 */
const id = z.string().regex(/^[a-z0-9{}]+([-.][a-z0-9{}]+)*$/, 'lower-case words joined by "-", parts by "."')
const line = z.string().trim().min(2).max(300)
const lines = z.array(z.string().trim().min(2).max(400)).min(1).max(12)

/** Where a value comes from: a published source, or one of the honest marks. */
export const source = z.string().min(3)
export const COMMON_PRACTICE = 'common practice, no source'
export const ESTIMATE = 'estimate'

const word = z.enum(Object.keys(LIKELIHOOD_WORDS) as [LikelihoodWord, ...LikelihoodWord[]])
export const likelihood = z.union([word, z.strictObject({ p: z.number().min(0).max(1), source })])
const likelihoods = z.record(z.string(), likelihood)

/** Numbered siblings: the file stands once for each entry, `{name}` in any id or text replaced by its value. */
const siblings = z.array(z.record(z.string(), z.union([z.string(), z.number()]))).min(2)
const common = { $schema: z.string().optional(), for: siblings.optional() }

/** One thing that a cause makes true: how the states of an observable are spread in a car with that cause. */
const effect = z.strictObject({ observable: id, when: condition.optional(), states: likelihoods })

export const causeFile = z.strictObject({
  ...common,
  id: id.describe('component.mode, such as main-contactor.contacts-open'),
  when: condition.optional().describe('the cars that have this part: conditions over car facts'),
  weight: z.strictObject({
    times: z.number().positive().describe('how often it is met, as a ratio: 3 = three times as often as a cause at 1'),
    source,
  }),
  remedy: id,
  rootCauses: z.array(id).min(1).describe('why it failed, likeliest first: ids of root-causes/'),
  complaints: likelihoods.describe('how probable it is that a car with this cause is brought in with these words'),
  circumstances: likelihoods.optional(),
  effects: z.array(effect).min(1),
  text: z.strictObject({
    name: line.describe('for the technician: component, then what is wrong with it'),
    plain: line.describe('for a customer, no trade words'),
    note: z.string().max(600).optional().describe('what a good technician would add'),
  }),
})

const reads = z.union([
  z.strictObject({
    mean: z.number(),
    sd: z.number().positive(),
    steps: z.number().int().optional().describe('it is what a sound car shows so many pedal steps away'),
  }),
  z.strictObject({ from: z.number(), to: z.number(), edge: z.number().positive().describe('how soft the ends are') }),
])

export const observableFile = z.strictObject({
  ...common,
  id,
  states: z.array(id).min(2).max(8),
  usual: likelihoods.describe('the spread in a car whose cause says nothing about this observable'),
  quantity: z
    .strictObject({
      unit: z.enum(UNITS),
      of: z
        .enum(['nothing', 'pack-volts'])
        .describe('"pack-volts": the numbers below are fractions of the pack at rest, as measured or else nominal'),
      reads: z.record(z.string(), reads).describe('what an instrument shows in each state'),
      source,
    })
    .optional(),
  text: z.strictObject({ name: line.describe('what is looked at, a noun: "the main contactor\'s click"') }),
})

const outcome = z.strictObject({
  id,
  shows: z
    .union([z.array(id).min(1), likelihoods])
    .describe('the observable states that this outcome is the honest answer for; or P(outcome | state) for each state'),
})

export const checkFile = z.strictObject({
  ...common,
  id: id.describe('verb first: measure-pack-volts-at-rest'),
  observable: id.optional(),
  fact: z.string().optional().describe('instead of an observable: the car fact that is asked for'),
  who: z.array(z.enum(['customer', 'technician'])).min(1),
  way: z.enum(['ask', 'look', 'listen', 'feel', 'try', 'measure']),
  when: condition.optional().describe('over car facts, and for safety over answer:<check>, carState:<name>'),
  tools: z.array(z.enum(TOOLS)).optional(),
  carState: carState.optional().describe('what must be true of the car during the check'),
  probes: z
    .strictObject({ red: id, black: id })
    .optional()
    .describe('nodes of the wiring, for instruments with two leads; lamp: black = clip'),
  range: z.enum(['diode']).optional().describe('of the ohmmeter, where it is not ohms'),
  circuit: z.enum(['drive', 'charger']).optional().describe("whose netlist the probes are on; default the drive's"),
  step: z
    .union([z.number().int().min(0).max(8), z.string().regex(/^\{\w+\}$/)])
    .optional()
    .describe('the pedal step at which it is read; 0 = pedal up'),
  minutes: z.number().positive().max(240).describe('without the set-up of car state and tools'),
  reliability: z.number().min(0.5).max(0.999).describe('P(the honest outcome is what is answered)'),
  reliabilitySource: source.optional(),
  outcomes: z.array(outcome).min(2).max(8),
  reading: z
    .strictObject({
      unit: z.enum(UNITS),
      instrument: z.enum(TOOLS),
      min: z.number(),
      max: z.number(),
      step: z.number().positive().optional(),
      source,
    })
    .optional(),
  row: id.optional().describe('checks with the same row are entered together, as one row of readings'),
  cautions: z.array(id).optional(),
  text: z.strictObject({
    ask: line.describe('the question, one sentence'),
    how: lines.optional().describe('steps; where each probe goes'),
    hint: z.string().max(300).optional(),
    good: z.string().max(300).optional().describe('what good looks like'),
    reason: line.describe('why this check, completes "to see whether ..."'),
    outcomes: z.record(z.string(), z.union([line, z.strictObject({ label: line, small: line })])),
  }),
})

export const complaintFile = z.strictObject({
  ...common,
  id,
  base: z.number().min(0.001).max(0.5).describe('P(these words | a cause that does not mention it)'),
  settles: z.array(id).optional().describe('checks that these words have answered: they are not asked again'),
  text: z.strictObject({
    name: line,
    plain: line.describe('as a customer would say it'),
    until: lines.describe('what to do until it is fixed'),
    phrases: z.array(z.string().min(2)).describe('how people say it: at least 25, in their own words'),
  }),
})

export const circumstanceFile = complaintFile.extend({
  text: z.strictObject({ name: line, plain: line, phrases: z.array(z.string().min(2)) }),
})

export const SIGNAL_WORDS = ['DANGER', 'WARNING', 'CAUTION', 'NOTICE'] as const

export const cautionFile = z.strictObject({
  ...common,
  id,
  signal: z.enum(SIGNAL_WORDS).describe('ANSI Z535.6'),
  acknowledge: z.boolean().describe('must be acknowledged before the check is shown'),
  when: condition.optional().describe('cars that it is for, over car facts; without it, all'),
  source,
  text: z.strictObject({ hazard: line, act: lines, plain: z.string().max(400).optional().describe('for a customer') }),
})

export const remedyFile = z.strictObject({
  ...common,
  id,
  minutes: z.number().positive(),
  part: z
    .strictObject({ name: line, low: z.number().min(0), high: z.number().min(0), source })
    .describe("price range in the shop's money"),
  proof: z
    .strictObject({ check: id, outcome: id })
    .describe('the check that shows that it worked, and its good outcome'),
  stale: z.array(z.string()).describe('observables that the repair makes stale; `*` at the end stands for the rest'),
  carState: carState.optional(),
  cautions: z.array(id).optional(),
  askWhyFirst: z
    .array(id)
    .min(1)
    .optional()
    .describe('ids of root-causes/: with those of the cause they are asked before the part is fitted'),
  text: z.strictObject({ name: line, steps: lines }),
})

export const rootCauseFile = z.strictObject({
  ...common,
  id,
  when: condition.optional().describe('the cars that have what it looks at, over car facts; without it, all'),
  text: z.strictObject({ name: line, ask: line.describe('what to look at so that it does not come back') }),
})

/** A rule that reads the whole case; run by json-rules-engine at every turn. */
export const caseRuleFile = z.strictObject({
  ...common,
  id,
  conditions: condition,
  event: z.union([
    z.strictObject({ type: z.literal('caution'), params: z.strictObject({ caution: id }) }),
    z.strictObject({ type: z.literal('stop'), params: z.strictObject({ caution: id }) }),
    z.strictObject({ type: z.literal('hand-over'), params: z.strictObject({ why: line }) }),
    z.strictObject({ type: z.literal('remind'), params: z.strictObject({ caution: id }) }),
    z.strictObject({
      type: z.literal('power-last'),
      params: z.strictObject({
        minutes: z.number().positive().describe('by so much dearer is a check that needs power'),
      }),
    }),
  ]),
})

/** Two or more causes with different remedies that no check tells apart, and why. */
export const inseparableFile = z.strictObject({ ...common, id, causes: z.array(id).min(2), why: line })

/** Where knowledge and solved circuit are meant to differ, and why; `*` stands for every cause, or every check. */
export const explainedFile = z.strictObject({
  ...common,
  id,
  cause: z.string().min(1),
  check: z.string().min(1),
  why: line,
})

export const carFactsFile = z.strictObject({
  $schema: z.string().optional(),
  facts: z.record(
    z.string(),
    z.strictObject({
      values: z.array(z.union([z.string(), z.number(), z.boolean()])).min(2),
      weights: z.array(z.number().min(0)),
      source,
      given: z
        .array(z.strictObject({ when: condition, weights: z.array(z.number().min(0)) }))
        .optional()
        .describe('other weights in cars for which the condition holds; 0 = no such car'),
      text: z.strictObject({ name: line, values: z.record(z.string(), line) }),
    }),
  ),
})

/** Minutes that a change of set-up costs, and a few shop-wide figures; all `estimate` unless a source is named. */
export const settingsFile = z.strictObject({
  $schema: z.string().optional(),
  source,
  setUpMinutes: z
    .record(z.string(), z.number().min(0))
    .describe('"wheels:raised", "tool:voltmeter", "lifted", "bridged"'),
  ratePerHour: z.number().positive(),
  otherWeight: z.number().positive().describe('weight of "not one of these", beside the causes\' weights'),
  otherMinutes: z.number().positive().describe('what a car costs whose fault is none of these'),
  sureEnough: z.number().min(0.5).max(0.999),
})

export type CauseFile = z.infer<typeof causeFile>
export type ObservableFile = z.infer<typeof observableFile>
export type CheckFile = z.infer<typeof checkFile>
export type ComplaintFile = z.infer<typeof complaintFile>
export type CircumstanceFile = z.infer<typeof circumstanceFile>
export type CautionFile = z.infer<typeof cautionFile>
export type RemedyFile = z.infer<typeof remedyFile>
export type RootCauseFile = z.infer<typeof rootCauseFile>
export type CaseRuleFile = z.infer<typeof caseRuleFile>
export type InseparableFile = z.infer<typeof inseparableFile>
export type ExplainedFile = z.infer<typeof explainedFile>
export type CarFactsFile = z.infer<typeof carFactsFile>
export type SettingsFile = z.infer<typeof settingsFile>

/** Folder of rules/knowledge -> schema of the files in it. */
export const FOLDERS = {
  causes: causeFile,
  observables: observableFile,
  checks: checkFile,
  complaints: complaintFile,
  circumstances: circumstanceFile,
  cautions: cautionFile,
  remedies: remedyFile,
  'root-causes': rootCauseFile,
  'case-rules': caseRuleFile,
  inseparable: inseparableFile,
  explained: explainedFile,
} as const

export type Folder = keyof typeof FOLDERS

export const SINGLE_FILES = { 'car-facts.json': carFactsFile, 'settings.json': settingsFile } as const

/** All knowledge, siblings written out, in order of id. */
export interface Knowledge {
  causes: CauseFile[]
  observables: ObservableFile[]
  checks: CheckFile[]
  complaints: ComplaintFile[]
  circumstances: CircumstanceFile[]
  cautions: CautionFile[]
  remedies: RemedyFile[]
  rootCauses: RootCauseFile[]
  caseRules: CaseRuleFile[]
  inseparable: InseparableFile[]
  explained: ExplainedFile[]
  carFacts: CarFactsFile
  settings: SettingsFile
  /** id of a cause written out -> id of the file it stands in (siblings count once) */
  familyOf: ReadonlyMap<string, string>
}

export { carFacts, carState, DRIVES }
