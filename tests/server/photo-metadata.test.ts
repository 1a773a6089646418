import exifr from 'exifr'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { withoutMetadata } from '../../server/shop/photo-metadata.ts'
import { launch } from '../browser/browser.ts'
import { exifWithPlace, jpegWithPlace, pngWithPlace, webpWithPlace } from './pictures-with-place.ts'

/** Real encoders make the pictures, and a reader that is not ours (exifr) says what is in them. */
let browser: Browser
let plain: { jpeg: Buffer; png: Buffer; webp: Buffer }
beforeAll(async () => {
  browser = await launch()
  const page = await browser.newPage()
  const urls = await page.evaluate(() => {
    const canvas = document.createElement('canvas')
    canvas.width = 60
    canvas.height = 40
    const ink = canvas.getContext('2d')!
    ink.fillStyle = 'teal'
    ink.fillRect(0, 0, 60, 40)
    ink.fillStyle = 'orange'
    ink.fillRect(0, 0, 20, 10)
    return ['jpeg', 'png', 'webp'].map((kind) => canvas.toDataURL(`image/${kind}`, 0.9))
  })
  const [jpeg, png, webp] = urls.map((url) => Buffer.from(url.split(',')[1]!, 'base64'))
  plain = { jpeg: jpeg!, png: png!, webp: webp! }
})
afterAll(() => browser?.close())

const read = async (bytes: Buffer) => (await exifr.parse(bytes, true)) as Record<string, unknown> | undefined
/** What the browser's own decoder makes of a picture. */
async function pixels(bytes: Buffer, media: string) {
  const page = await browser.newPage()
  const shown = await page.evaluate(
    async ([data, type]) => {
      const blob = await (await fetch(`data:${type};base64,${data}`)).blob()
      const image = await createImageBitmap(blob)
      const canvas = new OffscreenCanvas(image.width, image.height)
      const ink = canvas.getContext('2d')!
      ink.drawImage(image, 0, 0)
      return [image.width, image.height, [...ink.getImageData(0, 0, image.width, image.height).data].join()]
    },
    [bytes.toString('base64'), media] as const,
  )
  await page.close()
  return shown
}

describe('a picture', () => {
  it.each([
    ['jpeg', jpegWithPlace],
    ['png', pngWithPlace],
  ] as const)(
    '%s: exifr reads the place before, nothing after, and the picture is the same',
    async (kind, withPlace) => {
      const sent = withPlace(plain[kind])
      expect(await read(sent)).toMatchObject({ latitude: 47.5, longitude: 8.25 })
      const kept = withoutMetadata(sent, `image/${kind}`)!
      const left = await read(kept)
      for (const key of ['latitude', 'GPSLatitude', 'Make', 'DateTimeOriginal', 'Artist', 'Software']) {
        expect(left?.[key], key).toBeUndefined()
      }
      expect(kept.includes('Lakeside')).toBe(false)
      expect(await pixels(kept, `image/${kind}`)).toEqual(await pixels(sent, `image/${kind}`))
    },
  )

  it('webp: no Exif, no XMP, no flag that says so, and the picture is the same', async () => {
    const sent = webpWithPlace(plain.webp)
    expect(sent.includes('Lakeside')).toBe(true)
    const kept = withoutMetadata(sent, 'image/webp')!
    expect(kept.includes('Lakeside')).toBe(false)
    expect(kept.includes('EXIF')).toBe(false)
    expect(kept.readUInt32LE(4)).toBe(kept.length - 8)
    expect(await pixels(kept, 'image/webp')).toEqual(await pixels(sent, 'image/webp'))
  })

  it('a photo taken with the phone held upright stays upright', async () => {
    const sent = jpegWithPlace(plain.jpeg, 6)
    const kept = withoutMetadata(sent, 'image/jpeg')!
    expect(await read(kept)).toMatchObject({ Orientation: 'Rotate 90 CW' })
    expect((await pixels(kept, 'image/jpeg')).slice(0, 2)).toEqual([40, 60])
  })

  it('what stands after the end of it, and a second picture in it, goes out', () => {
    const sent = Buffer.concat([plain.jpeg, exifWithPlace(), plain.jpeg])
    expect(withoutMetadata(sent, 'image/jpeg')).toEqual(withoutMetadata(plain.jpeg, 'image/jpeg'))
    expect(withoutMetadata(Buffer.concat([plain.png, Buffer.from('Lakeside')]), 'image/png')).toEqual(plain.png)
  })

  it('one with nothing to take out is kept to the byte', () => {
    expect(withoutMetadata(plain.jpeg, 'image/jpeg')).toEqual(plain.jpeg)
    expect(withoutMetadata(plain.png, 'image/png')).toEqual(plain.png)
    expect(withoutMetadata(plain.webp, 'image/webp')).toEqual(plain.webp)
  })

  it('cut off at any byte it is refused, or has lost nothing but what stood after its end; it never throws', () => {
    for (const [kind, sent] of [
      ['jpeg', jpegWithPlace(plain.jpeg)],
      ['png', pngWithPlace(plain.png)],
      ['webp', webpWithPlace(plain.webp)],
    ] as const) {
      let refused = 0
      for (let n = 12; n < sent.length; n++) {
        const kept = withoutMetadata(sent.subarray(0, n), `image/${kind}`)
        if (kept === undefined) refused++
        else expect(kept.includes('Lakeside')).toBe(false)
      }
      expect(refused).toBeGreaterThan(sent.length / 2)
    }
  })
})
