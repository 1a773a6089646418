/** Tick positions at round steps (1, 2 or 5 times a power of ten), about `count` of them, all within from–to. */
export function ticks(from: number, to: number, count = 5): number[] {
  const raw = (to - from) / count
  if (!(raw > 0)) return [from]
  const power = 10 ** Math.floor(Math.log10(raw))
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= raw * 0.999)!
  const first = Math.ceil(from / step - 1e-9)
  const last = Math.floor(to / step + 1e-9)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => Number(((first + i) * step).toPrecision(12)))
}

/**
 * The part of an instrument's range worth drawing: what is expected and what faults near it give, with some room, within
 * min–max. A fault that reads far away ("nothing at all") would squeeze all else together: it is told in words only.
 */
export function window(reading: {
  min: number
  max: number
  expected?: { low: number; high: number }
  ifFault: { value: number }[]
}): { from: number; to: number } {
  const { expected } = reading
  const near = expected ? Math.max(4 * (expected.high - expected.low), 0.15 * Math.abs(expected.high)) : Infinity
  const marks = reading.ifFault
    .map((f) => f.value)
    .filter((v) => !expected || (v >= expected.low - near && v <= expected.high + near))
  if (expected) marks.push(expected.low, expected.high)
  if (marks.length === 0) return { from: reading.min, to: reading.max }
  const [low, high] = [Math.min(...marks), Math.max(...marks)]
  const room = Math.max((high - low) * 0.3, Math.abs(high) * 0.04, 1e-9)
  return { from: Math.max(reading.min, low - room), to: Math.min(reading.max, high + room) }
}
