import canonicalize from 'canonicalize'
import { z } from 'zod'
import { caseEvent, type StoredEvent } from '../protocol/events.ts'
import { summaryOf } from './summary.ts'

export const CASE_FORMAT = 'benchlamp-case'
export const CASE_VERSION = 1

const seq = z.number().int().min(1).describe('1, 2, 3 …')
/** An event as it is exported: nothing beside what is known, so that an import gives the same bytes again. */
const exportedEvent = z.discriminatedUnion(
  'type',
  caseEvent.options.map((option) => z.strictObject({ ...option.shape, seq })) as unknown as [
    z.ZodObject<{ type: z.ZodLiteral<'opened'> }>,
  ],
)

/** One case as a file: everything on record, to keep, to hand on, to put back. */
export const caseFile = z.strictObject({
  format: z.literal(CASE_FORMAT),
  version: z.literal(CASE_VERSION),
  shop: z.string().min(1).max(80).describe("the shop's id"),
  case: z.string().min(1).max(80).describe("the case's id"),
  code: z.string().describe('the hand-over code'),
  status: z.enum(['open', 'closed']),
  tag: z.string().optional().describe("the car's number or name in its fleet"),
  knowledge: z
    .array(z.strictObject({ from: seq, hash: z.string(), at: z.string() }))
    .min(1)
    .describe('which knowledge the case used, from which event on'),
  events: z.array(exportedEvent).min(1).describe('everything that happened, in order'),
  words: z
    .record(z.string(), z.string())
    .describe('free words, names and phones, by the keys that the events name; what was erased is absent'),
  photos: z
    .record(z.string(), z.string().regex(/^[A-Za-z0-9+/]+={0,2}$/))
    .describe('pictures, base64, by the keys that the events name; what was erased is absent'),
})

export interface CaseFile extends Omit<z.infer<typeof caseFile>, 'events'> {
  events: StoredEvent[]
}

/** JSON Schema, draft 2020-12. */
export function caseFileSchema(): object {
  return {
    ...(z.toJSONSchema(caseFile, { io: 'output' }) as object),
    $id: 'case.schema.json',
    title: 'A case of a Benchlamp shop',
  }
}

export function makeCaseFile(input: {
  shop: string
  case: string
  code: string
  knowledge: readonly { from: number; hash: string; at: string }[]
  events: readonly StoredEvent[]
  words: Readonly<Record<string, string>>
  photos: Readonly<Record<string, string>>
}): CaseFile {
  const { tag, closedAt } = summaryOf(input.events)
  return {
    format: CASE_FORMAT,
    version: CASE_VERSION,
    shop: input.shop,
    case: input.case,
    code: input.code,
    status: closedAt === undefined ? 'open' : 'closed',
    ...(tag === undefined ? {} : { tag }),
    knowledge: [...input.knowledge],
    events: [...input.events],
    words: { ...input.words },
    photos: { ...input.photos },
  }
}

/** As RFC 8785 writes it: the same case gives the same bytes. */
export const caseFileText = (file: CaseFile): string => canonicalize(file)!

export interface CaseFileProblem {
  /** `events[3].at` */
  path: string
  what: string
  mend: string
}

/** A file back to a case, or everything that is wrong with it. Never throws. */
export function readCaseFile(text: string): { file: CaseFile } | { problems: CaseFileProblem[] } {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    return { problems: [{ path: '$', what: 'It is not JSON', mend: 'Send the file as it was exported' }] }
  }
  const parsed = caseFile.safeParse(json)
  if (!parsed.success) {
    return {
      problems: parsed.error.issues.slice(0, 20).map((issue) => ({
        path: pathOf(issue.path),
        what: issue.message,
        mend: 'Send the file as it was exported; its form is in the case schema',
      })),
    }
  }
  const file = parsed.data as unknown as CaseFile
  const problems = [...inconsistencies(file)]
  return problems.length > 0 ? { problems } : { file }
}

function* inconsistencies(file: CaseFile): Generator<CaseFileProblem> {
  const mend = 'Send the file as it was exported'
  for (const [i, event] of file.events.entries()) {
    if (event.seq !== i + 1) {
      yield { path: `events[${i}].seq`, what: `It is ${event.seq}, where ${i + 1} belongs`, mend }
      break
    }
    if ((event.type === 'opened') !== (i === 0)) {
      yield { path: `events[${i}].type`, what: 'A case is opened once, by its first event', mend }
    }
  }
  const first = file.events[0]!
  if (first.type === 'opened') {
    if (first.shop !== file.shop) yield { path: 'shop', what: `The case was opened in "${first.shop}"`, mend }
    if (first.code !== file.code) yield { path: 'code', what: `The case was opened with ${first.code}`, mend }
  }
  const { tag, closedAt } = summaryOf(file.events)
  if (tag !== file.tag) yield { path: 'tag', what: `The events say ${tag ?? 'none'}`, mend }
  if ((closedAt === undefined ? 'open' : 'closed') !== file.status) {
    yield { path: 'status', what: 'The events say otherwise', mend }
  }
  let before = 0
  for (const [i, { from }] of file.knowledge.entries()) {
    if (i === 0 ? from !== 1 : from <= before || from > file.events.length) {
      yield { path: `knowledge[${i}].from`, what: 'It does not follow the one before, from 1 on', mend }
    }
    before = from
  }
  const named = new Set(file.events.flatMap(wordsOf))
  for (const key of Object.keys(file.words)) {
    if (!named.has(key)) yield { path: `words.${key}`, what: 'No event names this text', mend }
  }
  const pictures = new Set(file.events.flatMap((e) => (e.type === 'photo' ? [e.photo] : [])))
  for (const key of Object.keys(file.photos)) {
    if (!pictures.has(key)) yield { path: `photos.${key}`, what: 'No event names this picture', mend }
  }
}

/** The keys of the texts that an event has beside the log. */
export function wordsOf(event: StoredEvent): string[] {
  const keys = event.type === 'contact' ? [event.name, event.phone] : 'words' in event ? [event.words] : []
  return keys.filter((key) => key !== undefined)
}

function pathOf(path: readonly PropertyKey[]): string {
  if (path.length === 0) return '$'
  return path.map((p, i) => (typeof p === 'number' ? `[${p}]` : `${i > 0 ? '.' : ''}${String(p)}`)).join('')
}
