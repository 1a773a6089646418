import { describe, expect, it } from 'vitest'
import { holds } from '../../rules/reasoning/condition.ts'
import { readingWeights } from '../../rules/reasoning/reading.ts'
import type { CauseFile, CheckFile, Knowledge, ObservableFile } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { distributionOf } from '../../rules/schema/words.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

const parsed = parseKnowledge(readKnowledgeFiles())
if (!parsed.knowledge) throw new Error(parsed.problems.map((p) => `${p.file} ${p.path}: ${p.what}`).join('\n'))
const k: Knowledge = parsed.knowledge

const SLIDING = 'resistor-sliding'
const SERIES = 'series-controller'

function one<T extends { id: string }>(list: T[], id: string): T {
  const found = list.find((x) => x.id === id)
  if (!found) throw new Error(`there is no ${id}`)
  return found
}
const causeOf = (id: string): CauseFile => one(k.causes, id)
const observableOf = (id: string): ObservableFile => one(k.observables, id)

/** The likeliest state of an observable in a car of a drive with a cause. */
function state(drive: string, cause: string, observable: string): string {
  const o = observableOf(observable)
  const effect = causeOf(cause).effects.findLast((e) => e.observable === observable && holds(e.when, { drive }))
  const spread = distributionOf(o.states, effect?.states ?? o.usual)
  return o.states[spread.indexOf(Math.max(...spread))]!
}

/** The state of an observable that a reading speaks for. */
function read(observable: string, value: number, packVolts = 36.9): string {
  const o = observableOf(observable)
  const weights = [...readingWeights(o, value, packVolts)]
  return o.states[weights.indexOf(Math.max(...weights))]!
}

const checksOf = (drive: string, facts: Record<string, unknown> = {}) =>
  k.checks.filter((c) => {
    const text = JSON.stringify(c.when ?? {})
    return !text.includes('"drive"') || holds(carOnly(c), { drive, ...facts })
  })
/** A check's condition less what it asks of the case so far. */
function carOnly(c: CheckFile): CheckFile['when'] {
  const when = c.when
  if (!when || !('all' in when)) return when
  const all = when.all.filter((x) => !('fact' in x) || !x.fact.includes(':'))
  return all.length > 0 ? { all } : undefined
}

const five = [1, 2, 3, 4, 5]
const behind = (cause: string) => five.map((n) => state(SLIDING, cause, `board-volts.step-${n}`))
const ok = 'as-it-should'

describe('sliding contact: volts behind the board, button by button', () => {
  const sound = five.map((n) => {
    const reads = observableOf(`board-volts.step-${n}`).quantity!.reads[ok]!
    return 'mean' in reads ? reads.mean : Number.NaN
  })

  it('each further button leaves fewer resistors in the path; the last goes straight through', () => {
    for (let i = 1; i < 5; i++) expect(sound[i]).toBeGreaterThan(sound[i - 1]! + 0.03)
    expect(sound[4]).toBeGreaterThan(0.95)
  })

  it('is the pack less current times the resistors that are left (Ohm’s law)', () => {
    const netlist = netlistOf(SLIDING)
    const amps = predict(netlist, {
      facts: { packVolts: 36, measuredPackVolts: 36.9 },
      carState: { wheels: 'raised', key: 'on', direction: 'forward', step: 3 },
      instrument: 'clamp-ammeter',
      around: 'main-cable-negative',
    })
    if (amps.kind !== 'number') throw new Error(amps.kind)
    const coils = [1, 2, 3, 4].map((n) => {
      const part = netlist.parts.find((p) => p.id === `resistor-coil-${n}`)!
      return 'ohms' in part ? part.ohms! : Number.NaN
    })
    for (const n of five) {
      const left = coils.slice(0, 5 - n).reduce((a, b) => a + b, 0)
      // Pack, cables and joints take another volt or so.
      const expected = 36.9 - amps.mean * left
      expect(Math.abs(sound[n - 1]! * 36.9 - expected)).toBeLessThan(1.5)
    }
  })

  it.each([
    ['button-contact-1.open', ['none', ok, ok, ok, ok]],
    ['button-contact-3.open', [ok, ok, 'none', ok, ok]],
    ['button-contact-5.open', [ok, ok, ok, ok, 'none']],
    ['button-contact-2.burnt', [ok, 'low', ok, ok, ok]],
    ['button-contact-5.burnt', [ok, ok, ok, ok, 'low']],
    ['sliding-contact.pressure-lost', Array(5).fill('low')],
    ['sliding-contact-cable.open', Array(5).fill('none')],
  ])('%s: only what the arm stands on', (cause, volts) => expect(behind(cause)).toEqual(volts))

  it.each([
    ['board-resistor-1.open', ['none', 'none', 'none', 'none', ok]],
    ['board-resistor-2.open', ['none', 'none', 'none', ok, ok]],
    ['board-resistor-3.open', ['none', 'none', ok, ok, ok]],
    ['board-resistor-4.open', ['none', ok, ok, ok, ok]],
  ])('%s: an open coil takes every button below it', (cause, volts) => {
    expect(behind(cause)).toEqual(volts)
    const feeds = five.map((n) => state(SLIDING, cause, `button-supply.${n}`))
    expect(feeds).toEqual(volts.map((v) => (v === 'none' ? 'dark' : 'lit')))
  })

  it('a button that is burnt away has its feed, one with a broken lead has none', () => {
    for (const n of five) {
      expect(state(SLIDING, `button-contact-${n}.open`, `button-supply.${n}`)).toBe('lit')
      expect(state(SLIDING, `button-lead-${n}.open`, `button-supply.${n}`)).toBe('dark')
    }
  })

  it('a burnt button drops volts by itself, a weak contact on every button', () => {
    const drops = (cause: string) => five.map((n) => state(SLIDING, cause, `button-drop.${n}`))
    expect(drops('button-contact-4.burnt')).toEqual(['small', 'small', 'small', 'high', 'small'])
    for (const cause of ['sliding-contact.pressure-lost', 'sliding-contact.worn', 'contact-board.dirty']) {
      expect(drops(cause)).toEqual(Array(5).fill('high'))
    }
    expect(state(SLIDING, 'sliding-contact.pressure-lost', 'arm-pressure')).toBe('weak')
    expect(state(SLIDING, 'sliding-contact.worn', 'arm-face')).toBe('worn')
    expect(state(SLIDING, 'contact-board.dirty', 'board-look')).toBe('dirty')
  })
})

describe('sliding contact: the control of the one contactor', () => {
  const at = (cause: string) =>
    ['coil-negative', 'pedal-switch-output', 'coil-feed.step-1', 'click.step-1'].map((o) => state(SLIDING, cause, o))

  it('negative through key and direction microswitch, positive through the pedal’s microswitch', () => {
    for (const cause of ['key-switch.open', 'direction-switch.microswitch-open', 'control-negative-lead.open']) {
      expect(at(cause), cause).toEqual(['dark', 'lit', 'lit', 'none'])
    }
    expect(at('pedal-switch.open')).toEqual(['lit', 'dark', 'dark', 'none'])
    expect(at('coil-feed-lead.open')).toEqual(['lit', 'lit', 'dark', 'none'])
    expect(at('single-contactor.coil-open')).toEqual(['lit', 'lit', 'lit', 'none'])
    expect(at('single-contactor.contacts-open')).toEqual(['lit', 'lit', 'lit', 'click'])
  })

  it('asks for one click, not for five', () => {
    const ids = checksOf(SLIDING).map((c) => c.id)
    expect(ids).toContain('listen-for-main-click')
    expect(ids).toContain('ask-click-at-start')
    expect(ids).not.toContain('ask-clicks-heard')
    for (const id of ids) expect(id).not.toMatch(/^(listen-for-click|measure-bus-bar-volts|touch-contactor-supply)/)
  })

  it('a meter in a hand cannot tell touching turns from a whole coil, so ohms are asked for open coils only', () => {
    const check = one(k.checks, 'measure-board-resistor.1')
    expect(check.outcomes.map((o) => o.id)).toEqual(['closed', 'open'])
    expect(state(SLIDING, 'board-resistor-1.bypassed', 'board-resistor.1')).toBe('closed')
  })
})

/** Under 500 Ω at rest to over 5 kΩ pressed, and 5 kΩ down to 500 Ω: common practice, no source. */
describe('series controller: throttles', () => {
  it.each([
    ['throttle-rest.rising', 300, 'right'],
    ['throttle-full.rising', 5200, 'right'],
    ['throttle-rest.falling', 5000, 'right'],
    ['throttle-full.falling', 450, 'right'],
    ['throttle-rest.rising', 5000, 'asks-full'],
    ['throttle-rest.falling', 400, 'asks-full'],
    ['throttle-full.rising', 2500, 'short-of'],
    ['throttle-full.falling', 2000, 'short-of'],
    ['throttle-rest.rising', 5_000_000, 'open'],
    ['throttle-rest.signal', 0.4, 'right'],
    ['throttle-full.signal', 4.5, 'right'],
    ['throttle-full.signal', 0, 'none'],
  ])('%s at %d is "%s"', (observable, value, expected) => expect(read(observable, value)).toBe(expected))

  it('a throttle of the wrong type asks for full speed at rest', () => {
    for (const kind of ['rising', 'falling']) {
      expect(state(SERIES, 'throttle.wrong-type', `throttle-rest.${kind}`)).toBe('asks-full')
      expect(state(SERIES, 'throttle.wrong-type', `throttle-full.${kind}`)).toBe('stays-low')
    }
    expect(causeOf('throttle.wrong-type').complaints['runs-away']).toBeDefined()
  })

  it('a worn spot shows on a slow sweep only: both stops read right', () => {
    const cause = 'throttle.worn-spot'
    for (const at of ['rest', 'full']) {
      for (const kind of ['rising', 'falling', 'signal']) {
        expect(state(SERIES, cause, `throttle-${at}.${kind}`)).toBe('right')
      }
    }
    expect(state(SERIES, cause, 'throttle-sweep')).toBe('drops-out')
  })

  it('the readings fit what the circuit of the same car shows', () => {
    for (const [throttle, kind] of [
      ['rising-resistance', 'rising'],
      ['falling-resistance', 'falling'],
    ] as const) {
      for (const [at, step] of [
        ['rest', 0],
        ['full', 5],
      ] as const) {
        const check = one(k.checks, `measure-throttle-${at}.${kind}`)
        const shown = predict(netlistOf(SERIES), {
          facts: { packVolts: 36, throttle },
          carState: { ...check.carState, step },
          instrument: 'ohmmeter',
          red: check.probes!.red,
          black: check.probes!.black,
        })
        if (shown.kind !== 'number') throw new Error(shown.kind)
        expect(read(`throttle-${at}.${kind}`, shown.mean), `${throttle} ${at}`).toBe('right')
      }
    }
  })

  it('each kind of throttle is read in its own way, and the kind is asked', () => {
    const ids = (throttle: string) => checksOf(SERIES, { throttle }).map((c) => c.id)
    expect(ids('rising-resistance')).toContain('measure-throttle-rest.rising')
    expect(ids('rising-resistance')).not.toContain('measure-throttle-rest.falling')
    for (const throttle of ['three-wire-voltage', 'inductive']) {
      expect(ids(throttle)).toContain('measure-throttle-signal.rest')
      expect(ids(throttle)).toContain('measure-throttle-supply')
      expect(ids(throttle)).not.toContain('measure-throttle-rest.rising')
    }
    expect(one(k.checks, 'look-at-throttle-kind').fact).toBe('throttle')
  })
})

describe('series controller: M- and the motor', () => {
  it('M- tells a dead output from a shorted one and both from an open motor', () => {
    const m = (cause: string) => [state(SERIES, cause, 'm-minus.pedal-up'), state(SERIES, cause, 'm-minus.full-pedal')]
    expect(m('throttle.open')).toEqual(['pack-volts', 'pack-volts'])
    expect(m('controller.half-shorted')).toEqual(['none', 'near-zero'])
    expect(m('controller.half-speed')).toEqual(['pack-volts', 'half'])
    expect(m('motor.armature-open')[0]).toBe('none')
    expect(read('m-minus.full-pedal', 0.3)).toBe('near-zero')
    expect(read('m-minus.full-pedal', 36.5)).toBe('pack-volts')
    expect(read('m-minus.full-pedal', 18)).toBe('half')
  })

  it('the first point of the chain without volts has the break just before it', () => {
    const order = ['a1', 'a2', 'direction-feed', 's1', 's2', 'direction-out']
    const first = (cause: string) =>
      order.find((pt) => state(SERIES, cause, `motor-volts-chain.${pt}`) === 'none') ??
      (state(SERIES, cause, 'm-minus.pedal-up') === 'none' ? 'm-minus' : 'nowhere')
    expect(first('motor-lead-a1.open')).toBe('a1')
    expect(first('motor.armature-open')).toBe('a2')
    expect(first('motor-lead-a2.open')).toBe('direction-feed')
    expect(first('direction-switch.forward-contacts-open')).toBe('s1')
    expect(first('motor.field-open')).toBe('s2')
    expect(first('motor-lead-m-minus.open')).toBe('m-minus')
    expect(first('throttle.open')).toBe('nowhere')
  })

  it('half-shorted: full speed at once, and nobody is led on as if nothing were wrong', () => {
    expect(state(SERIES, 'controller.half-shorted', 'motor-follows-pedal')).toBe('full-at-once')
    const stop = k.caseRules.find((r) => r.event.type === 'stop' && JSON.stringify(r).includes('ask-smooth-start'))!
    expect(holds(stop.conditions, { role: 'customer', 'answer:ask-smooth-start': 'yes' })).toBe(true)
    expect(holds(stop.conditions, { role: 'customer', 'answer:ask-smooth-start': 'no' })).toBe(false)
  })

  it('one winding only is reversed: wired so that both are, the car goes the same way in both places', () => {
    for (const drive of ['resistor-contactor', SLIDING, SERIES]) {
      expect(holds(causeOf('direction-switch.both-windings').when, { drive })).toBe(true)
      expect(state(drive, 'direction-switch.both-windings', 'reverse-way')).toBe('same')
      expect(state(drive, 'direction-switch.both-windings', 'drive-direction')).toBe('as-lever')
    }
  })
})

describe('series controller: what can hurt', () => {
  const here = checksOf(SERIES, { throttle: 'rising-resistance', runTow: true, fieldBypass: false, mainFuse: true })

  it('the stored charge is named on every such car, and bled in the time and by the resistor that it says', () => {
    const rule = one(k.caseRules, 'caution-capacitors')
    for (const drive of [SERIES, 'separate-field-controller', 'ac-controller']) {
      expect(holds(rule.conditions, { role: 'technician', drive })).toBe(true)
    }
    expect(holds(rule.conditions, { role: 'technician', drive: SLIDING })).toBe(false)

    const act = one(k.cautions, 'capacitors-charged').text.act.join(' ')
    const ohms = Number(/(\d+) Ω/.exec(act)![1])
    const watts = Number(/(\d+) W/.exec(act)![1])
    const seconds = { ten: 10, twenty: 20, thirty: 30 }[/for (\w+) seconds/.exec(act)![1]!]!
    const part = netlistOf(SERIES).parts.find((p) => p.id === 'controller-capacitors')!
    const farads = 'farads' in part ? part.farads : Number.NaN
    // Discharge of a capacitor through a resistor, v = V e^(-t/RC), and V²/R at its start: any textbook of circuits.
    expect(48 * Math.exp(-seconds / (ohms * farads))).toBeLessThan(1)
    expect(48 ** 2 / ohms).toBeLessThanOrEqual(watts)
    expect(act).toMatch(/voltmeter/)
  })

  it('what is measured with the controller’s posts bare and the pack off proves the capacitors dead first', () => {
    const posts = here.filter(
      (c) => c.carState?.pack === 'isolated' && /^(measure-(throttle|controller-output)|sweep-throttle)/.test(c.id),
    )
    expect(posts.length).toBeGreaterThanOrEqual(6)
    for (const c of posts) expect(c.cautions, c.id).toContain('capacitors-charged')
  })

  it('no lamp on thin controller leads: a lamp is used on heavy posts and on the pack only', () => {
    for (const c of here.filter((x) => x.tools?.includes('test-lamp') && x.probes)) {
      for (const probe of [c.probes!.red, c.probes!.black]) {
        expect(probe, c.id).not.toMatch(/^(controller\.(key|pedal|throttle)|throttle\.)/)
      }
    }
    for (const c of here.filter((x) => x.probes?.red.startsWith('controller.throttle') && x.carState?.key === 'on')) {
      expect(c.cautions, c.id).toContain('no-lamp-on-logic')
    }
  })

  it('current on a grade is measured after a brake test, and not on a car that may run away or burn', () => {
    const check = one(k.checks, 'measure-grade-current')
    expect(check.cautions).toContain('brake-before-drive')
    const facts = Object.fromEntries(k.complaints.map((c) => [`complaint:${c.id}`, false]))
    expect(holds(check.when, { drive: SERIES, ...facts })).toBe(true)
    for (const c of ['runs-away', 'brakes-weak', 'hot-or-burning-smell']) {
      expect(holds(check.when, { drive: SERIES, ...facts, [`complaint:${c}`]: true })).toBe(false)
    }
  })
})

describe('both', () => {
  it('a welded main contactor hides, and says so', () => {
    const cause = causeOf('single-contactor.contacts-welded')
    expect(cause.text.note).toMatch(/hides/)
    expect(state(SLIDING, cause.id, 'board-side-pedal-up')).toBe('lit')
    expect(state(SLIDING, cause.id, 'motor-turns')).toBe('normal')
  })

  it('a customer is asked about one click in words of memory, never to try it', () => {
    for (const id of ['ask-click-at-start', 'ask-smooth-start']) {
      const check = one(k.checks, id)
      expect(check.who).toContain('customer')
      expect(check.text.hint).toMatch(/memory/)
      expect(check.carState).toBeUndefined()
    }
  })
})
