import type { StepMessage } from '../../protocol/index.ts'
import { meterBody } from '../compose/meter.ts'
import { type Decision, type StepInput, technicianOnly } from './types.ts'

/** What the instruments show between two points, and the circuit drawn. Changes nothing. */
export async function meter(input: StepInput): Promise<Decision> {
  const message = input.message as Extract<StepMessage, { type: 'meter' }>
  if (input.caller.role === 'customer') return { refuse: technicianOnly(input) }
  const made = meterBody(input.r, await input.turn(), input.names, message)
  return 'refuse' in made ? made : { events: [], replies: [{ type: 'meter', meter: made.meter }] }
}
