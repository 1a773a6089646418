import { describe, expect, it } from 'vitest'
import { holds } from '../../rules/reasoning/condition.ts'
import { readingWeights } from '../../rules/reasoning/reading.ts'
import type { CheckFile, Knowledge, ObservableFile } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { distributionOf } from '../../rules/schema/words.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

/**
 * What the knowledge says of a cause against what the solved circuit with that cause shows: every check with two probes, on
 * every cause that the netlist has a change for. The two were written apart: the effects by the trade's rules, the netlist
 * by its parts.
 */
const parsed = parseKnowledge(readKnowledgeFiles())
if (!parsed.knowledge) throw new Error(parsed.problems.map((p) => `${p.file} ${p.path}: ${p.what}`).join('\n'))
const k: Knowledge = parsed.knowledge
const netlist = netlistOf('resistor-contactor')
const PACK = 36.9

/** Points that are no part of the netlist, or readings that take more than the two probes. */
const NOT_IN_WIRING = new Set(['wiggle', 'frame-leak', 'motor-insulation', 'motor-field-halves'])

/** Where knowledge and wiring are meant to differ, and why. */
const EXPLAINED: Record<string, string> = {
  'pack.block-reversed measure-pack-volts-at-rest': 'the wiring is given the pack’s volts as measured',
  'pack.block-reversed measure-lithium-pack-volts': 'the same: the wiring is given the pack’s volts as measured',
  'motor.field-open touch-field-bypass-feed':
    'the bypass carries the motor’s current round the open field, so its contactor chatters',
}

/** The pedal's place that a check's words ask for. */
function stepOf(c: CheckFile): number {
  if (c.carState?.key !== 'on') return 0
  const o = c.observable!
  const n = Number(/(\d)$/.exec(o)?.[1] ?? 0)
  if (o.startsWith('coil-feed-pedal-up')) return 0
  if (/^(bus-bar-volts|coil-feed|pedal-switch-output)\./.test(o)) return n
  if (o === 'bus-bar-to-positive.click-1') return 1
  if (o.startsWith('contactor-drop.')) return Math.max(2, n)
  return /^(drop\.|motor-volts|field-bypass-feed)/.test(o) ? 5 : 0
}

/** Whether a car of this drive may be asked the check: other families' and chargers' probes are not on this circuit. */
function ofThisDrive(c: CheckFile): boolean {
  const when = JSON.stringify(c.when ?? '')
  return c.circuit !== 'charger' && (!when.includes('"drive"') || when.includes('"resistor-contactor"'))
}

/** How likely each state of the observable is, from what the instrument shows; undefined if it says nothing here. */
function shown(c: CheckFile, o: ObservableFile, cause: string | undefined): Float64Array | undefined {
  const instrument = (['test-lamp', 'voltmeter', 'ohmmeter'] as const).find((t) => c.tools?.includes(t))
  if (!instrument || !c.probes) return undefined
  const { bridged: _, ...carState } = c.carState ?? {}
  const p = predict(netlist, {
    facts: {
      packVolts: 36,
      measuredPackVolts: PACK,
      mainFuse: true,
      runTow: true,
      fieldBypass: /^field-bypass/.test(`${cause ?? o.id}`) || o.id.startsWith('field-bypass'),
    },
    cause,
    carState: {
      wheels: 'raised',
      key: 'off',
      direction: 'neutral',
      runTow: 'run',
      pack: 'connected',
      charger: 'unplugged',
      ...carState,
      step: stepOf(c),
    },
    instrument,
    red: c.probes.red,
    black: c.probes.black,
  })
  const only = (...states: string[]) => {
    const found = states.find((s) => o.states.includes(s))
    return found === undefined ? undefined : Float64Array.from(o.states, (s) => (s === found ? 1 : 0))
  }
  switch (p.kind) {
    case 'lamp':
      // A lamp on the bus bar is judged against the click before, which the voltmeter's check covers.
      if (o.id.startsWith('bus-bar-volts')) return undefined
      if (p.brightness === 'off') return only('dark')
      return p.brightness === 'dim' ? only('dim', 'dark') : only('lit', 'bright')
    case 'number':
      if (o.quantity) return readingWeights(o, p.mean, PACK)
      return p.mean < 1 ? only('closed', 'as-it-should') : only('open')
    case 'over-range':
      return only('open')
    case 'floating':
      return /^bus-bar-volts/.test(o.id) ? only('none') : only('small', 'dark')
    default:
      return undefined
  }
}

describe('effects against the solved circuit', () => {
  const disagree: string[] = []
  const used = new Set<string>()
  let compared = 0
  const causes = [undefined, ...k.causes.filter((c) => netlist.change.has(c.id))]
  for (const cause of causes) {
    for (const c of k.checks) {
      if (!c.probes || !c.observable || !ofThisDrive(c) || NOT_IN_WIRING.has(c.observable)) continue
      const o = k.observables.find((x) => x.id === c.observable)!
      const weights = shown(c, o, cause?.id)
      if (!weights) continue
      compared++
      const effect = cause?.effects.findLast(
        (e) => e.observable === o.id && holds(e.when, { drive: 'resistor-contactor' }),
      )
      const said = distributionOf(o.states, effect?.states ?? o.usual)
      const fit = said.reduce((sum, p, i) => sum + p * weights[i]!, 0)
      if (fit >= 0.2) continue
      const key = `${cause?.id ?? 'nothing wrong'} ${c.id}`
      if (EXPLAINED[key]) used.add(key)
      else
        disagree.push(
          `${key}: wiring shows ${o.states[weights.indexOf(Math.max(...weights))]}, knowledge says ${o.states[said.indexOf(Math.max(...said))]}`,
        )
    }
  }

  it('compares a great many', () => {
    expect(causes.length).toBeGreaterThan(90)
    expect(compared).toBeGreaterThan(8000)
  })
  it('agrees, but where it is explained', () => expect(disagree).toEqual([]))
  it('explains nothing that agrees by itself', () => expect([...used].sort()).toEqual(Object.keys(EXPLAINED).sort()))
})
