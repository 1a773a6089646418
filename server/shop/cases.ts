import { z } from 'zod'
import { paperPictures } from '../../rules/protocol/meter.ts'
import { finding as findingMessage, serverMessage } from '../../rules/protocol/server.ts'
import { caseFileText, makeCaseFile, readCaseFile } from '../../rules/record/case-file.ts'
import { casesCsv, countCases, earlierVisits, filterCases } from '../../rules/record/lists.ts'
import { agreedUpTo, causesOf, minutesToFinding } from '../../rules/record/summary.ts'
import { type CaseService, callerOf } from '../cases/service.ts'
import type { Shelf } from '../knowledge/shelf.ts'
import type { ServerOutside } from '../outside.ts'
import { CaseDiffers, type CaseKey, CodeTaken, type ListedCase, type Shop, type Store } from '../store/store.ts'
import { ApiError, type Route, route } from '../transport/routes.ts'
import { casesOf } from './erase.ts'
import { whoIs } from './who.ts'

const named = z.object({ id: z.string(), name: z.string() })
const counted = named.extend({ count: z.number().int() })

export const listedBody = z.object({
  case: z.string(),
  code: z.string(),
  status: z.enum(['open', 'closed']),
  tag: z.string().optional(),
  openedAt: z.string(),
  changedAt: z.string(),
  closedAt: z.string().optional(),
  drive: z.string().optional(),
  packVolts: z.number().optional(),
  complaints: z.array(named),
  /** repaired, else found */
  causes: z.array(named),
  repaired: z.array(z.object({ remedy: z.string(), name: z.string(), at: z.string() })),
  answers: z.number().int(),
  minutesToFinding: z.number().optional(),
  approvedUpTo: z.number().optional(),
  charged: z.number().optional(),
  signedOffAt: z.string().optional(),
  earlierVisits: z.number().int().describe('how often this car had been here before'),
})

const at = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2}(\.\d{1,3})?)?Z)?$/, 'a day or moment such as 2026-11-01')
  .refine((text) => !Number.isNaN(Date.parse(text)), 'not a day that there is')
const filter = z.object({
  status: z.enum(['open', 'closed']).optional(),
  tag: z.string().max(40).optional().describe("part of the car's number or name"),
  code: z.string().max(20).optional(),
  complaint: z.string().max(80).optional().describe('a complaint id'),
  cause: z.string().max(80).optional().describe('a cause id: repaired, else found'),
  from: at.optional().describe('opened on or after this day or moment, UTC'),
  to: at.optional().describe('opened before this day or moment, UTC'),
})
const paged = filter.extend({
  limit: z.coerce.number().int().min(1).max(500).default(50),
  offset: z.coerce.number().int().min(0).default(0),
})
/** a dozen pictures and a long conversation */
const MOST_CASE_BYTES = 64 * 1024 * 1024

export interface CasesParts {
  store: Store
  shelf: Shelf
  outside: ServerOutside
  service: CaseService
}

/** Cases at the desk: found, counted, looked at, taken out, put back, erased. */
export function caseRoutes({ store, shelf, outside, service }: CasesParts): Route[] {
  const search = async (shop: Shop, query: z.output<typeof filter>) => {
    const all = await store.summaries(shop.id)
    return { all, found: filterCases(all, query) }
  }
  const keyOf = async (shop: Shop, id: string): Promise<CaseKey> => {
    const key = { shop: shop.id, case: id }
    if (!(await store.row(key))) throw noSuchCase()
    return key
  }

  return [
    route({
      method: 'get',
      path: '/api/shop/cases',
      who: ['technician', 'dealer'],
      summary: "The shop's cases, newest change first; searched by tag, code, complaint, cause",
      query: paged,
      reply: z.object({ total: z.number().int(), cases: z.array(listedBody) }),
      async run({ shop, query, language }) {
        const { all, found } = await search(shop, query)
        const page = found.slice(query.offset, query.offset + query.limit)
        const names = namesIn(shelf, shop, language)
        return { total: found.length, cases: page.map((c) => listed(c, all, names)) }
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/cases.csv',
      who: ['dealer'],
      summary: 'The same search as CSV (RFC 4180), without names, phones and words',
      query: filter,
      reply: { text: 'text/csv' },
      file: 'cases.csv',
      async run({ shop, query }) {
        const { all, found } = await search(shop, query)
        return casesCsv(found, all)
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/counts',
      who: ['technician', 'dealer'],
      summary: 'How often which cause and complaint, time to finding, cars that came back',
      query: filter,
      reply: z.object({
        cases: z.number().int(),
        open: z.number().int(),
        closed: z.number().int(),
        cameBack: z.number().int(),
        byCause: z.array(counted),
        byComplaint: z.array(counted),
        minutesToFinding: z
          .object({ cases: z.number().int(), median: z.number(), mean: z.number(), most: z.number() })
          .nullable(),
      }),
      async run({ shop, query, language }) {
        const { all, found } = await search(shop, query)
        const counts = countCases(found, all)
        const names = namesIn(shelf, shop, language)
        const withName = (kind: 'cause' | 'complaint') => (x: { id: string; count: number }) => ({
          ...x,
          name: names[kind](x.id),
        })
        return {
          ...counts,
          byCause: counts.byCause.map(withName('cause')),
          byComplaint: counts.byComplaint.map(withName('complaint')),
        }
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/cases/{case}',
      who: ['technician', 'dealer'],
      summary: 'One case with all that a work order shows',
      about:
        '`view` is what a screen on the socket is sent: `noted` has the trail, contact, approval, hand-back list and sign-off; `finding` the finding with its evidence; `standing` the estimate.',
      reply: z.object({
        listed: listedBody,
        shop: z.object({
          id: z.string(),
          name: z.string(),
          phone: z.string().optional(),
          hours: z.string().optional(),
          colour: z.string().optional(),
          currency: z.string().optional(),
        }),
        view: z.array(serverMessage),
        acknowledged: z.array(
          z.object({
            caution: z.string(),
            at: z.string(),
            by: z.string(),
            signal: z.string().optional(),
            hazard: z.string().optional().describe("absent where today's knowledge has no such caution"),
          }),
        ),
        car: z.array(z.object({ fact: z.string(), name: z.string(), value: z.string() })),
        said: z
          .array(z.object({ text: z.string(), by: z.string(), at: z.string() }))
          .describe("the complaint in the customer's own words; absent once erased"),
        repairs: z
          .array(
            z.object({
              remedy: z.string(),
              name: z.string(),
              seq: z.number().int(),
              steps: z.array(z.string()),
              part: z.string(),
              minutes: z.number(),
              finding: findingMessage.shape.finding.describe('what it was for, as found before the repair'),
              proof: z.array(z.string()).describe('checks that show that it worked'),
            }),
          )
          .describe('each repair with the finding behind it: the one in `view` no longer holds after a repair'),
        sheet: z
          .array(
            z.object({
              check: z.string(),
              title: z.string(),
              done: z.boolean(),
              proof: z.boolean(),
              good: z.string().optional(),
              unit: z.string().optional(),
              instrument: z.string().optional(),
              expected: z.object({ low: z.number(), high: z.number() }).optional(),
              red: z.string().optional(),
              black: z.string().optional(),
            }),
          )
          .describe('the test sheet: what was checked, then what is worth checking, with what a sound car reads'),
        pictures: paperPictures.describe(
          'for paper, as in the `meter` message: the circuit of a sound car with the probes of the check that decided and what was found marked, each row of clicks that something was read of, and the blocks; as found before the repair where there was one',
        ),
        stamps: z
          .record(z.string(), z.object({ at: z.string(), who: z.string().optional() }))
          .describe('seq -> when and who (an id, see `people`), for each entry of the record'),
        earlier: z.array(listedBody).describe("this car's visits before, newest first"),
        people: z.record(z.string(), z.string()).describe('who -> name, for those in the record'),
        knowledge: z.array(z.object({ from: z.number().int(), hash: z.string(), at: z.string() })),
        erased: z.array(z.object({ at: z.string(), what: z.enum(['words', 'case']) })),
      }),
      errors: { 404: 'no such case in this shop' },
      async run({ shop, params, pass, language }) {
        const key = await keyOf(shop, params.case!)
        const all = await store.summaries(shop.id)
        const own = all.find((c) => c.case === key.case)
        const record = await store.load(key)
        if (!own || !record) throw noSuchCase()
        const names = namesIn(shelf, shop, language)
        // Whatever the case was told in: a paper is one page, and is read by whoever opened it.
        const reader = callerOf(pass, language)
        const who = new Set(record.events.flatMap((e) => (e.who === undefined ? [] : [e.who])))
        const people = (await store.people(shop.id)).filter((p) => who.has(p.id))
        const { id, name, phone, hours, colour, currency } = shop
        const papers = await service.papers(key, reader)
        const caution = new Map(papers.cautions.map((c) => [c.id, c]))
        return {
          listed: listed(own, all, names),
          shop: { id, name, phone, hours, colour, currency },
          view: await service.view(key, reader),
          acknowledged: record.events.flatMap((e) =>
            e.type === 'acknowledged'
              ? [
                  {
                    caution: e.caution,
                    at: e.at,
                    by: e.by,
                    signal: caution.get(e.caution)?.signal,
                    hazard: caution.get(e.caution)?.hazard,
                  },
                ]
              : [],
          ),
          car: papers.car,
          said: record.events.flatMap((e) => {
            const text = e.type === 'said' && e.words !== undefined ? record.words[e.words] : undefined
            return text === undefined ? [] : [{ text, by: e.by, at: e.at }]
          }),
          repairs: papers.repairs,
          sheet: papers.sheet,
          pictures: papers.pictures,
          stamps: Object.fromEntries(record.events.map((e) => [e.seq, { at: e.at, who: e.who }])),
          earlier: earlierVisits(all, own).map((c) => listed(c, all, names)),
          people: Object.fromEntries(people.map((p) => [p.id, p.name])),
          knowledge: await store.knowledgeOf(key),
          erased: (await store.erasures(shop.id))
            .filter((e) => e.case === key.case)
            .map(({ at, what }) => ({ at, what })),
        }
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/cases/{case}/export',
      who: ['technician', 'dealer'],
      summary: 'The whole case as one JSON file (RFC 8785); its form: /api/schemas/case.json',
      reply: { text: 'application/json' },
      file: 'case.json',
      errors: { 404: 'no such case in this shop' },
      async run({ shop, params }) {
        const key = await keyOf(shop, params.case!)
        const record = await store.load(key)
        const row = await store.row(key)
        if (!record || !row) throw noSuchCase()
        return caseFileText(
          makeCaseFile({
            shop: key.shop,
            case: key.case,
            code: row.code,
            knowledge: await store.knowledgeOf(key),
            events: record.events,
            words: record.words,
            photos: await store.photosOf(key),
          }),
        )
      },
    }),
    route({
      method: 'post',
      path: '/api/shop/cases/import',
      who: ['dealer'],
      summary: 'Put an exported case back; one that is there gets its words back',
      body: { text: 'application/json' },
      most: MOST_CASE_BYTES,
      reply: z.object({ case: z.string(), code: z.string(), events: z.number().int() }),
      errors: {
        400: 'not an exported case: `problems` says why',
        409: 'the case is there and differs, or its code is in use',
      },
      async run({ shop, body }) {
        const read = readCaseFile(body as unknown as string)
        if ('problems' in read) {
          throw new ApiError(400, 'invalid', 'This is not a case as it was exported.', 'See what is listed.', {
            problems: read.problems,
          })
        }
        const { file } = read
        if (file.shop !== shop.id) {
          throw new ApiError(
            409,
            'conflict',
            `The case is of the shop "${file.shop}", and you are signed in to "${shop.id}".`,
            'Put it back into the shop that it came from.',
            { field: 'shop' },
          )
        }
        const key = { shop: shop.id, case: file.case }
        try {
          await store.importCase(key, file)
        } catch (error) {
          if (error instanceof CaseDiffers) {
            throw new ApiError(
              409,
              'conflict',
              'The case is there already and has gone on since, or was changed.',
              'Leave it as it is; or erase the case first, and lose what came since.',
            )
          }
          if (error instanceof CodeTaken) {
            throw new ApiError(
              409,
              'conflict',
              `Another open case has the code ${file.code} now.`,
              'Close that case first, then put this one back.',
              { field: 'code' },
            )
          }
          throw error
        }
        service.refresh(key)
        return { case: file.case, code: file.code, events: file.events.length }
      },
    }),
    route({
      method: 'post',
      path: '/api/shop/erase',
      who: ['dealer'],
      summary: 'Erase a customer: every free word, name, phone and picture of their cases',
      about:
        'Name the cases, or the name and phone that the customer left (both, where both are given). What was answered and measured stays, without anybody in it.',
      body: z
        .strictObject({
          cases: z.array(z.string().max(80)).min(1).max(200),
          name: z.string().trim().min(2).max(80),
          phone: z.string().regex(/(\D*\d){5,}/, 'at least five digits'),
        })
        .partial()
        .refine((b) => (b.cases === undefined) !== (b.name === undefined && b.phone === undefined), {
          message: 'either cases, or name and phone',
        }),
      reply: z.object({ erased: z.array(z.string()), nothingLeft: z.array(z.string()) }),
      errors: { 404: 'no such case, or nobody left this name or phone' },
      async run({ shop, body, pass }) {
        const ids = body.cases ?? (await casesOf(store, shop.id, body))
        if (ids.length === 0) {
          throw new ApiError(
            404,
            'not-found',
            'Nobody left this name or phone.',
            'Look for the car or code in the list, and erase by case.',
          )
        }
        // All are looked for before any is erased.
        const keys = await Promise.all(ids.map((id) => keyOf(shop, id)))
        const erased: string[] = []
        const nothingLeft: string[] = []
        for (const key of keys) {
          const did = await store.eraseWords(key, { at: outside.now(), who: whoIs(pass) })
          ;(did ? erased : nothingLeft).push(key.case)
          service.refresh(key)
        }
        return { erased, nothingLeft }
      },
    }),
    route({
      method: 'delete',
      path: '/api/shop/cases/{case}',
      who: ['dealer'],
      summary: 'Erase a whole case. Export it first if it may be wanted',
      reply: z.object({ ok: z.literal(true) }),
      errors: { 404: 'no such case in this shop' },
      async run({ shop, params, pass }) {
        const key = await keyOf(shop, params.case!)
        await store.eraseCase(key, { at: outside.now(), who: whoIs(pass) })
        return { ok: true as const }
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/catalogue',
      who: ['technician', 'dealer'],
      summary: 'What causes, complaints, remedies and root causes are called, in the language that is asked for',
      reply: z.object({
        causes: z.array(named),
        complaints: z.array(named),
        circumstances: z.array(named),
        remedies: z.array(named.extend({ minutes: z.number(), part: z.string(), low: z.number(), high: z.number() })),
        rootCauses: z.array(named),
      }),
      run: async ({ shop, language }) => shelf.currentOf(shop.id).catalogue(language),
    }),
  ]
}

interface NamesOf {
  cause(id: string): string
  complaint(id: string): string
  remedy(id: string): string
}

function namesIn(shelf: Shelf, shop: Shop, language: string): NamesOf {
  const { causes, complaints, remedies } = shelf.currentOf(shop.id).catalogue(language)
  const by = (list: readonly { id: string; name: string }[]) => {
    const map = new Map(list.map((x) => [x.id, x.name]))
    // A case may be older than today's knowledge.
    return (id: string) => map.get(id) ?? id
  }
  return { cause: by(causes), complaint: by(complaints), remedy: by(remedies) }
}

function listed(c: ListedCase, all: readonly ListedCase[], names: NamesOf): z.infer<typeof listedBody> {
  const s = c.summary
  const minutes = minutesToFinding(s)
  const upTo = agreedUpTo(s)
  return {
    case: c.case,
    code: c.code,
    status: c.status,
    ...(c.tag === undefined ? {} : { tag: c.tag }),
    openedAt: c.openedAt,
    changedAt: c.changedAt,
    ...(s.closedAt === undefined ? {} : { closedAt: s.closedAt }),
    ...(s.drive === undefined ? {} : { drive: s.drive }),
    ...(s.packVolts === undefined ? {} : { packVolts: s.packVolts }),
    complaints: s.complaints.map((id) => ({ id, name: names.complaint(id) })),
    causes: causesOf(s).map((id) => ({ id, name: names.cause(id) })),
    repaired: s.repaired.map((r) => ({ remedy: r.remedy, name: names.remedy(r.remedy), at: r.at })),
    answers: s.answers,
    ...(minutes === undefined ? {} : { minutesToFinding: minutes }),
    ...(upTo === undefined ? {} : { approvedUpTo: upTo }),
    ...(s.charged === undefined ? {} : { charged: s.charged }),
    ...(s.signedOffAt === undefined ? {} : { signedOffAt: s.signedOffAt }),
    earlierVisits: earlierVisits(all, c).length,
  }
}

const noSuchCase = () =>
  new ApiError(404, 'not-found', 'There is no such case in this shop.', 'Look it up in the list of cases.')
