import { z } from 'zod'
import { saidIn } from '../cases/in-language.ts'
import { OVERLAY_FOLDERS, type Overlays } from '../knowledge/overlays.ts'
import type { Store } from '../store/store.ts'
import { ApiError, type Route, route } from '../transport/routes.ts'
import { whoIs } from './who.ts'

const problem = z.object({ file: z.string(), path: z.string(), what: z.string(), mend: z.string() })
const path = z
  .string()
  .regex(
    new RegExp(`^(${OVERLAY_FOLDERS.join('|')})/[a-z0-9{}][a-z0-9{}.-]{0,100}\\.json$`),
    `folder/id.json, where the folder is one of ${OVERLAY_FOLDERS.join(', ')}`,
  )
const overlayBody = z.object({
  version: z.number().int(),
  at: z.string(),
  who: z.string(),
  status: z.enum(['checking', 'bad', 'good', 'live']),
  problems: z.array(problem),
  files: z.record(z.string(), z.unknown()),
})
const state = z.object({
  live: overlayBody.nullable(),
  staged: overlayBody.nullable(),
  failing: z.array(problem).describe("why the live one can not be used with today's knowledge; until mended it is not"),
})

/** The shop's own causes and checks over the common ones. */
export function overlayRoutes({ store, overlays }: { store: Store; overlays: Overlays }): Route[] {
  const shown = async (shop: string, language: string): Promise<z.infer<typeof state>> => {
    // What the linter says is about JSON and stays English; that it did not come to an end is said to whoever waits.
    const said = saidIn(language)
    const inWords = (problems: readonly z.infer<typeof problem>[]) =>
      problems.map((p) => ({ ...p, what: said(p.what), mend: said(p.mend) }))
    const body = async (which: 'live' | 'staged') => {
      const found = await store.overlay(shop, which)
      if (!found) return null
      const { files, problems, ...rest } = found
      return {
        ...rest,
        problems: inWords(problems),
        files: Object.fromEntries(files.map((f) => [f.path, JSON.parse(f.text) as unknown])),
      }
    }
    return { live: await body('live'), staged: await body('staged'), failing: inWords(overlays.failing(shop)) }
  }
  return [
    route({
      method: 'get',
      path: '/api/shop/overlay',
      who: ['dealer'],
      summary: "The shop's own causes and checks: what is in use, what is staged and what the linter says of it",
      reply: state,
      run: ({ shop, language }) => shown(shop.id, language),
    }),
    route({
      method: 'put',
      path: '/api/shop/overlay',
      who: ['dealer'],
      summary: 'Stage own causes and checks: kept aside and checked by the linter, not in use',
      about: `Files as in rules/knowledge, by path: {"files": {"causes/x.json": {…}}}. In the folders ${OVERLAY_FOLDERS.join(', ')}; one of the same path takes the place of the common one. The check takes about a minute: status goes from "checking" to "good", or to "bad" with every problem.`,
      body: z.strictObject({ files: z.record(path, z.record(z.string(), z.unknown())) }),
      most: 2 * 1024 * 1024,
      reply: state,
      async run({ shop, body, pass, language }) {
        const files = Object.entries(body.files).map(([name, json]) => ({
          path: name,
          text: JSON.stringify(json, null, 2),
        }))
        if (files.length === 0 || files.length > 500) {
          throw new ApiError(400, 'invalid', `There are ${files.length} files.`, 'Send 1 to 500.', { field: 'files' })
        }
        await overlays.stage(shop.id, whoIs(pass), files)
        return shown(shop.id, language)
      },
    }),
    route({
      method: 'post',
      path: '/api/shop/overlay/live',
      who: ['dealer'],
      summary: 'Put what is staged in use for new cases; only where the linter has nothing against it',
      reply: state,
      errors: { 409: 'nothing is staged, or it has not passed: `problems` says why' },
      async run({ shop, language }) {
        if (await overlays.goLive(shop.id)) return shown(shop.id, language)
        const staged = await store.overlay(shop.id, 'staged')
        if (!staged) throw new ApiError(409, 'conflict', 'Nothing is staged.', 'Stage the files first.')
        throw new ApiError(
          409,
          'conflict',
          staged.status === 'checking' ? 'It is still being checked.' : 'The linter has something against it.',
          staged.status === 'checking' ? 'Ask again in a minute.' : 'Mend what is listed, then stage it again.',
          { problems: staged.problems.map((p) => ({ path: `${p.file} ${p.path}`, what: p.what, mend: p.mend })) },
        )
      },
    }),
    route({
      method: 'delete',
      path: '/api/shop/overlay',
      who: ['dealer'],
      summary: 'Drop what is staged; or else take back what is in use: the one before it is used again',
      reply: state,
      errors: { 404: 'there is neither' },
      async run({ shop, language }) {
        if (await overlays.undo(shop.id)) return shown(shop.id, language)
        throw new ApiError(404, 'not-found', 'Nothing is staged or in use.', 'Nothing needs to be taken back.')
      },
    }),
  ]
}
