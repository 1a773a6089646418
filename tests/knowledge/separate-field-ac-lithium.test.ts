import { describe, expect, it } from 'vitest'
import { lithiumIronPhosphateCharge } from '../../rules/handbook/lithium-iron-phosphate-rest-volts.ts'
import { holds } from '../../rules/reasoning/condition.ts'
import { readingWeights } from '../../rules/reasoning/reading.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import type { CauseFile, CheckFile, Knowledge, ObservableFile } from '../../rules/schema/knowledge.ts'
import { parseKnowledge } from '../../rules/schema/parse.ts'
import { distributionOf } from '../../rules/schema/words.ts'
import { netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

const parsed = parseKnowledge(readKnowledgeFiles())
if (!parsed.knowledge) throw new Error(parsed.problems.map((p) => `${p.file} ${p.path}: ${p.what}`).join('\n'))
const k: Knowledge = parsed.knowledge

const SEPARATE = 'separate-field-controller'
const AC = 'ac-controller'
const LITHIUM = 'lithium-iron-phosphate'

function one<T extends { id: string }>(list: T[], id: string): T {
  const found = list.find((x) => x.id === id)
  if (!found) throw new Error(`there is no ${id}`)
  return found
}
const causeOf = (id: string): CauseFile => one(k.causes, id)
const checkOf = (id: string): CheckFile => one(k.checks, id)
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

const ISOLATED = { key: 'off', direction: 'neutral', runTow: 'tow', pack: 'isolated', charger: 'unplugged' } as const
const KEY_ON = {
  wheels: 'raised',
  key: 'on',
  direction: 'forward',
  runTow: 'run',
  pack: 'connected',
  charger: 'unplugged',
} as const

/** Ohms between two points of an isolated car, leads lifted; infinite when open. */
function ohms(drive: CarFacts['drive'] & string, red: string, black: string, lifted: string[], cause?: string): number {
  const p = predict(netlistOf(drive), {
    facts: { packVolts: 36 },
    ...(cause === undefined ? {} : { cause }),
    carState: { ...ISOLATED, lifted },
    instrument: 'ohmmeter',
    red,
    black,
  })
  if (p.kind === 'over-range' || p.kind === 'floating') return Number.POSITIVE_INFINITY
  if (p.kind !== 'number') throw new Error(p.kind)
  return p.mean
}

describe('separate field: field and armature are tested apart', () => {
  const picture = (cause: string) =>
    ['field-path', 'separate-field', 'armature-path', 'field-current'].map((o) => state(SEPARATE, cause, o))

  it.each([
    ['field-cable-1.open', ['open', 'as-it-should', 'closed', 'none']],
    ['motor.field-open', ['open', 'open', 'closed', 'none']],
    ['motor.field-shorted', ['low', 'low', 'closed', 'high']],
    ['field-cable-2.high-resistance', ['high', 'as-it-should', 'closed', 'low']],
    ['armature-lead-2.open', ['as-it-should', 'as-it-should', 'open', 'as-it-should']],
    ['motor.armature-open', ['as-it-should', 'as-it-should', 'open', 'as-it-should']],
    ['controller.field-output-dead', ['as-it-should', 'as-it-should', 'closed', 'none']],
  ])('%s: field path, field, armature path, field current', (cause, seen) => expect(picture(cause)).toEqual(seen))

  it('reads shorted turns of a separate field by ohms, and not those of a series field: the circuit by a common meter', () => {
    const apart = (drive: 'separate-field-controller' | 'series-controller', a: string, b: string, lifted: string[]) =>
      ohms(drive, a, b, lifted) - ohms(drive, a, b, lifted, 'motor.field-shorted')
    // A hand-held meter on its lowest range: ± (1 % + 0.1 Ω), common practice, no source.
    const METER = 0.1
    expect(apart(SEPARATE, 'motor.f1', 'motor.f2', ['field-cable-1'])).toBeGreaterThan(3 * METER)
    expect(apart('series-controller', 'motor.s1', 'motor.s2', ['armature-cable-1'])).toBeLessThan(METER)
  })

  it('asks for the field’s current where Ohm’s law puts it: a quarter of the pack’s volts over the field’s ohms', () => {
    const amps = (0.25 * 36.9) / 1
    expect(read('field-current', amps)).toBe('as-it-should')
    expect(read('field-current', amps / 2.2)).toBe('low')
    expect(read('field-current', amps * 2)).toBe('high')
    expect(read('field-current', 0)).toBe('none')
  })
})

describe('separate field: speed sensor', () => {
  const chain = [
    'speed-sensor-supply.sensor',
    'speed-sensor-supply.plugged',
    'speed-sensor-supply.controller',
    'speed-sensor-signal.sensor',
    'speed-sensor-signal.controller',
    'speed-magnet',
  ]
  const picture = (cause: string) => chain.map((o) => state(SEPARATE, cause, o)).join(' ')

  it.each([
    ['speed-sensor.open', 'there there there steady steady tight'],
    ['speed-sensor.shorted', 'none none there steady steady tight'],
    ['speed-sensor.supply-lead-open', 'none there there steady steady tight'],
    ['controller.sensor-supply-dead', 'none none none steady steady tight'],
    ['speed-sensor.signal-lead-open', 'there there there switches steady tight'],
    ['speed-sensor.magnet-lost', 'there there there steady steady loose-or-lost'],
  ])('%s has a picture of its own', (cause, seen) => expect(picture(cause)).toBe(seen))

  it('shows the same supplies in the solved circuit', () => {
    const volts = (red: string, black: string, cause: string) => {
      const p = predict(netlistOf(SEPARATE), {
        facts: { packVolts: 36 },
        cause,
        carState: { ...KEY_ON, direction: 'neutral', step: 0 },
        instrument: 'voltmeter',
        red,
        black,
      })
      return p.kind === 'number' ? p.mean : 0
    }
    for (const cause of ['speed-sensor.shorted', 'speed-sensor.supply-lead-open', 'controller.sensor-supply-dead']) {
      const at = (o: string) => (state(SEPARATE, cause, o) === 'there' ? 5 : 0)
      expect(volts('speed-sensor.supply', 'speed-sensor.negative', cause)).toBeCloseTo(at(chain[0]!), 0)
      expect(volts('controller.sensor-supply', 'controller.b-minus', cause)).toBeCloseTo(at(chain[1]!), 0)
    }
  })
})

describe('run/tow, start order, a full pack on a downhill', () => {
  it('a switch that does not open in tow holds the pushed car back', () => {
    expect(state(SEPARATE, 'run-tow-switch.stuck-in-run', 'push-in-tow')).toBe('holds-back')
    expect(state(SEPARATE, 'run-tow-switch.stuck-in-run', 'run-tow-contacts')).toBe('always-closed')
    expect(state(SEPARATE, 'run-tow-switch.open', 'run-tow-contacts')).toBe('always-open')
  })

  it('pedal first is no fault: no part, and told apart from a throttle that does not come back to rest', () => {
    const cause = causeOf('high-pedal-interlock.pedal-first')
    expect(one(k.remedies, cause.remedy).part.high).toBe(0)
    expect(state(SEPARATE, cause.id, 'start-order')).toBe('pedal-first')
    expect(state(SEPARATE, 'throttle.out-of-adjustment', 'start-order')).toBe('key-first')
  })

  it('a full pack takes no braking current: only right after a charge, no part, and a warning before any slope', () => {
    const cause = causeOf('pack.too-full-for-braking')
    expect(state(SEPARATE, cause.id, 'only-right-after-charge')).toBe('yes')
    const remedy = one(k.remedies, cause.remedy)
    expect(remedy.part.high).toBe(0)
    expect(remedy.cautions).toContain('no-motor-braking')
    const rule = one(k.caseRules, 'caution-no-motor-braking')
    expect(holds(rule.conditions, { 'complaint:no-motor-braking': true })).toBe(true)
  })
})

describe('electric parking brake', () => {
  const chain = [
    'parking-brake-coil',
    'parking-brake-feed.brake',
    'parking-brake-feed.controller',
    'parking-brake-feed.pedal-up',
    'parking-brake-click',
    'parking-brake-lever',
  ]
  it.each([
    ['electric-parking-brake.coil-open', 'open there there none none braking'],
    ['electric-parking-brake.coil-shorted', 'low there there none none braking'],
    ['electric-parking-brake.lead-open', 'as-it-should none there none none braking'],
    ['controller.brake-output-dead', 'as-it-should none none none none braking'],
    ['controller.brake-output-stuck-on', 'as-it-should there there there none braking'],
    ['electric-parking-brake.stuck', 'as-it-should there there none none braking'],
    ['electric-parking-brake.let-off-by-hand', 'as-it-should there there none click let-off'],
  ])('%s has a picture of its own', (cause, seen) => expect(chain.map((o) => state(AC, cause, o)).join(' ')).toBe(seen))

  it('stands still by itself, so that rolling is felt only with the brake let off as its maker says', () => {
    const rolling = k.checks.filter((c) => c.observable === 'rolls' && c.way === 'feel')
    const facts = { drive: AC, brake: 'electric-parking' }
    const asked = rolling.filter((c) => holds(c.when, facts))
    expect(asked.map((c) => c.id)).toEqual(['feel-rolling-let-off'])
    expect(asked[0]!.cautions).toContain('parking-brake-off')
    expect(asked[0]!.carState).toMatchObject({ runTow: 'tow', key: 'off' })
  })
})

describe('AC: phases, encoder, temperature sensor', () => {
  const leads = ['phase-cable-u', 'phase-cable-v', 'phase-cable-w']
  const pairs = [
    ['motor.u', 'motor.v'],
    ['motor.v', 'motor.w'],
    ['motor.w', 'motor.u'],
  ] as const
  const readings = (cause?: string) => pairs.map(([a, b]) => ohms(AC, a, b, leads, cause))

  it.each(['u', 'v', 'w'])('an open winding %s of a star leaves one reading of three', (p) => {
    const open = readings(`motor-winding-${p}.open`).filter((x) => x === Number.POSITIVE_INFINITY)
    expect(open.length).toBe(2)
    expect(state(AC, `motor-winding-${p}.open`, 'motor-windings')).toBe('one-open')
  })

  it('shorted turns do not show on ohms and do on the drops: each pair is the sum of two windings', () => {
    const sound = readings()
    const shorted = readings('motor-winding-u.shorted-turns')
    for (const [i, x] of shorted.entries()) expect(Math.abs(x - sound[i]!)).toBeLessThan(0.1)
    expect(state(AC, 'motor-winding-u.shorted-turns', 'motor-windings')).toBe('alike')
    expect(state(AC, 'motor-winding-u.shorted-turns', 'motor-winding-drop')).toBe('unlike')
    // Windings of 12 mΩ, one at 60 %: the pair without it drops 25 % more than those with it.
    const w = netlistOf(AC).parts.find((x) => x.id === 'motor-winding-u')!
    const R = 'ohms' in w ? w.ohms! : Number.NaN
    expect((2 * R) / (R + 0.6 * R)).toBeCloseTo(1.25, 6)
  })

  it('a lead, a winding and an output of the controller each have a picture of their own', () => {
    const seen = ['phase-cable-u.open', 'motor-winding-u.open', 'controller.phase-output-dead'].map((c) =>
      ['phase-lead.u', 'motor-windings', 'controller-bridge'].map((o) => state(AC, c, o)).join(' '),
    )
    expect(seen).toEqual(['open alike alike', 'sound one-open alike', 'sound alike one-open'])
  })

  it('tells encoder, its supply lead, one signal and one signal lead apart', () => {
    const chain = [
      'encoder-supply.encoder',
      'encoder-supply.plugged',
      'encoder-supply.unplugged',
      'encoder-signals.encoder',
      'encoder-signals.controller',
    ]
    const seen = (cause: string) => chain.map((o) => state(AC, cause, o)).join(' ')
    expect(seen('encoder.open')).toBe('there there there none none')
    expect(seen('encoder.shorted')).toBe('none none there none none')
    expect(seen('encoder.supply-lead-open')).toBe('none there there none none')
    expect(seen('controller.encoder-supply-dead')).toBe('none none none none none')
    expect(seen('encoder.signal-lost')).toBe('there there there one-only one-only')
    expect(seen('encoder.signal-lead-open')).toBe('there there there both one-only')
  })

  /** R = R25 · exp(B (1/T − 1/T25)): the thermistor equation of IEC 60539-1; 10 kΩ and B = 3950 K from memory. */
  it.each([0, 10, 25, 40, 80])('takes a 10 kΩ thermistor at %i °C for sound', (celsius) => {
    const r = 10_000 * Math.exp(3950 * (1 / (celsius + 273.15) - 1 / 298.15))
    for (const o of ['temperature-sensor.motor', 'temperature-sensor.plug']) expect(read(o, r)).toBe('as-it-should')
  })
  /** R = R25 (1 + α ΔT + β ΔT²), α = 7.88e-3, β = 1.937e-5: silicon sensors of 1 kΩ at 100 °C, from memory. */
  it.each([-20, 0, 25, 80, 120])('takes a silicon sensor at %i °C for sound', (celsius) => {
    const dT = celsius - 25
    const r = 603 * (1 + 7.88e-3 * dT + 1.937e-5 * dT * dT)
    expect(read('temperature-sensor.motor', r)).toBe('as-it-should')
  })
  it('tells a sensor from its lead', () => {
    const seen = (cause: string) => ['motor', 'plug'].map((x) => state(AC, cause, `temperature-sensor.${x}`))
    expect(seen('temperature-sensor.open')).toEqual(['open', 'open'])
    expect(seen('temperature-sensor.shorted')).toEqual(['shorted', 'shorted'])
    expect(seen('temperature-sensor.lead-open')).toEqual(['as-it-should', 'open'])
  })

  it('reads the data bus as ISO 11898-2 ends it: 120 Ω at each end', () => {
    expect(read('data-bus', (120 * 120) / (120 + 120))).toBe('right')
    expect(read('data-bus', 120)).toBe('one-end')
    expect(read('data-bus', 2)).toBe('joined')
    expect(read('data-bus', 1e7)).toBe('open')
  })
})

describe('the front end of controller cars', () => {
  const points = ['key-in', 'key-out', 'run-tow-out', 'interlock-out', 'direction-out', 'pedal-out', 'coil-positive']
  it.each([SEPARATE, AC])('%s: a break is at the first point without volts', (drive) => {
    const first = (cause: string) => points.find((p) => state(drive, cause, `controls.${p}`) === 'none')
    expect(first('controls-lead.feed-open')).toBe('key-in')
    expect(first('control-fuse.open')).toBe('key-in')
    expect(first('key-switch.open')).toBe('key-out')
    expect(first('controls-lead.key-open')).toBe('run-tow-out')
    expect(first('run-tow-switch.open')).toBe('run-tow-out')
    expect(first('charger-interlock.open')).toBe('interlock-out')
    expect(first('direction-switch.microswitch-open')).toBe('direction-out')
    expect(first('pedal-switch.open')).toBe('pedal-out')
    expect(first('coil-feed-lead.open')).toBe('coil-positive')
    expect(first('single-contactor.coil-open')).toBeUndefined()
  })

  it('the pre-charge fills the controller as its divider says', () => {
    const part = (id: string) => one(netlistOf(SEPARATE).parts, id) as unknown as Record<string, number>
    const bleed = part('controller-capacitors')['bleedOhms']!
    const filled = bleed / (bleed + part('precharge-resistor')['ohms']!)
    expect(read('controller-volts.pedal-up', filled * 36.9)).toBe('pack')
    expect(state(SEPARATE, 'precharge-resistor.open', 'controller-volts.pedal-up')).toBe('none')
    expect(state(SEPARATE, 'controller.capacitors-leak', 'controller-volts.pedal-up')).toBe('low')
  })
})

describe('safety of these cars', () => {
  const lampOn = (c: CheckFile) => c.tools?.includes('test-lamp') && c.probes
  const LOGIC =
    /^(controller\.(key-input|pedal-input|forward-input|reverse-input|throttle|sensor|temperature)|throttle\.|speed-sensor\.|encoder\.|temperature-sensor\.)/

  it('puts no lamp on controller logic, and says so wherever a meter goes there', () => {
    for (const c of k.checks) {
      if (!c.probes) continue
      const logic = LOGIC.test(c.probes.red) || LOGIC.test(c.probes.black)
      if (!logic) continue
      expect(lampOn(c) ?? false, c.id).toBe(false)
      if (c.carState?.key === 'on') expect(c.cautions, c.id).toContain('no-lamp-on-logic')
    }
  })

  it('has the capacitors proved dead before ohms at a controller’s power posts', () => {
    const posts = ['measure-field-path', 'measure-armature-path', 'measure-controller-bridge', 'measure-phase-lead.u']
    for (const id of posts) {
      expect(checkOf(id).cautions, id).toContain('capacitors-charged')
      expect(checkOf(id).carState, id).toMatchObject({ pack: 'isolated', key: 'off' })
    }
  })

  it('asks for what the maker’s manual says of a code and lists no code', () => {
    const check = checkOf('read-fault-code')
    expect(check.text.ask).toMatch(/manual/)
    expect(JSON.stringify(check.text)).not.toMatch(/\d/)
  })

  it.each([SEPARATE, AC])('%s: warns of towing whoever may tow it', (drive) => {
    const rule = one(k.caseRules, 'caution-tow')
    expect(holds(rule.conditions, { drive, 'complaint:no-go-silent': true })).toBe(true)
    expect(holds(rule.conditions, { drive: 'resistor-contactor', 'complaint:no-go-silent': true })).toBe(false)
    expect(one(k.cautions, 'tow-as-maker-says').text.plain).toBeTruthy()
  })
})

describe('lithium and sealed packs', () => {
  it.each(['battery-management.asleep', 'battery-management.dead', 'lithium-pack.module-off'])(
    '%s: the lamp is dark, whatever a voltmeter shows',
    (cause) => {
      expect(state(SEPARATE, cause, 'pack-under-lamp')).toBe('dark')
      const volts = causeOf(cause).effects.find((e) => e.observable === 'pack-volts.at-rest')!.states
      expect(volts['full']).toBeDefined()
    },
  )

  it('rest volts do not give charge: the lithium check has one word for part and full', () => {
    const check = checkOf('measure-lithium-pack-volts')
    const sound = check.outcomes.find((o) => o.id === 'as-it-should')!.shows
    expect(sound).toEqual(expect.arrayContaining(['full', 'part']))
    expect(lithiumIronPhosphateCharge(52.8, 16).known).toBe(false)
    const lead = checkOf('measure-pack-volts-at-rest')
    expect(holds(lead.when, { cells: LITHIUM })).toBe(false)
  })

  it.each([
    [LITHIUM, false],
    ['agm-lead', false],
    ['flooded-lead', true],
  ])('hydrometer, water and plates on %s: %s', (cells, asked) => {
    for (const id of ['measure-gravity', 'look-at-plates', 'ask-watering'])
      expect(holds(checkOf(id).when, { cells }), id).toBe(asked)
  })

  it('nothing bridges, opens or charges past the battery management', () => {
    const about = (x: { when?: CheckFile['when'] }) => JSON.stringify(x.when ?? '').includes(LITHIUM)
    for (const c of k.checks.filter(about)) expect(c.carState?.bridged ?? [], c.id).toEqual([])
    const remedies = new Set(
      k.causes.filter((c) => /^(battery-management|lithium-pack)/.test(c.id)).map((c) => c.remedy),
    )
    for (const id of ['wake-lithium-pack', 'charge-lithium-pack', 'exchange-lithium-pack', 'exchange-lithium-module']) {
      expect(remedies).toContain(id)
      expect(one(k.remedies, id).cautions, id).toContain('lithium-no-bypass')
    }
  })

  it('stops at water for everybody, and warns in frost', () => {
    const stop = one(k.caseRules, 'stop-lithium-under-water')
    expect(holds(stop.conditions, { cells: LITHIUM, role: 'technician', 'circumstance:after-water': true })).toBe(true)
    expect(stop.event.type).toBe('stop')
    const cold = one(k.caseRules, 'caution-lithium-cold')
    expect(holds(cold.conditions, { cells: LITHIUM, 'circumstance:when-cold': true })).toBe(true)
    expect(holds(cold.conditions, { cells: 'flooded-lead', 'circumstance:when-cold': true })).toBe(false)
  })
})

describe('how much there is', () => {
  const families = (list: { id: string; when?: CheckFile['when'] }[], word: string) =>
    new Set(
      list
        .filter((x) => JSON.stringify(x.when ?? '').includes(word))
        .map((x) => k.familyOf.get(x.id) ?? x.id.replace(/[-.](\d|[uvw])(?=[-.]|$)/, '')),
    ).size
  it('25 causes and more for a separate field, 20 and more for AC, 8 and more for lithium and sealed packs', () => {
    expect(families(k.causes, SEPARATE)).toBeGreaterThanOrEqual(25)
    expect(families(k.causes, AC)).toBeGreaterThanOrEqual(20)
    expect(families(k.causes, LITHIUM) + families(k.causes, 'agm-lead')).toBeGreaterThanOrEqual(8)
  })
})
