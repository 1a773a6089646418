import { parseArgs } from 'node:util'
import type { CarFacts } from '../../rules/schema/car.ts'
import type { WiringState } from '../../rules/wiring/circuit.ts'
import { placesOf } from '../../rules/wiring/circuit.ts'
import { WiringError } from '../../rules/wiring/errors.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
import { predict } from '../../rules/wiring/predict.ts'
import { show } from '../../rules/wiring/show.ts'

const HELP = `npm run --silent meter -- --family F --red NODE --black NODE [...]

What each instrument shows between two points of a car.
  --family F     ${NETLIST_FAMILIES.join(', ')}
  --red, --black points of the wiring; --nodes lists them
  --cause C      with this fault (default: nothing wrong); --causes lists them
  --volts N      nominal pack volts (default 36)
  --measured N   pack volts as measured at rest
  --step N       pedal step, 0 = up; without it every step is shown
  --wheels W     raised, on-ground, rolling, stalled (default raised)
  --key on|off   default on; off with the pack isolated for ohms
  --direction D  forward, reverse, neutral (default forward)
  --json         one JSON object a line
  --help         this`

function flags() {
  try {
    return parseArgs({
      options: {
        family: { type: 'string', default: 'resistor-contactor' },
        red: { type: 'string' },
        black: { type: 'string' },
        cause: { type: 'string' },
        volts: { type: 'string', default: '36' },
        measured: { type: 'string' },
        step: { type: 'string' },
        wheels: { type: 'string', default: 'raised' },
        key: { type: 'string', default: 'on' },
        direction: { type: 'string', default: 'forward' },
        nodes: { type: 'boolean', default: false },
        causes: { type: 'boolean', default: false },
        json: { type: 'boolean', default: false },
        help: { type: 'boolean', short: 'h', default: false },
      },
    }).values
  } catch (error) {
    console.error(`${(error as Error).message}\n\n${HELP}`)
    process.exit(2)
  }
}

const values = flags()
if (values.help) {
  console.log(HELP)
  process.exit(0)
}

function number(name: string, text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const n = Number(text)
  if (text.trim() !== '' && Number.isFinite(n)) return n
  console.error(`--${name} takes a number, not "${text}"`)
  process.exit(2)
}

try {
  const netlist = netlistOf(values.family)
  const measured = number('measured', values.measured)
  const facts = {
    packVolts: number('volts', values.volts) as CarFacts['packVolts'],
    ...(measured === undefined ? {} : { measuredPackVolts: measured }),
  }
  if (values.nodes) {
    console.log(placesOf(netlist, facts).nodes.sort().join('\n'))
    process.exit(0)
  }
  if (values.causes) {
    console.log([...netlist.change.keys()].sort().join('\n'))
    process.exit(0)
  }
  const { red, black, cause } = values
  if (!red || !black) {
    console.error(`--red and --black say where the probes go; --nodes lists the points\n\n${HELP}`)
    process.exit(2)
  }
  const one = number('step', values.step)
  const steps = one === undefined ? [0, 1, 2, 3, 4, 5] : [one]
  const dead = values.key === 'off'
  for (const step of dead ? [0] : steps) {
    const carState: WiringState = dead
      ? { key: 'off', direction: 'neutral', pack: 'isolated', wheels: values.wheels }
      : { key: values.key, direction: values.direction, wheels: values.wheels, step }
    const instruments = dead ? (['ohmmeter', 'continuity'] as const) : (['voltmeter', 'test-lamp'] as const)
    for (const instrument of instruments) {
      const prediction = predict(netlist, { facts, cause, carState, instrument, red, black })
      if (values.json) console.log(JSON.stringify({ step, instrument, cause: cause ?? null, red, black, prediction }))
      else console.log(`${dead ? 'dead  ' : `step ${step}`}  ${instrument.padEnd(10)}  ${show(prediction)}`)
    }
  }
} catch (error) {
  if (!(error instanceof WiringError)) throw error
  console.error(error.message)
  process.exit(1)
}
