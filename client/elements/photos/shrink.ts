/** The longest side of a picture that is sent: a lug or a number plate can be read, and a phone on a weak line sends it. */
export const LONGEST = 1600
const QUALITIES = [0.86, 0.74, 0.6]
const MOST_BYTES = 2_500_000

/**
 * A picture made small, and made anew: what is drawn holds nothing of where, when and with what it was taken. The way up
 * is drawn in.
 *
 * @throws TypeError where the browser can not read it
 */
export async function shrink(file: Blob): Promise<Blob> {
  const image = await bitmapOf(file)
  const scale = Math.min(1, LONGEST / Math.max(image.width, image.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(1, Math.round(image.width * scale))
  canvas.height = Math.max(1, Math.round(image.height * scale))
  const ink = canvas.getContext('2d')
  if (!ink) throw new TypeError('no canvas')
  // What is clear in a PNG would turn black.
  ink.fillStyle = '#fff'
  ink.fillRect(0, 0, canvas.width, canvas.height)
  ink.imageSmoothingQuality = 'high'
  ink.drawImage(image, 0, 0, canvas.width, canvas.height)
  image.close()
  for (const quality of QUALITIES) {
    const made = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', quality))
    if (made && made.size <= MOST_BYTES) return made
  }
  throw new TypeError('too large')
}

async function bitmapOf(file: Blob): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(file, { imageOrientation: 'from-image' })
  } catch (error) {
    throw new TypeError('no picture', { cause: error })
  }
}
