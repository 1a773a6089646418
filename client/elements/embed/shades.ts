import type { Shades } from './snippet.ts'

/**
 * A colour made into what the element takes: only its hue and strength stay, how light it is follows the theme, as the desk
 * does with the shop's own. Worked out here and written as plain hexadecimal, so that a dealer's page needs no newer CSS.
 */
export function shadesOf(colour: string): Shades | undefined {
  if (!/^#[0-9a-f]{6}$/i.test(colour)) return undefined
  const of = colour.toLowerCase()
  const [, c, h] = oklchOf(of)
  const [l] = oklchOf(of)
  return {
    of,
    act: [hexOf(Math.min(l, 0.48), c, h), hexOf(Math.max(l, 0.8), Math.min(c, 0.13), h)],
    ink: ['#ffffff', '#04191c'],
    soft: [hexOf(0.95, Math.min(c, 0.03), h), hexOf(0.33, Math.min(c, 0.04), h)],
  }
}

/** WCAG 2.2 contrast of two colours `#rrggbb`. */
export function contrast(a: string, b: string): number {
  const luminance = (hex: string) => {
    const [r, g, bl] = linear(hex)
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * bl!
  }
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p)
  return (x! + 0.05) / (y! + 0.05)
}

const linear = (hex: string) =>
  [1, 3, 5].map((i) => {
    const v = Number.parseInt(hex.slice(i, i + 2), 16) / 255
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
  })

/** Lightness, chroma and hue (radians) in OKLCH; matrices as in CSS Color 4, section 10. */
export function oklchOf(hex: string): [l: number, c: number, h: number] {
  const [r, g, b] = linear(hex) as [number, number, number]
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b)
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b)
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b)
  const a = 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s
  const bb = 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s
  return [0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, Math.hypot(a, bb), Math.atan2(bb, a)]
}

/** The nearest colour that a screen has: too strong a one loses strength, not hue. */
export function hexOf(lightness: number, chroma: number, hue: number): string {
  for (let c = chroma; ; c -= 0.004) {
    const rgb = srgbOf(lightness, Math.max(0, c), hue)
    if (c <= 0 || rgb.every((v) => v >= -0.0005 && v <= 1.0005)) {
      return `#${rgb
        .map((v) =>
          Math.round(Math.min(1, Math.max(0, v)) * 255)
            .toString(16)
            .padStart(2, '0'),
        )
        .join('')}`
    }
  }
}

function srgbOf(lightness: number, chroma: number, hue: number): number[] {
  const [a, b] = [chroma * Math.cos(hue), chroma * Math.sin(hue)]
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ].map((v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055))
}
