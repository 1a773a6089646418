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

/** What a file holds, or where it can not be read: line and column, as an editor counts them. */
export function readDraft(text: string): { json: object } | { line?: number; what: string } {
  try {
    const json: unknown = JSON.parse(text)
    return json !== null && typeof json === 'object' && !Array.isArray(json) ? { json } : { what: 'object' }
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error)
    const at = /position (\d+)/.exec(said)?.[1]
    const line = at === undefined ? undefined : text.slice(0, Number(at)).split('\n').length
    return { ...(line === undefined ? {} : { line }), what: said.replace(/ in JSON.*$/, '') }
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
