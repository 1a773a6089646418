import { positive, within } from './out-of-range.ts'

/** Greatest steady load over rating. Source: NEC (NFPA 70) 210.20, 125 % of a continuous load, so 0.8. */
export const STEADY_LOAD_OF_RATING = 0.8

/**
 * `[times rated current, least seconds, greatest seconds]` in which a road-vehicle blade fuse opens.
 * Source: ISO 8820-3, operating time limits; from memory.
 */
export const BLADE_FUSE_SECONDS: readonly (readonly [times: number, least: number, greatest: number])[] = [
  [1.35, 0.75, 600],
  [1.6, 0.25, 50],
  [2, 0.15, 5],
  [3.5, 0.04, 0.5],
]
/** What a blade fuse carries for 100 hours without opening. Source: ISO 8820-3, from memory. */
export const BLADE_FUSE_CARRIES = 1.1

export type FuseVerdict =
  /** Enough margin for a steady load. */
  | { readonly holds: 'steadily' }
  /** Carries it, with too little margin to last. */
  | { readonly holds: 'barely' }
  /** Between the current it must carry and the one it must open at: may do either. */
  | { readonly holds: 'unsure' }
  /** Opens, within `seconds` at most. */
  | { readonly holds: 'no'; readonly withinSeconds: number }

/** What a sound blade fuse does at a load. So a fuse that blows at a load it holds was not blown by that load. */
export function fuseAt(loadAmps: number, ratedAmps: number): FuseVerdict {
  const times = within('load', loadAmps, 0, 10_000, 'A') / positive('fuse rating', ratedAmps, 'A')
  if (times <= STEADY_LOAD_OF_RATING) return { holds: 'steadily' }
  if (times <= BLADE_FUSE_CARRIES) return { holds: 'barely' }
  let withinSeconds: number | undefined
  for (const [at, , greatest] of BLADE_FUSE_SECONDS) if (times >= at) withinSeconds = greatest
  return withinSeconds === undefined ? { holds: 'unsure' } : { holds: 'no', withinSeconds }
}
