/** Writes numbered siblings out: a file with `for: [{n: 2}, {n: 3}]` becomes one object for each entry. */
export function writeOut<T extends { for?: Record<string, string | number>[] }>(file: T): T[] {
  if (!file.for) return [file]
  const { for: entries, ...rest } = file
  return entries.map((entry) => fill(rest, entry) as T)
}

function fill(value: unknown, entry: Record<string, string | number>): unknown {
  if (typeof value === 'string') {
    const whole = /^\{(\w+)\}$/.exec(value)
    // A value that is nothing but a placeholder keeps its type, so that a number stays a number.
    if (whole?.[1] !== undefined && whole[1] in entry) return entry[whole[1]]
    return value.replace(/\{(\w+)\}/g, (all, name: string) => String(entry[name] ?? all))
  }
  if (Array.isArray(value)) return value.map((item) => fill(item, entry))
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(
      Object.entries(value).map(([key, item]) => [fill(key, entry) as string, fill(item, entry)]),
    )
  }
  return value
}
