import { crc32 } from 'node:zlib'

/** Exif (TIFF, big-endian) that says where, when and with what: 47° 30′ N, 8° 15′ E, "Lakeside" as artist. */
export function exifWithPlace(orientation = 1): Buffer {
  const entries: { tag: number; type: number; count: number; value: Buffer }[] = []
  const ascii = (tag: number, text: string) =>
    entries.push({ tag, type: 2, count: text.length + 1, value: Buffer.from(`${text}\0`, 'latin1') })
  const data: Buffer[] = []
  ascii(271, 'Lakeside cameras')
  entries.push({ tag: 274, type: 3, count: 1, value: Buffer.from([0, orientation, 0, 0]) })
  ascii(305, 'Lakeside software')
  ascii(306, '2026:11:25 08:30:00')
  ascii(315, 'Lakeside')
  const main = 8
  const mainEnd = main + 2 + 12 * (entries.length + 1) + 4
  let free = mainEnd
  const directory = (list: typeof entries, more: Buffer[] = []) => {
    const out = [Buffer.from([0, list.length + more.length])]
    for (const e of list) {
      const entry = Buffer.alloc(12)
      entry.writeUInt16BE(e.tag, 0)
      entry.writeUInt16BE(e.type, 2)
      entry.writeUInt32BE(e.count, 4)
      if (e.value.length <= 4) e.value.copy(entry, 8)
      else {
        entry.writeUInt32BE(free, 8)
        data.push(e.value)
        free += e.value.length
      }
      out.push(entry)
    }
    return Buffer.concat([...out, ...more, Buffer.alloc(4)])
  }
  const gpsEntry = Buffer.alloc(12)
  gpsEntry.writeUInt16BE(34853, 0)
  gpsEntry.writeUInt16BE(4, 2)
  gpsEntry.writeUInt32BE(1, 4)
  const first = directory(entries, [gpsEntry])
  const gpsAt = free
  const before = data.splice(0)
  const rationals = (...values: number[]) => {
    const out = Buffer.alloc(8 * values.length)
    values.forEach((v, i) => {
      out.writeUInt32BE(v, 8 * i)
      out.writeUInt32BE(1, 8 * i + 4)
    })
    return out
  }
  const gps = [
    { tag: 1, type: 2, count: 2, value: Buffer.from('N\0\0\0') },
    { tag: 2, type: 5, count: 3, value: rationals(47, 30, 0) },
    { tag: 3, type: 2, count: 2, value: Buffer.from('E\0\0\0') },
    { tag: 4, type: 5, count: 3, value: rationals(8, 15, 0) },
  ]
  free = gpsAt + 2 + 12 * gps.length + 4
  const second = directory(gps)
  first.writeUInt32BE(gpsAt, first.length - 4 - 4)
  const head = Buffer.from('MM\0*\0\0\0\x08', 'latin1')
  return Buffer.concat([head, first, ...before, second, ...data])
}

const segment = (marker: number, body: Buffer) => {
  const head = Buffer.from([0xff, marker, 0, 0])
  head.writeUInt16BE(body.length + 2, 2)
  return Buffer.concat([head, body])
}

/** With Exif, XMP, a comment and an IPTC block. */
export function jpegWithPlace(plain: Buffer, orientation = 1): Buffer {
  return Buffer.concat([
    plain.subarray(0, 2),
    segment(0xe1, Buffer.concat([Buffer.from('Exif\0\0'), exifWithPlace(orientation)])),
    segment(0xe1, Buffer.from('http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>Lakeside</x:xmpmeta>')),
    segment(0xed, Buffer.from('Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x08Lakeside')),
    segment(0xfe, Buffer.from('taken at Lakeside')),
    plain.subarray(2),
  ])
}

export function pngWithPlace(plain: Buffer): Buffer {
  const chunk = (type: string, body: Buffer) => {
    const named = Buffer.concat([Buffer.from(type, 'latin1'), body])
    const out = Buffer.alloc(4 + named.length + 4)
    out.writeUInt32BE(body.length, 0)
    named.copy(out, 4)
    out.writeUInt32BE(crc32(named), 4 + named.length)
    return out
  }
  // After IHDR: 8 bytes of signature, 25 of IHDR.
  return Buffer.concat([
    plain.subarray(0, 33),
    chunk('eXIf', exifWithPlace()),
    chunk('tEXt', Buffer.from('Author\0Lakeside')),
    chunk('tIME', Buffer.from([7, 234, 11, 25, 8, 30, 0])),
    plain.subarray(33),
  ])
}

/** A WebP in the extended container, with Exif and XMP after it. */
export function webpWithPlace(plain: Buffer): Buffer {
  const chunk = (type: string, body: Buffer) => {
    const head = Buffer.alloc(8)
    head.write(type, 0, 'latin1')
    head.writeUInt32LE(body.length, 4)
    return Buffer.concat([head, body, Buffer.alloc(body.length % 2)])
  }
  const extended = Buffer.alloc(10)
  const is = plain.toString('latin1', 12, 16) === 'VP8X'
  if (is) plain.copy(extended, 0, 20, 30)
  else {
    extended.writeUIntLE(59, 4, 3)
    extended.writeUIntLE(39, 7, 3)
  }
  extended[0]! |= 0x0c
  const body = Buffer.concat([
    chunk('VP8X', extended),
    plain.subarray(is ? 30 : 12),
    chunk('EXIF', exifWithPlace()),
    chunk('XMP ', Buffer.from('<x:xmpmeta>Lakeside</x:xmpmeta>')),
  ])
  const head = Buffer.from('RIFF\0\0\0\0WEBP', 'latin1')
  head.writeUInt32LE(4 + body.length, 4)
  return Buffer.concat([head, body])
}
