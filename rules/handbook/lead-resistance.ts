import { within } from './out-of-range.ts'

/** Below this the meter's own leads are a good part of the reading. Source: common practice, no source. */
export const LEADS_MATTER_BELOW_OHM = 1
/** Sound leads read no more than this held together; more is a bad lead. Source: common practice, no source. */
export const SOUND_LEADS_OHM = 0.5

/** True if the reading is one from which the leads must be taken off. */
export const leadsMatter = (readingOhm: number): boolean =>
  within('reading', readingOhm, 0, Number.POSITIVE_INFINITY, 'Ω') < LEADS_MATTER_BELOW_OHM

export type NetOhm =
  | { readonly ok: true; readonly ohm: number }
  | { readonly ok: false; readonly code: 'leads-bad' | 'leads-above-reading'; readonly message: string }

/**
 * Ohms of the part alone: the reading less the leads held together. Below 1 Ω it must be done (`leadsMatter`); above
 * it, it does no harm.
 * Source: two-wire resistance measurement; limits: common practice, no source.
 * @param resolutionOhm last digit of the meter: leads may read that much above the part and it is still 0
 */
export function withoutLeads(readingOhm: number, leadsOhm: number, resolutionOhm = 0.1): NetOhm {
  within('reading', readingOhm, 0, Number.POSITIVE_INFINITY, 'Ω')
  within('leads', leadsOhm, 0, Number.POSITIVE_INFINITY, 'Ω')
  if (leadsOhm > SOUND_LEADS_OHM) {
    return {
      ok: false,
      code: 'leads-bad',
      message: `The leads held together read ${leadsOhm} Ω; sound ones read ${SOUND_LEADS_OHM} Ω or less. Clean the tips, push the plugs home or change the leads, then measure both again.`,
    }
  }
  const ohm = Number((readingOhm - leadsOhm).toPrecision(12))
  if (ohm < -resolutionOhm * (1 + 1e-9)) {
    return {
      ok: false,
      code: 'leads-above-reading',
      message: `The leads alone (${leadsOhm} Ω) read more than leads and part together (${readingOhm} Ω). Hold the tips hard together and measure both again.`,
    }
  }
  return { ok: true, ohm: Math.max(0, ohm) }
}
