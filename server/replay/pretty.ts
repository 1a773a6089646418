const WIDTH = 120

/** JSON as a person reads it: on one line where it fits, else one part a line. */
export function pretty(value: unknown, indent = ''): string {
  const line = oneLine(value)
  if (indent.length + line.length <= WIDTH || typeof value !== 'object' || value === null) return line
  const inner = `${indent}  `
  const parts = Array.isArray(value)
    ? value.map((v) => pretty(v, inner))
    : Object.entries(value).flatMap(([k, v]) => (v === undefined ? [] : [`${JSON.stringify(k)}: ${pretty(v, inner)}`]))
  const [open, close] = Array.isArray(value) ? '[]' : '{}'
  return `${open}\n${parts.map((p) => inner + p).join(',\n')}\n${indent}${close}`
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(', ')}]`
  if (typeof value !== 'object' || value === null) return JSON.stringify(value)
  const parts = Object.entries(value).flatMap(([k, v]) =>
    v === undefined ? [] : [`${JSON.stringify(k)}: ${oneLine(v)}`],
  )
  return parts.length === 0 ? '{}' : `{ ${parts.join(', ')} }`
}
