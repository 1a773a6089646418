import type { CaseRecord, Catalogue, Counts, ListedCase, Settings } from '../elements/desk/data.ts'
import { blocks, busBarDrawn } from './drawn-fixtures.ts'
import * as f from './fixtures.ts'

/** What the shop's API would say, of an invented garage: for the gallery and its tests. */
const AT = '2026-11-24T09:30:00.000Z'
const later = (minutes: number) => new Date(Date.parse(AT) + minutes * 60_000).toISOString()

export const settings: Settings = {
  id: 'demo',
  name: 'Larch Lake holiday park garage',
  phone: '555-0142',
  hours: 'Monday to Saturday, 8 to 5',
  currency: 'EUR',
  ratePerHour: 72,
  retentionDays: 400,
  origins: ['https://larch-lake.example'],
}

const listed = (more: Partial<ListedCase>): ListedCase => ({
  case: 'case-1',
  code: 'K7-204',
  status: 'open',
  tag: 'Car 17',
  openedAt: AT,
  changedAt: later(50),
  complaints: [{ id: 'jerks-on-acceleration', name: 'Jerks on acceleration' }],
  causes: [{ id: 'contactor-4.contacts-open', name: 'Contactor 4: contacts do not carry' }],
  repaired: [],
  answers: 5,
  minutesToFinding: 14,
  earlierVisits: 0,
  ...more,
})

export const cases: ListedCase[] = [
  listed({ earlierVisits: 1, status: 'closed', signedOffAt: later(70), closedAt: later(71) }),
  listed({
    case: 'case-2',
    code: 'B2-118',
    tag: 'Car 8',
    complaints: [{ id: 'charger-dead', name: 'Charger does nothing' }],
    causes: [],
    minutesToFinding: undefined,
  }),
  listed({ case: 'case-3', code: 'F4-731', tag: undefined, complaints: [], causes: [], minutesToFinding: undefined }),
]

export const counts: Counts = {
  cases: 40,
  open: 6,
  closed: 34,
  cameBack: 3,
  byCause: [
    { id: 'contactor-4.contacts-open', name: 'Contactor 4: contacts do not carry', count: 11 },
    { id: 'pack.joint-open', name: 'Pack: a joint or link open', count: 4 },
  ],
  byComplaint: [{ id: 'jerks-on-acceleration', name: 'Jerks on acceleration', count: 13 }],
  minutesToFinding: { cases: 31, median: 14, mean: 19, most: 118 },
}

export const catalogue: Catalogue = {
  causes: [{ id: 'contactor-4.contacts-open', name: 'Contactor 4: contacts do not carry' }],
  complaints: [{ id: 'jerks-on-acceleration', name: 'Jerks on acceleration' }],
  remedies: [
    { id: 'replace-contactor-4', name: 'Replace contactor 4', minutes: 35, part: 'contactor', low: 35, high: 80 },
    { id: 'mend-pack-joint', name: 'Mend the joint', minutes: 20, part: 'lug', low: 4, high: 12 },
  ],
}

const stamp = (seq: number) => ({ seq, by: 'technician' as const, at: later(seq), who: 'p-sam' })
const remedies = [{ remedy: 'replace-contactor-4', name: 'Replace contactor 4' }]
const HAND_BACK = [
  ['torque', 'Every fastening that was undone is tightened to the maker’s torque'],
  ['bridges-out', 'Every test bridge is out'],
  ['leads-back', 'Every lifted lead is back'],
  ['brake-test', 'Brake test, before anybody drives'],
  ['road-test', 'Road test with load'],
  ['charge-cycle', 'A charge begins and ends by itself'],
] as const
const trail = f.technicianTrail.map((item, i) => ({ ...item, seq: i + 2, at: later(2 * i) }))
const proofItem = {
  ...trail[2]!,
  check: 'measure-bus-bar-volts-step-4',
  question: 'What does the bus bar read at the fourth click?',
  answer: '33.8 V',
  reading: { value: 33.8, unit: 'V' as const, instrument: 'voltmeter' as const },
  seq: 24,
  at: later(60),
}

const { circuit, steps } = busBarDrawn({ measured: { 2: 25.4, 3: 31.6, 4: 31.7, 5: 35.4 } }).pictures
const pictures: CaseRecord['pictures'] = {
  circuit,
  steps,
  at: {
    check: 'measure-bus-bar-volts-step-4',
    question: 'What does the bus bar read at the fourth click?',
    answer: '31.7 V',
    stateSay: 'wheels raised, key on, forward, click 4',
  },
  repaired: true,
}

/** A case from the counter to the signature. */
export const record: CaseRecord = {
  listed: cases[0]!,
  shop: settings,
  view: [
    f.noted('technician', [...trail, proofItem], {
      status: 'closed',
      repaired: [{ remedy: 'replace-contactor-4', name: 'Replace contactor 4', seq: 20 }],
      notes: [
        { seq: 21, text: 'Nut on the load post was loose; both posts cleaned.', by: 'technician', at: later(52) },
      ],
      photos: [
        {
          photo: 'photo-1',
          media: 'image/jpeg',
          bytes: 1200,
          text: 'Load post, burnt',
          by: 'technician',
          seq: 9,
          at: later(9),
        },
        { photo: 'photo-2', media: 'image/jpeg', bytes: 1200, by: 'customer', seq: 3, at: later(1) },
      ],
      work: {
        contact: { name: 'Robin at the boathouse', phone: '555-0117' },
        approved: [
          {
            ...stamp(18),
            remedies,
            upTo: 180,
            currency: 'EUR',
            inForce: true,
            way: 'by-phone',
            text: 'Robin, before noon',
          },
        ],
        declined: [
          { ...stamp(19), remedies: [{ remedy: 'x', name: 'Replace the main contactor' }], text: 'not this month' },
        ],
        rootCauses: [
          { ...stamp(16), root: 'loose-post', name: 'A loose post', found: 'yes', text: 'load side' },
          { ...stamp(17), root: 'low-pack', name: 'A pack often run low', found: 'not-looked' },
        ],
        handBack: HAND_BACK.map(([item, name], i) => ({
          item,
          name,
          result: i === 5 ? ('not-needed' as const) : ('done' as const),
          ...(i === 0 ? { text: '7 Nm' } : {}),
        })),
        signedOff: { ...stamp(30), at: later(70), charged: 164.2, currency: 'EUR', text: 'Key on the board.' },
      },
    }),
    f.standing('sure'),
  ],
  acknowledged: [
    { caution: 'wheels-will-turn', at: later(4), by: 'technician', signal: 'WARNING', hazard: 'The wheels will turn.' },
  ],
  car: [
    { fact: 'drive', name: 'Drive', value: 'Contactors and resistors' },
    { fact: 'packVolts', name: 'Pack', value: '36 V' },
    { fact: 'cells', name: 'Batteries', value: 'Lead, with caps for water' },
  ],
  said: [{ text: 'It jerks when I push the pedal, near the floor', by: 'customer', at: AT }],
  repairs: [
    {
      remedy: 'replace-contactor-4',
      name: 'Replace contactor 4',
      seq: 20,
      steps: f.finding.remedy!.steps,
      part: 'contactor, same coil voltage',
      minutes: 35,
      finding: f.finding,
      proof: ['measure-bus-bar-volts-step-4'],
    },
  ],
  sheet: [
    ...trail.slice(1).map((item) => ({ check: item.check, title: item.question, done: true, proof: false })),
    {
      check: 'measure-bus-bar-volts-step-4',
      title: 'What does the bus bar read at the fourth click?',
      done: true,
      proof: true,
      unit: 'V',
      instrument: 'voltmeter',
      expected: { low: 32.6, high: 35.2 },
      red: 'bus bar',
      black: 'pack negative',
    },
    {
      check: 'test-coil-feed-5',
      title: 'Does the lamp light at contactor 5’s coil?',
      done: false,
      proof: false,
      good: 'Lit, as bright as at the pack.',
    },
  ],
  pictures,
  stamps: Object.fromEntries(Array.from({ length: 31 }, (_, i) => [i, { at: later(i), who: 'p-sam' }])),
  earlier: [{ ...listed({ case: 'case-0', code: 'C3-902', status: 'closed' }), openedAt: '2026-03-02T08:00:00.000Z' }],
  people: { 'p-sam': 'Sam' },
  erased: [],
}

/** One just begun: next to nothing is known. */
export const bare: CaseRecord = {
  ...record,
  listed: cases[2]!,
  view: [f.noted('technician', []), f.standing('start')],
  acknowledged: [],
  car: [],
  said: [],
  repairs: [],
  sheet: [],
  pictures: { steps: [], repaired: false },
  earlier: [],
  erased: [{ at: AT, what: 'words' }],
}

/** The blocks were measured too. */
export const withBlocks: CaseRecord = { ...record, pictures: { ...pictures, blocks } }

const file = { 'remedies/adjust-brake-cable.json': { id: 'adjust-brake-cable', minutes: 33 } }
const layer = (status: string, more: object = {}) => ({
  version: 2,
  at: AT,
  who: 'p-dana',
  status,
  problems: [],
  files: file,
  ...more,
})
const problem = {
  file: 'remedies/adjust-brake-cable.json',
  path: '$.minutes',
  what: 'It is less than 0',
  mend: 'Give the minutes that the repair takes',
}
export const overlays = {
  none: { live: null, staged: null, failing: [] },
  bad: { live: layer('live', { version: 1 }), staged: layer('bad', { problems: [problem] }), failing: [] },
  good: { live: null, staged: layer('good'), failing: [] },
  checking: { live: null, staged: layer('checking'), failing: [] },
  failing: { live: layer('live'), staged: null, failing: [problem] },
}

export const people = [
  { id: 'p-dana', login: 'dana', name: 'Dana', role: 'dealer' },
  {
    id: 'p-sam',
    login: 'sam',
    name: 'Sam',
    role: 'technician',
    lockedUntil: new Date(Date.now() + 15 * 60_000).toISOString(),
  },
  { id: 'p-kim', login: 'kim', name: 'Kim', role: 'technician', leftAt: AT },
]

export const book = {
  version: 3,
  at: AT,
  who: 'p-dana',
  lines: [{ remedy: 'replace-contactor-4', part: 'Contactor, 36 V coil', price: 88.4 }],
}

/** path -> what is answered */
export const answers: Record<string, unknown> = {
  'shop/me': {
    role: 'dealer',
    name: 'Dana',
    endsAt: '2026-11-24T21:30:00.000Z',
    shop: { id: 'demo', name: settings.name },
  },
  'shop/about': settings,
  'shop/settings': settings,
  'shop/people': { people },
  'shop/price-book': { book },
  'shop/catalogue': catalogue,
  'shop/overlay': overlays.none,
  'shop/cases': { total: 40, cases },
  'shop/counts': counts,
  'shop/cases/case-1': record,
  'shop/cases/case-3': bare,
}
