import { z } from 'zod'
import { carFacts } from '../schema/car.ts'
import {
  acknowledge,
  answer,
  approve,
  carStateMessage,
  close,
  contact,
  decline,
  facts,
  handBack,
  pick,
  repaired,
  retract,
  rootCause,
  say,
  signOff,
  tell,
  why,
} from './client.ts'
import { REFUSALS } from './server.ts'

/** A whole conversation as data, with what must come of each step: a file of transcripts-demo/. */
const bare = { v: true, id: true, ago: true } as const
const key = z.string().min(1).max(80)

/** A client message without `v` and `id`, which the replay gives. */
export const transcriptMessage = z.discriminatedUnion('type', [
  facts.omit(bare),
  say.omit(bare),
  answer.omit(bare),
  retract.omit(bare),
  pick.omit(bare),
  why.omit(bare),
  acknowledge.omit(bare),
  carStateMessage.omit(bare),
  tell.omit(bare),
  repaired.omit(bare),
  close.omit(bare),
  contact.omit(bare),
  approve.omit(bare),
  decline.omit(bare),
  rootCause.omit(bare),
  handBack.omit(bare),
  signOff.omit(bare),
])

/** Only what is written is compared, so a part left out may be anything. */
export const expectation = z.strictObject({
  ask: key.nullable().optional().describe('the check that the sender is asked next; null: none'),
  standing: z.strictObject({ top: key.describe('cause id'), atLeast: z.number().min(0).max(1) }).optional(),
  finding: z
    .union([key, z.array(key).min(2)])
    .nullable()
    .optional()
    .describe('the cause found, or the few that share one remedy; null: none yet, or no longer'),
  refused: z.enum(REFUSALS).optional(),
  understood: z
    .strictObject({
      sure: z.boolean(),
      complaints: z.array(key).optional(),
      circumstances: z.array(key).optional(),
      options: z.array(key).optional().describe('offered among others, in any order'),
    })
    .optional(),
  cautions: z.array(key).optional().describe('ids of all that apply, in any order'),
  stop: z.boolean().optional(),
  reminders: z.number().int().min(0).optional().describe('how many things are still to be put back'),
  status: z.enum(['open', 'closed']).optional(),
})

export const transcriptStep = z.strictObject({
  from: z.enum(['customer', 'technician']),
  /** the author's remark, printed by the replay */
  remark: z.string().optional(),
  send: transcriptMessage,
  expect: expectation,
})

export const transcript = z.strictObject({
  $schema: z.string().optional(),
  title: z.string().min(3),
  about: z.string().optional().describe('what this conversation shows'),
  language: z.string().default('en'),
  tag: z.string().optional().describe("the car's number"),
  facts: carFacts.default({}).describe('what is known of the car when the case is opened'),
  steps: z.array(transcriptStep).min(1),
})

export type Expectation = z.infer<typeof expectation>
export type TranscriptStep = z.infer<typeof transcriptStep>
export type Transcript = z.infer<typeof transcript>
