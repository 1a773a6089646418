import { z } from 'zod'
import { carFacts, carState, UNITS } from '../schema/car.ts'
import { meterQuestion } from './meter.ts'

/** What a client sends over the socket: one JSON object a text frame. */
export const PROTOCOL_VERSION = 1
/** Longest frame taken, bytes. */
export const MAX_FRAME_BYTES = 16_384
/** Longest free text, characters. */
export const MAX_TEXT = 2_000
/** What was entered longer ago than this counts as entered so long ago: 90 days, in milliseconds. */
export const MAX_AGO = 90 * 24 * 3_600_000

/** A hand-over code, said aloud at the counter: letter and digit, dash, three digits; no I and O, which are read as 1 and 0. */
export const CODE_SHAPE = /^[A-HJ-NP-Z]\d-\d{3}$/
const key = z.string().min(1).max(80)
const envelope = {
  v: z.literal(PROTOCOL_VERSION),
  /** chosen by the client, unique in the case; the same id twice has the effect of once, and gets the same replies */
  id: z.string().min(1).max(64),
  ago: z
    .number()
    .int()
    .min(0)
    .max(MAX_AGO)
    .optional()
    .describe('milliseconds since it was entered, where it could not be sent at once: its events bear that time'),
}

/** A number read off an instrument, as it was read. */
export const reading = z.strictObject({
  value: z.number(),
  unit: z.enum(UNITS),
  instrument: key.optional(),
})

export const answerItem = z.strictObject({
  check: key,
  outcome: key.optional().describe('an outcome id of the check, or "dont-know"'),
  reading: reading.optional(),
  blocks: z
    .array(z.number().min(-30).max(60))
    .min(2)
    .max(24)
    .optional()
    .describe("the volts of each block, from the pack's negative end, for a check of blocks"),
  text: z
    .string()
    .max(MAX_TEXT)
    .optional()
    .describe('the answer as typed: "yes", "about 31 volts"; the server understands it or asks'),
})

export const open = z.strictObject({
  ...envelope,
  type: z.literal('open'),
  pass: z
    .string()
    .max(400)
    .optional()
    .describe('what proves the role; without one a new customer case is opened and its pass comes back'),
  shop: key.default('demo'),
  case: key.optional().describe('a case to go on with; without it a new one is opened'),
  code: key.optional().describe('the hand-over code of a case to go on with, technicians only'),
  hadCode: z
    .string()
    .regex(CODE_SHAPE, 'a code such as K7-204')
    .optional()
    .describe('the code that a new case was given while there was no line; it keeps it where it is free'),
  since: z.number().int().min(0).optional().describe('the last seq seen; what came after it is brought'),
  language: z
    .string()
    .regex(/^[a-z]{2}(-[A-Z]{2})?$/, 'a language such as "en" or "en-GB"')
    .optional()
    .describe("what this screen reads and writes in; without it the case's own, at first en"),
  facts: carFacts.optional(),
  tag: z.string().max(40).optional().describe("the car's number or name in its fleet"),
})
export const facts = z.strictObject({
  ...envelope,
  type: z.literal('facts'),
  facts: carFacts,
  tag: z.string().max(40).optional(),
})
export const say = z.strictObject({
  ...envelope,
  type: z.literal('say'),
  text: z.string().trim().min(1).max(MAX_TEXT).optional(),
  complaints: z.array(key).max(5).optional().describe('picked from the list, or confirmed after "understood"'),
  circumstances: z.array(key).max(8).optional(),
})
export const answer = z.strictObject({
  ...envelope,
  type: z.literal('answer'),
  answers: z.array(answerItem).min(1).max(40),
})
export const retract = z.strictObject({
  ...envelope,
  type: z.literal('retract'),
  check: key.describe(
    'the check whose answer is taken back; "complaint.<id>" or "circumstance.<id>" for what was said',
  ),
})
export const pick = z.strictObject({
  ...envelope,
  type: z.literal('pick'),
  check: key.nullable().describe('null: back to the suggested one'),
})
export const why = z.strictObject({ ...envelope, type: z.literal('why'), check: key.optional(), cause: key.optional() })
/** What the instruments show between two points, and the circuit drawn: see meter.ts. */
export const meterMessage = z.strictObject({ ...envelope, type: z.literal('meter'), ...meterQuestion })
export const acknowledge = z.strictObject({ ...envelope, type: z.literal('acknowledge'), caution: key })
export const carStateMessage = z.strictObject({ ...envelope, type: z.literal('car-state'), state: carState })
export const tell = z.strictObject({
  ...envelope,
  type: z.literal('tell'),
  text: z.string().trim().min(1).max(MAX_TEXT),
})
export const repaired = z.strictObject({ ...envelope, type: z.literal('repaired'), remedy: key })
export const close = z.strictObject({
  ...envelope,
  type: z.literal('close'),
  note: z.string().max(MAX_TEXT).optional(),
})

export const PHOTO_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const
export const APPROVAL_WAYS = ['in-person', 'by-phone', 'in-writing'] as const
export const ROOT_CAUSE_FOUND = ['yes', 'no', 'not-looked'] as const
/** What is gone through before a car is handed back. */
export const HAND_BACK_ITEMS = [
  'torque',
  'bridges-out',
  'leads-back',
  'brake-test',
  'road-test',
  'charge-cycle',
] as const
export const HAND_BACK_RESULTS = ['done', 'not-needed'] as const

const remedies = z.array(key).min(1).max(10)
const words = z.string().trim().min(1).max(MAX_TEXT)
const amount = z.number().min(0).max(1_000_000).multipleOf(0.01)

/** How to reach the customer; both may be left out, and what was left before is replaced. */
export const contact = z.strictObject({
  ...envelope,
  type: z.literal('contact'),
  name: z.string().trim().max(80).optional(),
  phone: z
    .string()
    .trim()
    .max(40)
    .regex(/^[0-9+()./ -]*$/, 'only digits, spaces and the marks + - ( ) . /')
    .optional(),
})
export const approve = z.strictObject({
  ...envelope,
  type: z.literal('approve'),
  remedies,
  upTo: amount.describe("the most that may be charged, in the shop's money"),
  way: z.enum(APPROVAL_WAYS),
  who: words.optional().describe('who said yes, and on what terms; kept beside the log'),
})
export const decline = z.strictObject({
  ...envelope,
  type: z.literal('decline'),
  remedies,
  who: words.optional().describe('who said no, and why'),
})
export const rootCause = z.strictObject({
  ...envelope,
  type: z.literal('root-cause'),
  root: key.describe("id of one of the finding's root causes"),
  found: z.enum(ROOT_CAUSE_FOUND),
  text: words.optional(),
})
export const handBack = z.strictObject({
  ...envelope,
  type: z.literal('hand-back'),
  items: z
    .array(
      z.strictObject({
        item: z.enum(HAND_BACK_ITEMS),
        result: z.enum(HAND_BACK_RESULTS),
        text: words.optional().describe('the torque, the stopping distance, the volts after charging'),
      }),
    )
    .min(1)
    .max(HAND_BACK_ITEMS.length),
})
/** The technician stands for the work: refused until the hand-back list is gone through. */
export const signOff = z.strictObject({
  ...envelope,
  type: z.literal('sign-off'),
  charged: amount.optional(),
  text: words.optional(),
})

export const clientMessage = z.discriminatedUnion('type', [
  open,
  facts,
  say,
  answer,
  retract,
  pick,
  why,
  acknowledge,
  carStateMessage,
  tell,
  repaired,
  close,
  contact,
  approve,
  decline,
  rootCause,
  handBack,
  signOff,
  meterMessage,
])

export type ClientMessage = z.infer<typeof clientMessage>
/** As written by a client, defaults left out. */
export type ClientMessageInput = z.input<typeof clientMessage>
export type OpenMessage = z.infer<typeof open>
/** Everything that a conversation step takes: opening is the server's, since it finds or makes the case. */
export type StepMessage = Exclude<ClientMessage, { type: 'open' }>
export type AnswerItem = z.infer<typeof answerItem>
export type Reading = z.infer<typeof reading>
export type Role = 'customer' | 'technician' | 'dealer'
