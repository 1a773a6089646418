import { z } from 'zod'
import { writeOut } from '../schema/siblings.ts'
import { WiringError } from './errors.ts'

/**
 * A netlist: one car family's (or charger's) circuit as data, in rules/knowledge/netlists/<family>.json. Parts carry the
 * trade's names; a node is named after the thing that a probe is put on. Units: volts, ohms, amperes, watts, farads,
 * henries, metres. See README.md beside this file.
 */
const id = z.string().regex(/^[a-z0-9{}]+([-.][a-z0-9{}]+)*$/, 'lower-case words joined by "-", parts by "."')
const pair = z.tuple([id, id])
const ohms = z.number().positive()
const word = z.union([z.string(), z.number(), z.boolean()])

/** Values that a car fact must have: `{"fieldBypass": [true]}`. */
const factCondition = z.record(z.string(), z.array(word).min(1))
/** Values that a car state must have: `{"key": ["on"], "step": {"atLeast": 3}}`. */
const stateCondition = z.record(z.string(), z.union([z.array(word).min(1), z.strictObject({ atLeast: z.number() })]))

const common = {
  id,
  for: z
    .array(z.record(z.string(), z.union([z.string(), z.number()])))
    .min(2)
    .optional(),
  when: factCondition.optional().describe('the cars that have this part; without it, all'),
  spread: z.number().min(0).max(2).optional().describe('relative standard deviation of the value from car to car'),
  source: z.string().min(3).optional(),
}

const pack = z.strictObject({
  ...common,
  kind: z.literal('pack'),
  positive: id,
  negative: id,
  ohmsPerVolt: z.number().positive().describe('internal resistance of a block, per volt of its nominal volts'),
  jointOhms: ohms.describe('one cable and its two terminals between blocks'),
})
const cable = z.strictObject({
  ...common,
  kind: z.literal('cable'),
  from: id,
  to: id,
  metres: z.number().positive().optional(),
  gauge: z
    .string()
    .regex(/^(AWG [1-4]\/0|AWG \d{1,2}|\d+(\.\d+)? mm2)$/, 'write "AWG 6" or "16 mm2"')
    .optional(),
  ohms: ohms.optional(),
  isolates: z.boolean().optional().describe('this lead is the one taken off to isolate the pack'),
})
const resistor = z.strictObject({ ...common, kind: z.literal('resistor'), from: id, to: id, ohms })
const fuse = z.strictObject({ ...common, kind: z.literal('fuse'), from: id, to: id, ohms })
const lamp = z.strictObject({ ...common, kind: z.literal('lamp'), from: id, to: id, watts: z.number().positive() })
const switchPart = z.strictObject({
  ...common,
  kind: z.literal('switch'),
  from: id,
  to: id,
  ohms,
  closed: stateCondition,
})
const contactor = z.strictObject({
  ...common,
  kind: z.literal('contactor'),
  coil: pair,
  contacts: pair,
  rest: z.enum(['open', 'closed']).default('open'),
  watts: z.number().positive().describe('of the coil at the nominal pack volts'),
  pullIn: z.number().positive().max(1).describe('fraction of nominal pack volts'),
  dropOut: z.number().positive().max(1).describe('fraction of nominal pack volts'),
  ohms: ohms.describe('of the closed contacts'),
})
const motor = z.strictObject({
  ...common,
  kind: z.literal('motor'),
  excitation: z.enum(['series', 'separate']),
  armature: pair,
  field: pair,
  armatureOhms: ohms,
  fieldOhms: ohms,
  fieldAmps: z.number().positive().optional().describe('separate field: the current at which `amps` holds'),
  amps: z.strictObject({ raised: z.number().positive(), rolling: z.number().positive() }),
})
const diode = z.strictObject({ ...common, kind: z.literal('diode'), anode: id, cathode: id })
const capacitor = z.strictObject({
  ...common,
  kind: z.literal('capacitor'),
  from: id,
  to: id,
  farads: z.number().positive(),
  bleedOhms: ohms.optional(),
})
const winding = z.strictObject({
  ...common,
  kind: z.literal('winding'),
  from: id,
  to: id,
  ohms,
  henries: z.number().positive(),
})
const throttle = z.strictObject({
  ...common,
  kind: z.literal('throttle'),
  from: id,
  to: id,
  wiper: id.optional().describe('three-wire: a divider from `from` to `to`, at `restOhms` to `fullOhms` from `to`'),
  totalOhms: ohms.optional(),
  restOhms: ohms,
  fullOhms: ohms,
})
const need = z.strictObject({
  across: pair,
  atLeast: z.number().describe('volts, or with `ofPack` a fraction of the nominal pack volts'),
  ofPack: z.boolean().default(false),
  alternating: z.boolean().default(false),
  why: z.string().describe('what is missing when it is not there'),
})
const controllerOutput = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('chopper'),
    output: id,
    ohms,
    amps: z.number().positive().describe('current limit'),
  }),
  z.strictObject({
    kind: z.literal('field'),
    outputs: pair,
    ohms,
    fraction: z.number().positive().describe('of the supply volts, at any demand above nothing'),
    reversedBy: stateCondition,
  }),
  z.strictObject({
    kind: z.literal('phases'),
    outputs: z.tuple([id, id, id]),
    ohms,
    hertz: z.number().positive(),
    watts: z.number().positive().describe('what it draws from the pack at full demand, wheels raised'),
    fraction: z.number().positive().describe('line to line rms over supply volts at full demand'),
  }),
])
const controller = z.strictObject({
  ...common,
  kind: z.literal('controller'),
  positive: id,
  negative: id,
  needs: z.array(need),
  inputs: z
    .array(z.strictObject({ at: id, ohms }))
    .default([])
    .describe('what each logic input draws to the negative'),
  throttle: z.strictObject({
    between: pair,
    volts: z.number().positive().describe('open-circuit volts of the throttle input'),
    ohms: ohms.describe('source resistance of the throttle input'),
    rest: z.number().min(0).max(1).describe('fraction of `volts` at which the demand begins'),
    full: z.number().min(0).max(1),
    bounds: z
      .tuple([z.number(), z.number()])
      .describe('outside these fractions the controller calls the throttle faulty'),
    highPedal: z.boolean().describe('refuses to run if the throttle asks for speed with the pedal up'),
  }),
  outputs: z.array(controllerOutput).min(1),
  creep: z.number().min(0).max(1).default(0.1),
})
const supply = z.strictObject({ ...common, kind: z.literal('supply'), line: id, neutral: id, ohms, on: stateCondition })
const transformer = z.strictObject({
  ...common,
  kind: z.literal('transformer'),
  primary: pair,
  primaryOhms: ohms,
  henries: z.number().positive().describe('magnetising, at 120 V; grows with the square of the supply volts'),
  secondaries: z.array(
    z.strictObject({
      name: z.string(),
      from: id,
      to: id,
      ohms: ohms.describe('what an ohmmeter reads; the resistance of the copper'),
      ballastOhms: ohms.describe('what limits the current when it runs, with the leakage, as a resistance'),
      perPackVolt: z.number().positive().describe('open-circuit rms volts over nominal pack volts'),
    }),
  ),
  resonant: z
    .strictObject({ capacitor: id, farads: z.number().positive(), without: z.number().min(0).max(1) })
    .optional()
    .describe(
      'ferroresonant: the secondaries keep their volts while the supply varies, and lose them with the capacitor',
    ),
})
const regulated = z.strictObject({
  ...common,
  kind: z.literal('regulated'),
  positive: id,
  negative: id,
  amps: z.number().positive(),
  volts: z.number().positive().describe('constant-voltage limit'),
  voltsOfPack: z.boolean().default(false),
  ohms: ohms.describe('output resistance at the voltage limit'),
  needs: z.array(need),
  input: z.strictObject({ from: id, to: id, ohms }).optional(),
})

export const part = z.discriminatedUnion('kind', [
  pack,
  cable,
  resistor,
  fuse,
  lamp,
  switchPart,
  contactor,
  motor,
  diode,
  capacitor,
  winding,
  throttle,
  controller,
  supply,
  transformer,
  regulated,
])

/** What a cause does to one part. `what` picks a piece of it (`contacts`, `coil`, `armature`, `field`, `joint-2`, ...). */
const edit = z.strictObject({
  part: id,
  when: factCondition.optional().describe('only in cars with these facts'),
  what: z.string().optional(),
  is: z.enum(['open', 'short', 'added-ohms', 'stuck-closed', 'stuck-open', 'times', 'set']),
  by: z.number().optional().describe('added-ohms: ohms; times: factor; set: the new value'),
  value: z.string().optional().describe('times, set: which value, such as `ohms`, `amps`, `turns`, `pullIn`, `volts`'),
})
const joined = z.strictObject({ join: pair, ohms })
const change = z.strictObject({
  cause: id,
  for: common.for,
  when: factCondition.optional(),
  is: z.array(z.union([edit, joined])).min(1),
  note: z.string().optional(),
})

export const netlistFile = z.strictObject({
  $schema: z.string().optional(),
  family: id,
  kind: z.enum(['drive', 'charger']),
  about: z.string().min(10),
  source: z.string().min(3),
  reference: id.describe('the node that node voltages are counted from'),
  states: z
    .record(z.string(), z.array(word).min(1))
    .describe('car states that matter here and their values, first = usual'),
  facts: z.record(z.string(), word).describe('car facts that matter here, and what is taken when one is unknown'),
  parts: z.array(part).min(1),
  changes: z.array(change),
  notHere: z
    .array(z.strictObject({ cause: id, why: z.string() }))
    .optional()
    .describe('causes that this circuit does not show, and why'),
})

export type Part = z.infer<typeof part>
export type PartOf<K extends Part['kind']> = Extract<Part, { kind: K }>
export type Edit = z.infer<typeof edit>
export type Join = z.infer<typeof joined>
export type Change = Omit<z.infer<typeof change>, 'for'>
export type StateCondition = z.infer<typeof stateCondition>
export type FactCondition = z.infer<typeof factCondition>
export type Need = z.infer<typeof need>
export type ControllerOutput = z.infer<typeof controllerOutput>
export type NetlistFile = z.infer<typeof netlistFile>
/** A checked netlist, numbered siblings written out. */
export type Netlist = Omit<NetlistFile, 'changes'> & { changes: Change[]; change: ReadonlyMap<string, Change> }

/** Nodes that a part touches, in the order of its fields. */
export function nodesOf(p: Part): string[] {
  switch (p.kind) {
    case 'pack':
    case 'regulated':
      return [p.positive, p.negative, ...('input' in p && p.input ? [p.input.from, p.input.to] : [])]
    case 'contactor':
      return [...p.coil, ...p.contacts]
    case 'motor':
      return [...p.armature, ...p.field]
    case 'diode':
      return [p.anode, p.cathode]
    case 'controller':
      return [
        p.positive,
        p.negative,
        ...p.inputs.map((i) => i.at),
        ...p.throttle.between,
        ...p.outputs.flatMap((o) => (o.kind === 'chopper' ? [o.output] : [...o.outputs])),
      ]
    case 'supply':
      return [p.line, p.neutral]
    case 'transformer':
      return [...p.primary, ...p.secondaries.flatMap((s) => [s.from, s.to])]
    case 'throttle':
      return p.wiper === undefined ? [p.from, p.to] : [p.from, p.to, p.wiper]
    default:
      return [p.from, p.to]
  }
}

/**
 * Checks a netlist and writes its siblings out.
 *
 * @param json parsed JSON of a file of rules/knowledge/netlists
 * @throws WiringError `impossible-netlist` or `unknown-part`, naming the JSON path
 */
export function parseNetlist(json: unknown): Netlist {
  const parsed = netlistFile.safeParse(json)
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!
    throw new WiringError(
      'impossible-netlist',
      `$${issue.path.map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`)).join('')}`,
      issue.message,
      'See "How to add a part" in rules/wiring/README.md',
    )
  }
  const file = parsed.data
  const parts = file.parts.flatMap((p) => writeOut(p) as Part[])
  const changes = file.changes.flatMap((c) => writeOut(c) as Change[])
  checkParts(parts)
  const change = new Map<string, Change>()
  const ids = new Set(parts.map((p) => p.id))
  for (const c of changes) {
    if (change.has(c.cause)) {
      throw new WiringError('impossible-netlist', c.cause, 'two changes stand for this cause', 'Keep one of them')
    }
    change.set(c.cause, c)
    for (const e of c.is) {
      if (!('part' in e) || ids.has(e.part)) continue
      throw new WiringError('unknown-part', c.cause, `there is no part "${e.part}"`, 'Name a part of this netlist')
    }
  }
  const touched = new Set(parts.flatMap(nodesOf))
  if (!touched.has(file.reference)) {
    throw new WiringError(
      'impossible-netlist',
      file.reference,
      'no part touches the reference node',
      'Name another one',
    )
  }
  return { ...file, parts, changes, change }
}

function checkParts(parts: readonly Part[]): void {
  const seen = new Map<string, Part>()
  for (const p of parts) {
    const twin = seen.get(p.id)
    // Two parts of one name are one part built in two ways, as long as no car has both.
    if (twin && !(twin.when && p.when && exclusive(twin.when, p.when))) {
      throw new WiringError('impossible-netlist', p.id, 'two parts of this name in one car', 'Rename one of them')
    }
    seen.set(p.id, p)
    if (p.kind === 'cable' && (p.ohms === undefined) === (p.gauge === undefined || p.metres === undefined)) {
      throw new WiringError(
        'impossible-netlist',
        p.id,
        'a cable has either gauge and metres, or ohms',
        'Give one of them',
      )
    }
    if (p.kind === 'contactor' && p.dropOut >= p.pullIn) {
      throw new WiringError(
        'impossible-netlist',
        p.id,
        'a contactor drops out at fewer volts than it pulls in at',
        'Make dropOut less than pullIn',
      )
    }
    const [a, b] = nodesOf(p)
    if (a === b) {
      throw new WiringError('impossible-netlist', p.id, 'both its ends are on one node', 'Put its ends on two nodes')
    }
  }
}

function exclusive(a: FactCondition, b: FactCondition): boolean {
  return Object.keys(a).some((fact) => b[fact]?.every((value) => !a[fact]!.includes(value)) ?? false)
}
