import type { Branch } from './circuit.ts'
import type { Moment } from './cycle.ts'
import { diodeAt } from './diode.ts'
import { ampsThrough } from './operate.ts'

/** What a reading looks at: volts between two nodes, or amperes through a branch. */
export type Target = { volts: readonly [plus: number, minus: number] } | { ampsOf: string }

/** Standard deviation of a reading over cars of this family, and the parts that make it, largest first. */
export interface Spread {
  sd: number
  dueTo: { id: string; sd: number }[]
}

/** How far the blocks of one pack are apart, relative; their sum stays what was measured. Estimate, no source. */
const BLOCK_SPREAD = 0.005

/**
 * How a reading varies with the parts, by the adjoint method: one more solution of the same equations, with 1 A pushed
 * through the probes, gives the derivative to every part's value at once (contactors and motors staying as they are).
 */
export function spreadOf(moments: readonly Moment[], target: Target): Spread {
  const byGroup = new Map<string, number>()
  const blocks: number[] = []
  const add = (group: string, value: number): void => {
    byGroup.set(group, (byGroup.get(group) ?? 0) + value / moments.length)
  }
  for (const { solved, branches } of moments) {
    const of = 'ampsOf' in target ? branches.find((b) => b.id === target.ampsOf) : undefined
    if ('ampsOf' in target && !of) continue
    const scale = of ? slopeOf(of, solved.volts) : 1
    const [plus, minus] = 'volts' in target ? target.volts : [of!.a, of!.b]
    const adjoint = scale === 0 ? undefined : solved.transfer(plus, minus)
    let block = 0
    for (const b of branches) {
      const lambda = adjoint ? (adjoint[b.a]! - adjoint[b.b]!) * scale : 0
      const own = of === b
      switch (b.kind) {
        case 'resistor':
        case 'winding':
        case 'source': {
          if (b.ohms === 0) break
          const amps = ampsThrough(b, solved.volts)
          const byOhms = (lambda * amps) / b.ohms - (own ? amps / b.ohms : 0)
          add(groupOf(b), byOhms * b.ohms * b.spread)
          if (b.volts === 0) break
          const byVolts = lambda / b.ohms - (own ? 1 / b.ohms : 0)
          add(`${b.part}.volts`, byVolts * b.voltsSd)
          if (b.what?.startsWith('block-')) {
            blocks[block] = (blocks[block] ?? 0) + (byVolts * b.volts * BLOCK_SPREAD) / moments.length
            block++
          }
          break
        }
        case 'current':
          add(`${b.part}.amps`, (own ? 1 : -lambda) * b.amps * b.spread)
          break
        default:
      }
    }
  }
  const sum = blocks.reduce((a, d) => a + d, 0)
  const square = blocks.reduce((a, d) => a + d * d, 0)
  byGroup.set('pack.blocks-apart', Math.sqrt(Math.max(0, square - (sum * sum) / Math.max(1, blocks.length))))
  const dueTo = [...byGroup]
    .map(([id, sd]) => ({ id, sd: Math.abs(sd) }))
    .filter((d) => d.sd > 0)
    .sort((a, b) => b.sd - a.sd || (a.id < b.id ? -1 : 1))
  return { sd: Math.hypot(...dueTo.map((d) => d.sd)), dueTo: dueTo.slice(0, 5) }
}

/** Siemens of a branch where it stands: of a junction the slope of its law, of a current source or a capacitor none. */
function slopeOf(b: Branch, volts: ArrayLike<number>): number {
  if (b.kind === 'diode') return diodeAt(volts[b.a]! - volts[b.b]!).siemens
  return b.kind === 'current' || b.kind === 'capacitor' ? 0 : 1 / b.ohms
}

/** Parts that vary together: the blocks of a pack age together, the windings of a motor are warm together. */
function groupOf(b: Branch): string {
  if (b.what?.startsWith('block-')) return `${b.part}.ohms`
  return b.what === 'armature' || b.what === 'field' ? `${b.part}.ohms` : b.id
}
