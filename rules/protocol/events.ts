import { z } from 'zod'
import { carFacts, carState } from '../schema/car.ts'
import { APPROVAL_WAYS, HAND_BACK_ITEMS, HAND_BACK_RESULTS, PHOTO_TYPES, ROOT_CAUSE_FOUND, reading } from './client.ts'

/**
 * What is kept of a case: an append-only list. Free words, names and phones are not in it: a `say` or `tell` event holds
 * the key of a text that is kept beside the log, so that it can be erased.
 */
const common = {
  /** 1, 2, 3 … in the case; given by the store */
  at: z.string().describe('ISO 8601'),
  by: z.enum(['customer', 'technician', 'dealer']),
  /** id of the client message that caused it */
  cause: z.string(),
  who: z.string().optional().describe('which technician or dealer: an id, never a name; a customer has none'),
}

export const caseEvent = z.discriminatedUnion('type', [
  z.object({
    ...common,
    type: z.literal('opened'),
    code: z.string(),
    shop: z.string(),
    language: z.string(),
    knowledge: z.string(),
    facts: carFacts,
    tag: z.string().optional(),
  }),
  z.object({ ...common, type: z.literal('facts'), facts: carFacts, tag: z.string().optional() }),
  z.object({
    ...common,
    type: z.literal('said'),
    words: z.string().optional().describe('key of the text beside the log'),
    complaints: z.array(z.string()),
    circumstances: z.array(z.string()),
    sure: z.boolean().describe('false: only kept, nothing concluded from it yet'),
  }),
  z.object({
    ...common,
    type: z.literal('answered'),
    check: z.string(),
    outcome: z.string().optional(),
    reading: reading.optional(),
    blocks: z.array(z.number()).optional().describe('volts of each block'),
    words: z.string().optional(),
    unasked: z.boolean().optional(),
  }),
  z.object({ ...common, type: z.literal('retracted'), check: z.string() }),
  z.object({ ...common, type: z.literal('picked'), check: z.string().nullable() }),
  z.object({ ...common, type: z.literal('acknowledged'), caution: z.string() }),
  z.object({ ...common, type: z.literal('car-state'), state: carState }),
  z.object({ ...common, type: z.literal('told'), words: z.string() }),
  z.object({ ...common, type: z.literal('repaired'), remedy: z.string() }),
  z.object({ ...common, type: z.literal('closed'), words: z.string().optional() }),
  /** how to reach the customer; replaces what was left before. Both are keys of texts beside the log. */
  z.object({ ...common, type: z.literal('contact'), name: z.string().optional(), phone: z.string().optional() }),
  /** a picture beside the log, by its key; `words` is what was written to it */
  z.object({
    ...common,
    type: z.literal('photo'),
    photo: z.string(),
    media: z.enum(PHOTO_TYPES),
    bytes: z.number().int(),
    words: z.string().optional(),
  }),
  z.object({
    ...common,
    type: z.literal('approved'),
    remedies: z.array(z.string()),
    upTo: z.number().describe("the most that may be charged, in the shop's money"),
    currency: z.string().optional(),
    way: z.enum(APPROVAL_WAYS),
    words: z.string().optional().describe('key of who said yes and on what terms'),
  }),
  z.object({ ...common, type: z.literal('declined'), remedies: z.array(z.string()), words: z.string().optional() }),
  z.object({
    ...common,
    type: z.literal('root-cause'),
    root: z.string(),
    found: z.enum(ROOT_CAUSE_FOUND),
    words: z.string().optional(),
  }),
  z.object({
    ...common,
    type: z.literal('handed-back'),
    item: z.enum(HAND_BACK_ITEMS),
    result: z.enum(HAND_BACK_RESULTS),
    words: z.string().optional(),
  }),
  z.object({
    ...common,
    type: z.literal('signed-off'),
    charged: z.number().optional(),
    currency: z.string().optional(),
    words: z.string().optional(),
  }),
  /** what was put before a person, so that the record says who was shown what */
  z.object({
    ...common,
    type: z.literal('shown'),
    ask: z.string().nullable(),
    cautions: z.array(z.string()),
    finding: z.array(z.string()),
  }),
])

export type CaseEvent = z.infer<typeof caseEvent>
/** An event with its place in the case. */
export type StoredEvent = CaseEvent & { seq: number }
