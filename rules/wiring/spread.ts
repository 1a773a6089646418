/**
 * How far a part's value is from its nominal one, from car to car: relative standard deviation. Estimates, no source,
 * unless a part of a netlist says its own.
 */
export const SPREAD = {
  pack: 0.2,
  joint: 0.5,
  cable: 0.1,
  resistor: 0.03,
  fuse: 0.3,
  lamp: 0.1,
  switch: 0.5,
  contactor: 0.5,
  coil: 0.07,
  motor: 0.1,
  /** current of an unloaded or rolling motor */
  load: 0.1,
  diode: 0,
  capacitor: 0.1,
  winding: 0.1,
  throttle: 0.1,
  controller: 0.05,
  supply: 0.03,
  transformer: 0.05,
  regulated: 0.03,
  /** ohms that a fault adds */
  fault: 0.5,
} as const
