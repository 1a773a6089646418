import type { StepPlot } from '../../protocol/index.ts'
import type { CheckFile } from '../../schema/knowledge.ts'
import type { WiringFacts, WiringState } from '../../wiring/circuit.ts'
import { type StepRow, voltsByStep } from '../../wiring/meter.ts'
import { wiringNames } from '../../wiring/names.ts'
import type { Netlist } from '../../wiring/netlist.ts'
import type { Given } from '../case-state.ts'
import type { Names } from './names.ts'

export interface PlotQuestion {
  facts: WiringFacts
  carState: WiringState
  red: string
  black: string
  steps: readonly number[]
  /** drawn beside the sound car's */
  cause?: { id: string; name: string } | undefined
  /** the check that reads each step, where one does */
  checks?: readonly CheckFile[]
}

/** Volts click by click between two points: as they should be on this car, as a fault would make them, as measured. */
export function stepPlot(netlist: Netlist, q: PlotQuestion, given: readonly Given[], names: Names): StepPlot {
  const { t, number } = names
  const w = wiringNames(names.language)
  const probes = { facts: q.facts, carState: q.carState, red: q.red, black: q.black }
  const sound = voltsByStep(netlist, probes, q.steps)
  const faulty = q.cause ? voltsByStep(netlist, { ...probes, cause: q.cause.id }, q.steps) : undefined
  const rows = sound.map(({ step, volts }, i) => {
    const check = q.checks?.find((c) => c.step === step)
    const read = check && given.find((g) => g.check === check.id && !g.stale)?.reading
    const fault = faulty?.[i]?.volts?.mean
    return {
      step,
      ...(check ? { check: check.id } : {}),
      ...(volts ? { expected: { mean: round(volts.mean), low: round(volts.low), high: round(volts.high) } } : {}),
      // Where the fault reads like a sound car there is nothing to tell them apart by, and nothing to draw.
      ...(fault !== undefined && differs(volts, fault) ? { fault: round(fault) } : {}),
      ...(read?.unit === 'V' ? { measured: read.value } : {}),
    }
  })
  const [red, black] = [w.node(q.red), w.node(q.black)]
  return {
    title: t('plot.title', { red, black }),
    unit: 'V',
    red,
    black,
    rows,
    ...(q.cause && rows.some((r) => r.fault !== undefined) ? { fault: q.cause } : {}),
    say: rows.map((r) =>
      [
        t('plot.step', { step: r.step }),
        r.expected
          ? t('plot.expected', { low: number(r.expected.low), high: number(r.expected.high) })
          : t('plot.nothing'),
        r.measured === undefined
          ? ''
          : t('plot.measured', {
              volts: number(r.measured),
              where: !r.expected
                ? 'in'
                : r.measured < r.expected.low
                  ? 'below'
                  : r.measured > r.expected.high
                    ? 'above'
                    : 'in',
            }),
        r.fault === undefined || !q.cause ? '' : t('plot.fault', { volts: number(r.fault), cause: q.cause.name }),
      ]
        .filter(Boolean)
        .join(' '),
    ),
  }
}

const round = (volts: number) => Number(volts.toPrecision(3))

function differs(volts: StepRow['volts'], fault: number): boolean {
  return volts === undefined || Math.abs(fault - volts.mean) > 0.25 * (volts.high - volts.low)
}
