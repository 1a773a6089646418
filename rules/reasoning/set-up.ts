import type { CarState } from '../schema/car.ts'
import type { CheckFile, Knowledge } from '../schema/knowledge.ts'

/** How the car stands and what is in the hand: a check that needs the same costs only its own minutes. */
export interface SetUp {
  carState: CarState
  tools: ReadonlySet<string>
}

export const AT_FIRST: SetUp = {
  carState: {
    wheels: 'on-ground',
    key: 'off',
    direction: 'neutral',
    runTow: 'run',
    pack: 'connected',
    charger: 'unplugged',
    lifted: [],
    bridged: [],
  },
  tools: new Set(),
}

type Needs = Pick<CheckFile, 'carState' | 'tools'>

/** What has to be changed first, as keys of settings.setUpMinutes: `wheels:raised`, `lifted:motor`, `tool:voltmeter`. */
export function changes(now: SetUp, needs: Needs): string[] {
  const out: string[] = []
  const want = needs.carState ?? {}
  for (const name of ['wheels', 'pack', 'charger', 'runTow', 'key', 'direction'] as const) {
    const value = want[name]
    if (value !== undefined && value !== now.carState[name]) out.push(`${name}:${value}`)
  }
  for (const name of ['lifted', 'bridged'] as const) {
    for (const part of want[name] ?? []) if (!now.carState[name]?.includes(part)) out.push(`${name}:${part}`)
  }
  for (const tool of needs.tools ?? []) if (!now.tools.has(tool)) out.push(`tool:${tool}`)
  return out
}

export function setUpMinutes(k: Knowledge, now: SetUp, needs: Needs): number {
  let minutes = 0
  for (const change of changes(now, needs)) {
    minutes += k.settings.setUpMinutes[change] ?? k.settings.setUpMinutes[change.split(':')[0]!] ?? 0.5
  }
  return minutes
}

/** How the car stands after the check. */
export function after(now: SetUp, needs: Needs): SetUp {
  const lists = (name: 'lifted' | 'bridged') => [
    ...new Set([...(now.carState[name] ?? []), ...(needs.carState?.[name] ?? [])]),
  ]
  return {
    carState: { ...now.carState, ...needs.carState, lifted: lists('lifted'), bridged: lists('bridged') },
    tools: needs.tools?.length ? new Set([...now.tools, ...needs.tools]) : now.tools,
  }
}
