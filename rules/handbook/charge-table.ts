import { lookUp, type TableRow } from './table.ts'

/** State of charge, per cent, over rest volts of one cell and, where a cell can be opened, over specific gravity. */
export interface ChargeTable {
  readonly id: 'flooded-1.265' | 'deep-cycle-1.277' | 'agm'
  readonly source: string
  /** `[volts of one cell at rest, per cent]` */
  readonly voltsPerCell: readonly TableRow[]
  /** `[specific gravity, per cent]` */
  readonly gravity?: readonly TableRow[]
}

/** `percent` is a figure, or the most or least that it can be (readings beyond an end of the table). */
export interface KnownCharge {
  readonly known: true
  readonly percent: number
  readonly bound: 'exact' | 'at-least' | 'at-most'
  readonly source: string
}

/** The reading cannot give the charge; `reason` says why and what to do instead, in plain English. */
export interface UnknownCharge {
  readonly known: false
  readonly code: 'volts-do-not-give-charge' | 'not-rested' | 'surface-charge' | 'no-gravity-table'
  readonly reason: string
}

export type StateOfCharge = KnownCharge | UnknownCharge

/** Reads `rows` at `x` as a state of charge. */
export function chargeFromRows(rows: readonly TableRow[], x: number, source: string): KnownCharge {
  const { y, place } = lookUp(rows, x)
  const bound = place === 'inside' || y === 100 ? 'exact' : 'at-most'
  return { known: true, percent: y, bound, source }
}
