import { z } from 'zod'
import { type PriceBookLine, priceBookCsv, readPriceBook } from '../../rules/record/price-book.ts'
import type { Shelf } from '../knowledge/shelf.ts'
import type { ServerOutside } from '../outside.ts'
import type { Shop, Store } from '../store/store.ts'
import { ApiError, type Route, route } from '../transport/routes.ts'
import { whoIs } from './who.ts'

const CURRENCIES = new Set(Intl.supportedValuesOf('currency'))
const isOrigin = (text: string) => {
  try {
    return new URL(text).origin === text && /^https?:/.test(text)
  } catch {
    return false
  }
}

const settings = z.object({
  id: z.string(),
  name: z.string().trim().min(1).max(120),
  phone: z.string().trim().min(1).max(40).optional(),
  hours: z.string().trim().min(1).max(200).optional(),
  colour: z
    .string()
    .regex(/^#[0-9a-f]{6}$/, '# and six digits or small letters from a to f, such as #225588')
    .optional()
    .describe("the colour of the shop's pages"),
  currency: z
    .string()
    .refine((code) => CURRENCIES.has(code), 'not a currency of ISO 4217')
    .optional()
    .describe('ISO 4217'),
  ratePerHour: z.number().positive().max(10_000).optional().describe("labour; without it the knowledge's"),
  retentionDays: z
    .number()
    .int()
    .min(1)
    .max(36_500)
    .optional()
    .describe('words, names and phones are erased this long after a case last changed; without it, never'),
  origins: z
    .array(z.string().max(200).refine(isOrigin, 'not scheme and host alone, such as https://www.example.org'))
    .max(50)
    .describe('pages of these addresses may hold a conversation with this shop'),
})
const { id: _, origins, name, ...optional } = settings.shape
/** null takes a setting out */
const change = z
  .strictObject({
    name,
    origins,
    phone: optional.phone.nullable(),
    hours: optional.hours.nullable(),
    colour: optional.colour.nullable(),
    currency: optional.currency.nullable(),
    ratePerHour: optional.ratePerHour.nullable(),
    retentionDays: optional.retentionDays.nullable(),
  })
  .partial()

const bookBody = z.object({
  version: z.number().int(),
  at: z.string(),
  who: z.string(),
  lines: z.array(
    z.object({
      remedy: z.string(),
      part: z.string().optional().describe('the shop’s own word for it; without one, what the catalogue calls it'),
      price: z.number(),
    }),
  ),
})

export interface SettingsParts {
  store: Store
  shelf: Shelf
  outside: ServerOutside
}

export function settingsRoutes({ store, shelf, outside }: SettingsParts): Route[] {
  /**
   * Lines without the names of parts that the downloaded book was filled with: kept, they would be read in that one
   * language for ever, by whoever reads another.
   */
  const inOwnWords = (shop: string, lines: readonly PriceBookLine[]): PriceBookLine[] => {
    const knowledge = shelf.currentOf(shop)
    const called = new Set(
      ['en', ...(knowledge.languages ?? [])].flatMap((language) =>
        knowledge.catalogue(language).remedies.map((r) => `${r.id} ${r.part}`),
      ),
    )
    return lines.map(({ part, ...line }) =>
      part === undefined || called.has(`${line.remedy} ${part}`) ? line : { ...line, part },
    )
  }
  const bookOf = async (shop: string) => {
    const book = await store.priceBook(shop)
    return book ? { ...book, lines: inOwnWords(shop, book.lines) } : null
  }

  return [
    route({
      method: 'get',
      path: '/api/shop/about',
      who: 'anyone',
      summary: 'What the shop says of itself',
      query: z.object({ shop: z.string().max(80).default('demo') }),
      reply: settings.pick({ id: true, name: true, phone: true, hours: true, colour: true }),
      run: async ({ shop: { id, name, phone, hours, colour } }) => ({ id, name, phone, hours, colour }),
    }),
    route({
      method: 'get',
      path: '/api/shop/settings',
      who: ['technician', 'dealer'],
      summary: "The shop's settings",
      reply: settings,
      run: async ({ shop }) => shop,
    }),
    route({
      method: 'patch',
      path: '/api/shop/settings',
      who: ['dealer'],
      summary: 'Change some of the settings; null takes one out',
      body: change,
      reply: settings,
      async run({ shop, body }) {
        const next: Record<string, unknown> = { ...shop }
        for (const [key, value] of Object.entries(body)) {
          if (value === null) delete next[key]
          else if (value !== undefined) next[key] = value
        }
        await store.putShop(next as unknown as Shop)
        return (await store.shop(shop.id))!
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/price-book',
      who: ['technician', 'dealer'],
      summary: "The shop's prices; null where it has none",
      reply: z.object({ book: bookBody.nullable() }),
      run: async ({ shop }) => ({ book: await bookOf(shop.id) }),
    }),
    route({
      method: 'get',
      path: '/api/shop/price-book.csv',
      who: ['technician', 'dealer'],
      summary: 'The price book as CSV, every remedy in it, to fill in',
      about:
        'Parts that the shop has no word of its own for are named in the language that is asked for; the ids are the same in each.',
      reply: { text: 'text/csv' },
      file: 'price-book.csv',
      async run({ shop, language }) {
        const book = new Map((await bookOf(shop.id))?.lines.map((line) => [line.remedy, line]))
        const { remedies } = shelf.currentOf(shop.id).catalogue(language)
        return priceBookCsv(remedies.map((r) => ({ remedy: r.id, part: r.part, ...book.get(r.id) })))
      },
    }),
    route({
      method: 'put',
      path: '/api/shop/price-book',
      who: ['dealer'],
      summary: 'A new price book: all of it, or nothing',
      about:
        'CSV with a header line: remedy, price, and part if you like. A line without a price is not priced. One bad line and nothing is taken; every bad line is named.',
      body: { text: 'text/csv' },
      most: 1024 * 1024,
      reply: z.object({ version: z.number().int(), lines: z.number().int(), notPriced: z.array(z.string()) }),
      errors: { 400: 'bad lines: `problems` names each' },
      async run({ shop, body, pass }) {
        const ids = shelf
          .currentOf(shop.id)
          .catalogue()
          .remedies.map((r) => r.id)
        const read = readPriceBook(body as unknown as string, new Set(ids))
        if ('problems' in read) {
          const many = read.problems.length
          throw new ApiError(
            400,
            'invalid',
            `The price book has ${many} bad ${many === 1 ? 'line or column' : 'lines or columns'}; nothing of it was taken.`,
            'Mend what is listed, then send the whole book again.',
            { problems: read.problems.slice(0, 200) },
          )
        }
        const lines = inOwnWords(shop.id, read.lines)
        const version = await store.putPriceBook(shop.id, { at: outside.now(), who: whoIs(pass), lines })
        const priced = new Set(read.lines.map((line) => line.remedy))
        return { version, lines: read.lines.length, notPriced: ids.filter((id) => !priced.has(id)) }
      },
    }),
    route({
      method: 'delete',
      path: '/api/shop/price-book',
      who: ['dealer'],
      summary: 'Take the newest price book back: the one before it is used again',
      reply: z.object({ book: bookBody.nullable() }),
      errors: { 404: 'there is none' },
      async run({ shop }) {
        if (!(await store.undoPriceBook(shop.id))) {
          throw new ApiError(404, 'not-found', 'There is no price book.', 'Nothing needs to be taken back.')
        }
        return { book: await bookOf(shop.id) }
      },
    }),
  ]
}
