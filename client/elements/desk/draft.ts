/** A file of the shop's own knowledge that is being written here. */
export interface DraftFile {
  path: string
  text: string
}

export const FOLDERS = ['causes', 'checks', 'observables', 'remedies', 'root-causes', 'inseparable'] as const

/** Where a file belongs, by what stands in it; people pick files without their folders. */
export function pathFor(name: string, text: string): string {
  const given = /(?:^|\/)((?:causes|checks|observables|remedies|root-causes|inseparable)\/[^/]+\.json)$/.exec(name)
  if (given) return given[1]!
  let json: Record<string, unknown> = {}
  try {
    json = JSON.parse(text) as Record<string, unknown>
  } catch {
    // The path can be written by hand once the file reads.
  }
  const has = (...keys: string[]) => keys.every((k) => json !== null && typeof json === 'object' && k in json)
  const folder = has('effects')
    ? 'causes'
    : has('outcomes')
      ? 'checks'
      : has('states', 'usual')
        ? 'observables'
        : has('proof')
          ? 'remedies'
          : has('causes')
            ? 'inseparable'
            : 'root-causes'
  const id = typeof json.id === 'string' ? `${json.id}.json` : name.split('/').at(-1) || 'new.json'
  return `${folder}/${id}`
}

/** What a file holds, or in which line it can not be read. */
export function readDraft(text: string): { json: object } | { line: number } | { notObject: true } {
  try {
    const json: unknown = JSON.parse(text)
    return json !== null && typeof json === 'object' && !Array.isArray(json) ? { json } : { notObject: true }
  } catch {
    return { line: text.slice(0, faultIn(text)).split('\n').length }
  }
}

const TOKEN =
  /([{}[\],:])|("(?:[^"\\\p{Cc}]|\\(?:["\\/bfnrt]|u[\da-f]{4}))*")|-?\d+(?:\.\d+)?(?:e[+-]?\d+)?|true|false|null/iuy

/** Where reading stops: browsers say it each in words of their own, and some not at all. */
function faultIn(text: string): number {
  const open: string[] = []
  let wanted = 'value'
  let at = 0
  while (true) {
    at += /^\s*/.exec(text.slice(at))![0].length
    TOKEN.lastIndex = at
    const [token, mark, string] = TOKEN.exec(text) ?? []
    if (token === undefined) return at
    const after = () => (open.length === 0 ? 'end' : 'comma')
    if (mark === '{' || mark === '[') {
      if (!wanted.startsWith('value')) return at
      open.push(mark)
      wanted = mark === '{' ? 'key or end' : 'value or end'
    } else if (mark === '}' || mark === ']') {
      if (open.at(-1) !== (mark === '}' ? '{' : '[') || !/comma|or end/.test(wanted)) return at
      open.pop()
      wanted = after()
    } else if (mark === ',') {
      if (wanted !== 'comma') return at
      wanted = open.at(-1) === '{' ? 'key' : 'value'
    } else if (mark === ':') {
      if (wanted !== 'colon') return at
      wanted = 'value'
    } else if (wanted.startsWith('key') && string) wanted = 'colon'
    else if (wanted.startsWith('value')) wanted = after()
    else return at
    at = TOKEN.lastIndex
  }
}

const KEPT = 'benchlamp overlay draft'

export function keptDraft(): DraftFile[] {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? '[]') as DraftFile[]
  } catch {
    return []
  }
}

export function keepDraft(files: readonly DraftFile[]): void {
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(files))
  } catch {
    // Full or refused: it stays on the page.
  }
}
