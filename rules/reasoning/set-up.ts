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

/**
 * What a check needs of the car, what goes without saying included: with the key on every lead is back in its place. A
 * bridge stays in until somebody says that it is out: the rest of the car is looked at over it.
 */
function wantedOf(needs: Needs): CarState {
  const want = needs.carState
  if (!want) return {}
  return {
    ...want,
    ...(want.key === 'on' && want.lifted === undefined ? { lifted: [] } : {}),
  }
}

/** What has to be changed first, as keys of settings.setUpMinutes: `wheels:raised`, `lifted:motor`, `tool:voltmeter`. */
export function changes(now: SetUp, needs: Needs): string[] {
  const out: string[] = []
  const want = wantedOf(needs)
  const lists = ['lifted', 'bridged'] as const
  // Leads back first: nothing is plugged in or switched on over a lead that hangs. Leads off last, with the pack isolated.
  for (const name of lists) if (want[name]?.length === 0 && now.carState[name]?.length) out.push(`${name}:none`)
  for (const name of ['key', 'pack', 'charger', 'wheels', 'runTow', 'direction'] as const) {
    const value = want[name]
    if (value !== undefined && value !== now.carState[name]) out.push(`${name}:${value}`)
  }
  // Power comes on after everything else.
  const on = out.indexOf('key:on')
  if (on >= 0) out.push(...out.splice(on, 1))
  for (const name of lists) {
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

/** How the car stands after the check: lists of lifted and bridged parts stand for the whole, where the check gives one. */
export function after(now: SetUp, needs: Needs): SetUp {
  return {
    carState: { ...now.carState, ...wantedOf(needs) },
    tools: needs.tools?.length ? new Set([...now.tools, ...needs.tools]) : now.tools,
  }
}
