/**
 * A piece of what was typed. `glued`: nothing stands between it and the piece before ("4k7").
 * `number` keeps its separators; `word` keeps its letters' case (mΩ is not MΩ).
 */
export interface Token {
  readonly kind: 'number' | 'word' | 'sign'
  readonly text: string
  readonly glued: boolean
}

const VULGAR: Readonly<Record<string, string>> = { '½': '.5', '¼': '.25', '¾': '.75' }

/**
 * `°` belongs to the word after it ("°C"); a Greek omega may be U+03A9 or U+2126, lower case too; a comma, a space,
 * or an apostrophe may part the thousands; a typed minus may be one of four characters.
 */
const PIECE =
  /\d+(?:[.,]\d+|['’]\d{3}(?!\d))*(?:[eE][-+]?\d{1,2}(?![\d.,]))?|[.,]\d+|°\s?[CcFf](?![A-Za-z])|km\/h|[\p{L}°%Ω]+|["″'′]|[-–—−~≈±<>≤≥+:;/∞?#]|\.{2,}|…/gu

/** Cuts typed text into pieces; characters that mean nothing here (brackets, spaces) fall away. */
export function tokenise(typed: string): readonly Token[] {
  const text = typed
    .replace(/n['’]t\b/gi, 'nt')
    .replace(/\+\s?\/\s?[-–−]/g, '±')
    .replace(/(\p{L})-(?=\p{L})/gu, '$1 ')
    .replace(/(\d)?\s?([½¼¾])/g, (_all, digit: string | undefined, part: string) => `${digit ?? '0'}${VULGAR[part]!}`)
    .replace(/[\u2126ω]/g, 'Ω')
    .replace(/[\u00b5\u03bc]/g, 'µ')
    .replace(/[\u00a0\u202f\u2009]/g, ' ')
  const tokens: Token[] = []
  let end = -1
  for (const match of text.matchAll(PIECE)) {
    const piece = match[0]
    const kind = /^[.,]?\d/.test(piece) ? 'number' : /^[\p{L}°%Ω]/u.test(piece) ? 'word' : 'sign'
    tokens.push({
      kind,
      text: /^[–—−]$/.test(piece) ? '-' : piece.replace(/\s/g, ''),
      glued: match.index === end,
    })
    end = match.index + piece.length
  }
  return tokens
}
