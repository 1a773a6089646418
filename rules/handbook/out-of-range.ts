/**
 * A value that a formula cannot take. `quantity` names the input in plain English, `value` is what was given,
 * `message` says what was wrong and what to do. Thrown, never returned: a typed reading has been checked long
 * before (see `reading/`), so here it is a fault of the caller or of the knowledge.
 */
export class OutOfRange extends RangeError {
  readonly quantity: string
  readonly value: number

  constructor(quantity: string, value: number, advice: string) {
    super(`${quantity} is ${value}: ${advice}`)
    this.name = 'OutOfRange'
    this.quantity = quantity
    this.value = value
  }
}

/** Returns `value` if it is a finite number from `min` to `max`; throws OutOfRange otherwise. */
export function within(quantity: string, value: number, min: number, max: number, unit: string): number {
  if (!Number.isFinite(value) || value < min || value > max) {
    const unitText = unit === '' ? '' : ` ${unit}`
    const limits = max === Number.POSITIVE_INFINITY ? `${min}${unitText} or more` : `from ${min} to ${max}${unitText}`
    throw new OutOfRange(quantity, value, `it must be a number, ${limits}. Check the reading and its unit.`)
  }
  return value
}

/** Returns `value` if it is finite and above zero; throws OutOfRange otherwise. */
export function positive(quantity: string, value: number, unit: string): number {
  if (!Number.isFinite(value) || value <= 0) {
    throw new OutOfRange(quantity, value, `it must be a number above 0 ${unit}. Check the reading and its unit.`)
  }
  return value
}
