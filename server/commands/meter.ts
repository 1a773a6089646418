import { parseArgs } from 'node:util'
import type { CarFacts } from '../../rules/schema/car.ts'
import type { WiringState } from '../../rules/wiring/circuit.ts'
import { placesOf } from '../../rules/wiring/circuit.ts'
import { WiringError } from '../../rules/wiring/errors.ts'
import { deadAt, deadState, liveAt } from '../../rules/wiring/meter.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'
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
  --key on|off   default on; off: ohms and continuity, the pack isolated
  --direction D  forward, reverse, neutral (default forward)
  --json         one JSON object a line
  --help         this`

// Piped into something that reads a few lines and goes, as head does: no more is wanted.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error
  process.exit(0)
})

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

/** A charger is looked at while it charges. */
const CHARGING = { supply: 'on', pack: 'connected', timer: 'wound' }

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
  const steps = one === undefined && netlist.kind === 'drive' ? [0, 1, 2, 3, 4, 5] : [one ?? 0]
  const dead = values.key === 'off'
  for (const step of dead ? [0] : steps) {
    const carState: WiringState = dead
      ? deadState(netlist, { wheels: values.wheels })
      : {
          key: values.key,
          direction: values.direction,
          wheels: values.wheels,
          step,
          ...(netlist.kind === 'charger' ? CHARGING : {}),
        }
    for (const { instrument, prediction, around } of (dead ? deadAt : liveAt)(netlist, {
      facts,
      cause,
      carState,
      red,
      black,
    })) {
      const where = around === undefined ? {} : { around }
      if (values.json)
        console.log(JSON.stringify({ step, instrument, cause: cause ?? null, red, black, ...where, prediction }))
      else {
        const at = around === undefined ? '' : ` round ${around}`
        console.log(`${dead ? 'dead  ' : `step ${step}`}  ${instrument.padEnd(13)}  ${show(prediction)}${at}`)
      }
    }
  }
} catch (error) {
  if (!(error instanceof WiringError)) throw error
  console.error(error.message)
  process.exit(1)
}
