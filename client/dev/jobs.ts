import type { Noted, Work } from '../../rules/protocol/index.ts'
import { AT, finding } from './fixtures.ts'

/** A job at each of its steps, from the yes to the closed card, as the server's messages have them. */
const CONTACTOR = { remedy: 'replace-contactor', name: 'Replace contactor 4' }
const stamp = (seq: number) => ({ seq, by: 'technician' as const, at: AT })

const ASKED: [root: string, name: string, ask: string][] = [
  ['contacts-worn', 'Contacts at the end of their life', 'Age and starts; stop-and-go work?'],
  [
    'motor-grounded',
    'Motor shorted, or shorted to its case',
    'Leads off: windings to the case and to each other, as the maker says?',
  ],
  [
    'contactor-diode-missing',
    'Diode or resistor across the coil missing',
    'Is the part across each coil there and the right way round?',
  ],
  ['lug-loose', 'Lug loose', 'Is any power lug loose, or under the maker’s torque?'],
  ['brakes-dragging', 'Brakes drag', 'Both wheels free by hand with the brake off, drums cold after a drive?'],
]
const LIST = [
  ['torque', 'Every fastening that was undone is tightened to the maker’s torque'],
  ['bridges-out', 'Every test bridge is out'],
  ['leads-back', 'Every lifted lead is back'],
  ['brake-test', 'Brake test, before anybody drives'],
  ['road-test', 'Road test with load'],
  ['charge-cycle', 'A charge begins and ends by itself'],
] as const

export const askWhy: NonNullable<Noted['askWhy']> = ASKED.map(([root, name, ask]) => ({ root, name, ask, first: true }))

export const agreed: Work['approved'][number] = {
  ...stamp(20),
  remedies: [CONTACTOR],
  upTo: 150,
  currency: 'EUR',
  way: 'by-phone',
  text: 'Robin, before noon',
  inForce: true,
}

export const refusal: Work['declined'][number] = {
  ...stamp(21),
  remedies: [CONTACTOR],
  text: 'Robin: too dear this year',
}

/** @param roots how many are answered @param items how many of the list are gone through */
export function work(roots: number, items: number, more: Partial<Work> = {}): Work {
  return {
    contact: { name: 'Robin at the boathouse', phone: '555-0117' },
    approved: [agreed],
    declined: [],
    upTo: 150,
    rootCauses: ASKED.slice(0, roots).map(([root, name], i) => ({
      ...stamp(21 + i),
      root,
      name,
      found: i === 0 ? 'yes' : i === 2 ? 'not-looked' : 'no',
      ...(i === 0 ? { text: 'eleven years, all of them on the beach run' } : {}),
    })),
    handBack: LIST.map(([item, name], i) => ({
      item,
      name,
      ...(i < items ? { result: item === 'bridges-out' ? ('not-needed' as const) : ('done' as const) } : {}),
      ...(i < items && item === 'torque' ? { text: '7 Nm' } : {}),
    })),
    ...more,
  }
}

/** What is left after so many answers and items. */
export function toDo(yes: boolean, roots: number, items: number, repaired = false): NonNullable<Noted['toDo']> {
  const { remedy, name } = CONTACTOR
  return [
    ...(yes ? [] : [{ what: 'approve' as const, before: 'repaired' as const, remedy, text: `A yes to: ${name}` }]),
    ...(repaired ? [] : ASKED.slice(roots)).map(([root, why]) => ({
      what: 'root-cause' as const,
      before: 'repaired' as const,
      remedy,
      root,
      text: `Why it failed: ${why}`,
    })),
    ...LIST.slice(items).map(([item, text]) => ({
      what: 'hand-back' as const,
      before: 'sign-off' as const,
      item,
      text,
    })),
  ]
}

export const repaired = [{ ...CONTACTOR, seq: 30 }]
export const foundAgain = { ...finding, remedy: { ...finding.remedy!, id: CONTACTOR.remedy, name: CONTACTOR.name } }
export const signedOff: Work['signedOff'] = { ...stamp(44), charged: 132.5, currency: 'EUR', text: 'Ready at the gate' }
