import { z } from 'zod'

/** The words of the car facts and the car state. They are the trade's; makers and models are not facts here. */
export const DRIVES = [
  'resistor-sliding',
  'resistor-contactor',
  'series-controller',
  'separate-field-controller',
  'ac-controller',
] as const

/** Facts about the car as built; every one may be unknown. `blocks` is written `6x6` (count x volts), `16s` for cells in series. */
export const carFacts = z
  .strictObject({
    drive: z.enum(DRIVES),
    packVolts: z.union([z.literal(24), z.literal(36), z.literal(48), z.literal(72)]),
    blocks: z
      .string()
      .regex(/^\d{1,2}(x\d{1,2}|s)$/, 'count x volts, such as "6x6", or the cells in series, such as "16s"'),
    cells: z.enum(['flooded-lead', 'agm-lead', 'lithium-iron-phosphate']),
    steps: z.number().int().min(2).max(8),
    charger: z.enum(['transformer-timer', 'transformer-automatic', 'high-frequency']),
    chargerPlace: z.enum(['on-board', 'off-board']),
    chargeControl: z.enum(['charger', 'car', 'battery-management']),
    supplyVolts: z.union([z.literal(120), z.literal(230)]),
    throttle: z.enum(['rising-resistance', 'falling-resistance', 'three-wire-voltage', 'inductive', 'none']),
    brake: z.enum(['cable', 'hydraulic', 'electric-parking']),
    runTow: z.boolean(),
    fieldBypass: z.boolean(),
    mainFuse: z.boolean(),
    accessorySupply: z.enum(['converter', 'tapped']),
    changed: z.string().max(400),
  })
  .partial()

export type CarFacts = z.infer<typeof carFacts>
export type CarFactName = keyof CarFacts
export const CAR_FACT_NAMES = Object.keys(carFacts.shape) as CarFactName[]

/** What is true of the car now and stays so until somebody changes it. */
export const carState = z
  .strictObject({
    wheels: z.enum(['on-ground', 'raised']),
    key: z.enum(['off', 'on']),
    direction: z.enum(['neutral', 'forward', 'reverse']),
    runTow: z.enum(['run', 'tow']),
    pack: z.enum(['connected', 'isolated']),
    charger: z.enum(['unplugged', 'plugged-in']),
    /** parts whose leads are lifted, by component id */
    lifted: z.array(z.string().max(60)).max(20),
    /** parts bridged for a test, by component id; a case with one cannot be closed */
    bridged: z.array(z.string().max(60)).max(5),
  })
  .partial()

export type CarState = z.infer<typeof carState>

export const TOOLS = [
  'test-lamp',
  'ohmmeter',
  'voltmeter',
  'clamp-ammeter',
  'hydrometer',
  'insulation-tester',
  'load-tester',
  'thermometer',
  'wheel-stands',
  'hand-tools',
  'feeler-gauge',
] as const

export const UNITS = ['V', 'mV', 'Ω', 'kΩ', 'MΩ', 'A', 'SG', '°C', 'min', 'mm', 'µF', '%'] as const
export type Unit = (typeof UNITS)[number]
