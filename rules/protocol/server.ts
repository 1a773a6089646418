import { z } from 'zod'
import { carFacts, carState, TOOLS, UNITS } from '../schema/car.ts'
import { SIGNAL_WORDS } from '../schema/knowledge.ts'
import {
  APPROVAL_WAYS,
  HAND_BACK_ITEMS,
  HAND_BACK_RESULTS,
  PHOTO_TYPES,
  PROTOCOL_VERSION,
  ROOT_CAUSE_FOUND,
  reading,
} from './client.ts'
import { meterBody } from './meter.ts'

/** What the server sends. Every text is in the case's language, ready to show. */
const envelope = {
  v: z.literal(PROTOCOL_VERSION),
  /** the id of the client message that this replies to; absent where another screen caused it */
  re: z.string().optional(),
  case: z.string(),
  /** the case's newest event when this was made */
  seq: z.number().int(),
}
const role = z.enum(['customer', 'technician', 'dealer'])

/** An answered check, one punched hole of the trail. */
export const trailItem = z.object({
  check: z.string().describe('check id; "complaint.<id>" or "circumstance.<id>" for what was said'),
  question: z.string(),
  answer: z.string(),
  outcome: z.string().optional(),
  reading: reading.optional(),
  by: role,
  seq: z.number().int(),
  at: z.string().describe('ISO 8601'),
  instrument: z.string().optional().describe('what the reading was taken with, in words'),
  doubted: z.boolean().optional().describe('the answer that fits least with the others'),
})

export const opened = z.object({
  ...envelope,
  type: z.literal('opened'),
  pass: z
    .string()
    .optional()
    .describe('only in a reply to an "open" that made a case without one; keep it to come back'),
  role,
  shop: z.object({ id: z.string(), name: z.string(), phone: z.string().optional(), hours: z.string().optional() }),
  code: z.string().describe('the hand-over code, to be said aloud or scanned'),
  tag: z.string().optional(),
  knowledge: z.string().describe('hash of the knowledge that the case is pinned to'),
  language: z.string(),
  facts: carFacts,
  carState,
  status: z.enum(['open', 'closed']),
  earlier: z
    .array(
      z.object({
        case: z.string(),
        code: z.string(),
        status: z.enum(['open', 'closed']),
        openedAt: z.string(),
        complaints: z.array(z.string()),
        causes: z.array(z.string()).describe('cause ids: repaired, else found'),
      }),
    )
    .optional()
    .describe('this car was here before: newest first, for technicians and dealers'),
  missed: z.array(z.object({ seq: z.number().int(), type: z.string(), at: z.string(), by: role })).optional(),
  complaints: z
    .array(z.object({ id: z.string(), name: z.string(), plain: z.string() }))
    .describe('the whole list, to offer'),
  factsToAsk: z
    .array(
      z.object({
        fact: z.string(),
        name: z.string(),
        values: z.array(z.object({ value: z.union([z.string(), z.number(), z.boolean()]), label: z.string() })),
      }),
    )
    .describe('what an intake form offers'),
})

/** What was understood of free words. `sure: false` asks: nothing has been recorded yet, confirm with `say` and ids. */
export const understood = z.object({
  ...envelope,
  type: z.literal('understood'),
  sure: z.boolean(),
  text: z.string().describe('one sentence: "I understood: jerks when it speeds up, after water."'),
  complaints: z.array(z.object({ id: z.string(), name: z.string() })),
  circumstances: z.array(z.object({ id: z.string(), name: z.string() })),
  /** offered to choose from when not sure, likeliest first */
  options: z.array(z.object({ id: z.string(), name: z.string(), plain: z.string() })),
  /** what was asked of a check in typed words */
  check: z.string().optional(),
})

export const cautionBody = z.object({
  id: z.string(),
  signal: z.enum(SIGNAL_WORDS),
  hazard: z.string(),
  act: z.array(z.string()),
  acknowledge: z.boolean(),
  acknowledged: z.boolean(),
  source: z.string(),
})

const probe = z.object({ node: z.string(), label: z.string() })

/** The current question. Withheld (`ask: null` in its place) while a caution waits to be acknowledged or a stop holds. */
export const askBody = z.object({
  check: z.string(),
  kind: z
    .enum(['check', 'proof', 'again', 'complaint'])
    .describe('again: asked once more since it fits least; complaint: say what is wrong'),
  way: z.enum(['ask', 'look', 'listen', 'feel', 'try', 'measure', 'say']),
  title: z.string(),
  how: z.array(z.string()),
  hint: z.string().optional(),
  good: z.string().optional(),
  reason: z.string().describe('one line: minutes, set-up, what it tells'),
  minutes: z.number(),
  setUpMinutes: z.number(),
  setUp: z.array(z.string()).describe('what to change first: "Raise both drive wheels on stands"'),
  tools: z.array(z.enum(TOOLS)),
  probes: z.object({ red: probe, black: probe }).optional(),
  outcomes: z.array(z.object({ id: z.string(), label: z.string(), small: z.string().optional() })),
  reading: z
    .object({
      unit: z.enum(UNITS),
      instrument: z.enum(TOOLS),
      min: z.number(),
      max: z.number(),
      step: z.number(),
      expected: z.object({ low: z.number(), high: z.number() }).optional().describe('19 sound cars of 20'),
      ifFault: z
        .array(z.object({ value: z.number(), cause: z.string() }))
        .describe('"25.5 is what contactor 3 not carrying gives"'),
      said: z.string().optional().describe('the same in one sentence'),
    })
    .optional(),
  blocks: z
    .object({ count: z.number().int() })
    .optional()
    .describe('may be answered by the volts of each of so many blocks'),
  row: z
    .array(
      z.object({
        check: z.string(),
        title: z.string(),
        unit: z.enum(UNITS).optional(),
        outcomes: z.array(z.object({ id: z.string(), label: z.string() })),
      }),
    )
    .optional(),
  cautions: z.array(cautionBody),
  carState: carState.describe('what must be true during the check'),
  picked: z.boolean(),
  others: z
    .array(z.object({ check: z.string(), title: z.string(), minutes: z.number() }))
    .describe('other checks worth their minutes, best first'),
})

export const ask = z.object({
  ...envelope,
  type: z.literal('ask'),
  ask: askBody.nullable(),
  /** why there is no question, in words */
  because: z.string().optional(),
})

export const causeRow = z.object({ cause: z.string(), name: z.string(), p: z.number(), remedy: z.string() })

export const standing = z.object({
  ...envelope,
  type: z.literal('standing'),
  /** likeliest first; then how many others and what they have together; `other` = not one of these */
  rows: z.array(causeRow),
  others: z.object({ count: z.number().int(), p: z.number() }),
  other: z.number(),
  out: z.array(z.string()).describe('names of groups now out of the question'),
  lamp: z.object({ brightness: z.number().min(0).max(1), say: z.string() }),
  remaining: z.object({ checks: z.number(), minutes: z.number() }).describe('rough: about so many more'),
  estimate: z
    .object({
      likely: z.number(),
      low: z.number(),
      high: z.number(),
      expected: z.number().optional().describe('over all that can still be wrong, each by its probability'),
      currency: z.string().optional().describe('ISO 4217, where the shop has set it'),
    })
    .describe("labour and parts in the shop's money; low–high holds eight cases in ten; never a quotation"),
  /** set when the answers disagree with every single cause */
  disagreement: z
    .object({
      check: z.string(),
      question: z.string(),
      answer: z.string(),
      say: z.string(),
      pairs: z.array(z.object({ causes: z.array(z.string()), names: z.array(z.string()), p: z.number() })),
    })
    .optional(),
})

export const caution = z.object({
  ...envelope,
  type: z.literal('caution'),
  cautions: z.array(cautionBody).describe('all that apply now, gravest first; unacknowledged ones hold the check back'),
  stop: z.boolean().describe('true: no check is asked until it is settled'),
})

export const evidence = z.object({
  check: z.string(),
  question: z.string(),
  answer: z.string(),
  weight: z.enum(['strong', 'some', 'against']),
})

export const finding = z.object({
  ...envelope,
  type: z.literal('finding'),
  finding: z
    .object({
      kind: z.enum(['cause', 'one-remedy', 'other', 'hand-over']),
      causes: z.array(causeRow),
      p: z.number(),
      sure: z.boolean(),
      title: z.string(),
      say: z.string().describe("like a good technician's note"),
      evidence: z.array(evidence),
      rootCauses: z.array(z.object({ id: z.string(), name: z.string(), ask: z.string() })),
      remedy: z
        .object({
          id: z.string(),
          name: z.string(),
          steps: z.array(z.string()),
          minutes: z.number(),
          part: z.string(),
          low: z.number(),
          high: z.number(),
          cautions: z.array(cautionBody),
        })
        .optional(),
      proof: z.object({ check: z.string(), title: z.string() }).optional(),
      until: z.array(z.string()).describe('for a customer: what to do until then'),
      code: z.string(),
    })
    .nullable()
    .describe('null: the finding shown before no longer holds'),
})

export const TO_DO = ['approve', 'root-cause', 'proof', 'bridge', 'lead', 'hand-back'] as const

const stamped = { seq: z.number().int(), by: role, at: z.string(), who: z.string().optional() }

/** The commercial side of a case, as far as its viewer may see it. An erased text is absent. */
export const work = z.object({
  contact: z.object({ name: z.string().optional(), phone: z.string().optional() }).optional(),
  approved: z.array(
    z.object({
      ...stamped,
      remedies: z.array(z.object({ remedy: z.string(), name: z.string() })),
      upTo: z.number(),
      currency: z.string().optional(),
      way: z.enum(APPROVAL_WAYS),
      text: z.string().optional(),
      inForce: z.boolean().describe('no later word has taken its place'),
    }),
  ),
  upTo: z.number().optional().describe('the most that may be charged: all that is in force, together'),
  declined: z.array(
    z.object({
      ...stamped,
      remedies: z.array(z.object({ remedy: z.string(), name: z.string() })),
      text: z.string().optional(),
    }),
  ),
  rootCauses: z.array(
    z.object({
      ...stamped,
      root: z.string(),
      name: z.string(),
      found: z.enum(ROOT_CAUSE_FOUND),
      text: z.string().optional(),
    }),
  ),
  /** the whole list, in order; without `result` it is still to do */
  handBack: z.array(
    z.object({
      item: z.enum(HAND_BACK_ITEMS),
      name: z.string(),
      result: z.enum(HAND_BACK_RESULTS).optional(),
      text: z.string().optional(),
    }),
  ),
  signedOff: z
    .object({
      ...stamped,
      charged: z.number().optional(),
      currency: z.string().optional(),
      text: z.string().optional(),
    })
    .optional(),
})

/** What is on record: sent after every message that changed the case, and to every screen that follows it. */
export const noted = z.object({
  ...envelope,
  type: z.literal('noted'),
  trail: z.array(trailItem),
  /** one line on what this message did: "Taken back: clicks while pressing. 3 causes are possible again." */
  say: z.string().optional(),
  facts: carFacts,
  carState,
  tag: z.string().optional(),
  complaint: z.string().optional().describe('what is wrong, in short'),
  reminders: z.array(z.string()).describe('"Main contactor is bridged: take the bridge out before closing."'),
  repaired: z.array(z.object({ remedy: z.string(), name: z.string(), seq: z.number().int() })),
  notes: z.array(z.object({ seq: z.number().int(), text: z.string(), by: role, at: z.string() })),
  status: z.enum(['open', 'closed']),
  photos: z
    .array(
      z.object({
        photo: z.string(),
        media: z.enum(PHOTO_TYPES),
        bytes: z.number().int(),
        text: z.string().optional(),
        by: role,
        seq: z.number().int(),
        at: z.string(),
      }),
    )
    .optional()
    .describe('pictures of the car; each at /api/cases/<case>/photos/<photo>, 404 once erased'),
  work: work.optional().describe('contact, approval, hand-back and sign-off; absent where nothing of it is on record'),
  toDo: z
    .array(
      z.object({
        what: z.enum(TO_DO),
        before: z.enum(['repaired', 'sign-off', 'close']).describe('what is refused until then'),
        text: z.string(),
        remedy: z.string().optional(),
        root: z.string().optional(),
        item: z.enum(HAND_BACK_ITEMS).optional(),
      }),
    )
    .optional()
    .describe('for technicians, once there is a repair to do: what is left until the card is closed, in order'),
  askWhy: z
    .array(
      z.object({
        root: z.string(),
        name: z.string(),
        ask: z.string(),
        first: z.boolean().describe('asked before the part is fitted'),
      }),
    )
    .optional()
    .describe('for technicians: why it failed, of the repair found and of those done'),
})

/** Answers "why": free of state, shown beside the question. */
export const because = z.object({
  ...envelope,
  type: z.literal('because'),
  check: z.string().optional(),
  cause: z.string().optional(),
  say: z.array(z.string()),
})

export const meterReply = z.object({ ...envelope, type: z.literal('meter'), meter: meterBody })

export const REFUSALS = [
  'unknown-check',
  'unknown-outcome',
  'unknown-complaint',
  'unknown-cause',
  'unknown-remedy',
  'unknown-caution',
  'not-your-role',
  'wrong-unit',
  'out-of-range',
  'no-reading',
  'not-understood',
  'caution-first',
  'not-in-this-car',
  'not-answered',
  'case-closed',
  'bridged',
  'leads-lifted',
  'open-first',
  'stopped',
  'unknown-root-cause',
  'not-approved',
  'ask-why-first',
  'over-approved',
  'not-handed-back',
  'not-proved',
  'unknown-place',
  'unknown-circuit',
  'unknown-state',
  'no-solution',
] as const

/** The message was well formed but can't be taken now; the case is unharmed. */
export const refused = z.object({
  ...envelope,
  case: z.string().optional(),
  seq: z.number().int().optional(),
  type: z.literal('refused'),
  code: z.enum(REFUSALS),
  text: z.string().describe('what was wrong'),
  mend: z.string().describe('what to do'),
  field: z.string().optional().describe('where: "answers[1].reading.unit"'),
})

export const ERRORS = [
  'malformed',
  'too-large',
  'unknown-version',
  'unknown-type',
  'invalid',
  'bad-pass',
  'no-such-case',
  'too-many',
  'try-again',
  'busy',
] as const

/** The message could not be read, or the server could not do its part. */
export const error = z.object({
  ...envelope,
  case: z.string().optional(),
  seq: z.number().int().optional(),
  type: z.literal('error'),
  code: z.enum(ERRORS),
  text: z.string(),
  mend: z.string(),
  field: z.string().optional(),
})

export const serverMessage = z.discriminatedUnion('type', [
  opened,
  understood,
  ask,
  standing,
  caution,
  finding,
  noted,
  because,
  meterReply,
  refused,
  error,
])

export type ServerMessage = z.infer<typeof serverMessage>
export type Opened = z.infer<typeof opened>
export type Understood = z.infer<typeof understood>
export type Ask = z.infer<typeof ask>
export type AskBody = z.infer<typeof askBody>
export type Standing = z.infer<typeof standing>
export type Caution = z.infer<typeof caution>
export type CautionBody = z.infer<typeof cautionBody>
export type Finding = z.infer<typeof finding>
export type FindingBody = NonNullable<Finding['finding']>
export type Noted = z.infer<typeof noted>
export type Because = z.infer<typeof because>
export type Meter = z.infer<typeof meterReply>
export type Work = z.infer<typeof work>
export type TrailItem = z.infer<typeof trailItem>
export type RefusalCode = (typeof REFUSALS)[number]
export type ErrorCode = (typeof ERRORS)[number]
