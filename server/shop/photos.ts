import { z } from 'zod'
import { PHOTO_TYPES } from '../../rules/protocol/index.ts'
import type { CaseService } from '../cases/service.ts'
import type { CaseKey, Pass, Store } from '../store/store.ts'
import { ApiError, type Route, route } from '../transport/routes.ts'
import { withoutMetadata } from './photo-metadata.ts'

const MOST_BYTES = 3 * 1024 * 1024
const MOST_PHOTOS = 12

/** By their first bytes: JFIF and Exif; PNG, section 5.2; the WebP container. What the sender calls it does not count. */
export function mediaOf(bytes: Buffer): (typeof PHOTO_TYPES)[number] | undefined {
  const hex = bytes.subarray(0, 12).toString('hex')
  if (hex.startsWith('ffd8ff')) return 'image/jpeg'
  if (hex.startsWith('89504e470d0a1a0a')) return 'image/png'
  if (hex.startsWith('52494646') && hex.slice(16) === '57454250') return 'image/webp'
  return undefined
}

/** Pictures at intake and of the work: beside the log, erased with the words. */
export function photoRoutes({ store, service }: { store: Store; service: CaseService }): Route[] {
  const own = async (pass: Pass, id: string): Promise<CaseKey> => {
    const key = { shop: pass.shop, case: id }
    // A customer's pass opens one case; the same answer for "not yours" and "not there".
    if ((pass.case !== undefined && pass.case !== id) || !(await store.row(key))) {
      throw new ApiError(404, 'not-found', 'There is no such case for this pass.', 'Mend the case id.')
    }
    return key
  }
  return [
    route({
      method: 'post',
      path: '/api/cases/{case}/photos',
      who: ['customer', 'technician', 'dealer'],
      summary: 'A picture of the car; every screen sees it in `noted.photos`',
      about: `At most ${MOST_PHOTOS} a case and ${MOST_BYTES} bytes each: scale it down first. \`id\` is the sender's own; the same one twice has the effect of once. Where and when it was taken, and with what, is not kept.`,
      query: z.object({
        id: z.string().min(1).max(64),
        text: z.string().trim().min(1).max(400).optional().describe('what it shows'),
      }),
      body: { binary: PHOTO_TYPES },
      most: MOST_BYTES,
      reply: z.object({ photo: z.string() }),
      errors: { 404: 'no such case for this pass', 409: 'the case is closed, or has as many as it may' },
      async run({ pass, params, query, body }) {
        const key = await own(pass, params.case!)
        const bytes = Buffer.isBuffer(body) ? body : Buffer.alloc(0)
        const media = mediaOf(bytes)
        if (!media) {
          throw new ApiError(400, 'invalid', 'This is no picture.', `Send one of ${PHOTO_TYPES.join(', ')}.`)
        }
        const plain = withoutMetadata(bytes, media)
        if (!plain) {
          throw new ApiError(
            400,
            'invalid',
            'This picture is cut off or broken.',
            'Take or save it again, then send it.',
          )
        }
        const photo = await service.addPhoto(key, pass, { ...query, media, bytes: plain, most: MOST_PHOTOS })
        if (photo !== undefined) return { photo }
        throw new ApiError(
          409,
          'conflict',
          `The case is closed, or has ${MOST_PHOTOS} pictures already.`,
          'Open a new case for a car that came back.',
        )
      },
    }),
    route({
      method: 'get',
      path: '/api/cases/{case}/photos/{photo}',
      who: ['customer', 'technician', 'dealer'],
      summary: 'One picture',
      reply: { binary: PHOTO_TYPES },
      errors: { 404: 'no such picture for this pass, or it was erased' },
      async run({ pass, params }) {
        const data = await store.photo(await own(pass, params.case!), params.photo!)
        const bytes = data === undefined ? undefined : Buffer.from(data, 'base64')
        const media = bytes && mediaOf(bytes)
        if (!media) throw new ApiError(404, 'not-found', 'There is no such picture.', 'It may have been erased.')
        return { media, bytes }
      },
    }),
  ]
}
