/**
 * Takes out of a picture what is not the picture: where it was taken, when, with which device, by whom, small previews of
 * it, and whatever stands after its end. Colour profiles stay, and so does the way up. The picture itself is not encoded
 * anew: its data is the same to the byte.
 *
 * @returns undefined where the file is broken
 */
export function withoutMetadata(bytes: Buffer, media: 'image/jpeg' | 'image/png' | 'image/webp'): Buffer | undefined {
  try {
    if (media === 'image/jpeg') return jpeg(bytes)
    return media === 'image/png' ? png(bytes) : webp(bytes)
  } catch (error) {
    // Reading past the end: it was cut off.
    if (error instanceof RangeError) return undefined
    throw error
  }
}

const SOI = 0xd8
const EOI = 0xd9
const SOS = 0xda
const APP0 = 0xe0
const APP1 = 0xe1
const APP2 = 0xe2
const APP14 = 0xee
const APP15 = 0xef
const COM = 0xfe
/** no length after these: TEM and the restarts */
const bare = (marker: number) => marker === 0x01 || (marker >= 0xd0 && marker <= 0xd7)

/** ITU-T T.81, annex B: segments, each with its marker and length; after a scan's header its data, up to the next marker. */
function jpeg(bytes: Buffer): Buffer | undefined {
  if (bytes[0] !== 0xff || bytes[1] !== SOI) return undefined
  const kept: Buffer[] = []
  let orientation = 1
  let at = 2
  let scans = 0
  for (;;) {
    if (bytes.readUInt8(at) !== 0xff) return undefined
    // Any number of 0xff may stand before a marker.
    while (bytes.readUInt8(at + 1) === 0xff) at++
    const marker = bytes.readUInt8(at + 1)
    if (marker === EOI) break
    if (bare(marker)) {
      kept.push(bytes.subarray(at, at + 2))
      at += 2
      continue
    }
    const end = at + 2 + bytes.readUInt16BE(at + 2)
    if (end > bytes.length) return undefined
    const segment = bytes.subarray(at, end)
    const name = segment.toString('latin1', 4, 18)
    if (marker === APP1 && name.startsWith('Exif\0\0')) orientation = orientationOf(segment.subarray(10))
    const stays =
      marker === APP0
        ? name.startsWith('JFIF\0')
        : marker === APP2
          ? name.startsWith('ICC_PROFILE\0')
          : marker === APP14
            ? name.startsWith('Adobe')
            : marker !== COM && !(marker >= APP0 && marker <= APP15)
    // A JFIF segment may hold a preview; without one it is 16 bytes long.
    if (stays) kept.push(marker === APP0 ? withoutPreview(segment) : segment)
    at = end
    if (marker !== SOS) continue
    scans++
    let data = at
    for (;;) {
      data = bytes.indexOf(0xff, data)
      if (data < 0) return undefined
      const next = bytes.readUInt8(data + 1)
      if (next !== 0 && !(next >= 0xd0 && next <= 0xd7) && next !== 0xff) break
      data += next === 0xff ? 1 : 2
    }
    kept.push(bytes.subarray(at, data))
    at = data
  }
  if (scans === 0) return undefined
  const turned = orientation === 1 ? [] : [exifWith(orientation)]
  return Buffer.concat([Buffer.from([0xff, SOI]), ...turned, ...kept, Buffer.from([0xff, EOI])])
}

/** JFIF 1.02: width and height of the preview are the last two bytes of the fixed part. */
function withoutPreview(jfif: Buffer): Buffer {
  if (jfif.length <= 18) return jfif
  const short = Buffer.from(jfif.subarray(0, 18))
  short.writeUInt16BE(16, 2)
  short[16] = 0
  short[17] = 0
  return short
}

/** Exif 2.3, tag 274 of the first directory: 1 to 8. */
function orientationOf(tiff: Buffer): number {
  try {
    const little = tiff.toString('latin1', 0, 2) === 'II'
    const two = (at: number) => (little ? tiff.readUInt16LE(at) : tiff.readUInt16BE(at))
    const four = (at: number) => (little ? tiff.readUInt32LE(at) : tiff.readUInt32BE(at))
    const directory = four(4)
    for (let i = 0; i < two(directory); i++) {
      const entry = directory + 2 + 12 * i
      if (two(entry) !== 274) continue
      const value = two(entry + 8)
      return value >= 1 && value <= 8 ? value : 1
    }
  } catch (error) {
    // Broken Exif goes out with the rest of it.
    if (!(error instanceof RangeError)) throw error
  }
  return 1
}

/** An Exif segment that says nothing but which way is up. */
function exifWith(orientation: number): Buffer {
  const tiff = Buffer.alloc(26)
  tiff.write('MM\0*', 0, 'latin1')
  tiff.writeUInt32BE(8, 4)
  tiff.writeUInt16BE(1, 8)
  tiff.writeUInt16BE(274, 10)
  tiff.writeUInt16BE(3, 12)
  tiff.writeUInt32BE(1, 14)
  tiff.writeUInt16BE(orientation, 18)
  const head = Buffer.from([0xff, APP1, 0, 2 + 6 + tiff.length])
  return Buffer.concat([head, Buffer.from('Exif\0\0', 'latin1'), tiff])
}

/** PNG third edition: what is needed to show it, colours, and animation; no text, time or Exif. */
const PNG_STAYS = new Set(
  'IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP mDCV cLLI bKGD hIST pHYs sPLT acTL fcTL fdAT'.split(' '),
)

function png(bytes: Buffer): Buffer | undefined {
  const kept = [bytes.subarray(0, 8)]
  for (let at = 8; ; ) {
    const end = at + 12 + bytes.readUInt32BE(at)
    if (end > bytes.length) return undefined
    const type = bytes.toString('latin1', at + 4, at + 8)
    if (at === 8 && type !== 'IHDR') return undefined
    if (PNG_STAYS.has(type)) kept.push(bytes.subarray(at, end))
    if (type === 'IEND') return Buffer.concat(kept)
    at = end
  }
}

/** WebP container: chunks of a RIFF file, each padded to an even length. */
const WEBP_STAYS = new Set(['VP8 ', 'VP8L', 'VP8X', 'ICCP', 'ALPH', 'ANIM', 'ANMF'])
/** the two flags of VP8X that say that Exif and XMP are there */
const NO_EXIF_NO_XMP = 0xff & ~0x0c

function webp(bytes: Buffer): Buffer | undefined {
  const end = 8 + bytes.readUInt32LE(4)
  if (end > bytes.length + 1) return undefined
  const kept: Buffer[] = []
  let pictures = 0
  for (let at = 12; at + 8 <= Math.min(end, bytes.length); ) {
    const type = bytes.toString('latin1', at, at + 4)
    const length = bytes.readUInt32LE(at + 4)
    if (at + 8 + length > bytes.length) return undefined
    const next = at + 8 + length + (length % 2)
    if (WEBP_STAYS.has(type)) {
      const chunk = Buffer.alloc(next - at)
      bytes.copy(chunk, 0, at, Math.min(next, bytes.length))
      if (type === 'VP8X') chunk[8]! &= NO_EXIF_NO_XMP
      if (type === 'VP8 ' || type === 'VP8L' || type === 'ANMF') pictures++
      kept.push(chunk)
    }
    at = next
  }
  if (pictures === 0) return undefined
  const body = Buffer.concat(kept)
  const head = Buffer.alloc(12)
  head.write('RIFF', 0, 'latin1')
  head.writeUInt32LE(4 + body.length, 4)
  head.write('WEBP', 8, 'latin1')
  return Buffer.concat([head, body])
}
