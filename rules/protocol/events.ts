import { z } from 'zod'
import { carFacts, carState } from '../schema/car.ts'
import { reading } from './client.ts'

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
