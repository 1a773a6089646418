import type {
  AskBody,
  Because,
  CautionBody,
  FindingBody,
  Noted,
  Opened,
  Standing,
  TrailItem,
  Understood,
} from '../../rules/protocol/index.ts'

/** Messages as a server would send them, of an invented garage's cars: for the gallery, the fake server and the tests. */
const head = { v: 1, case: 'case-1', seq: 12 } as const
export const AT = '2025-05-06T09:30:00.000Z'

export const complaints: Opened['complaints'] = [
  { id: 'jerks-on-acceleration', name: 'Jerks on acceleration', plain: 'It jerks or hesitates as I speed up' },
  { id: 'no-go-silent', name: 'No go, silent', plain: 'It won’t move and makes no sound' },
  { id: 'no-go-clicks', name: 'No go, clicks', plain: 'It clicks but doesn’t move' },
  { id: 'slow-everywhere', name: 'Slow everywhere', plain: 'It is slow, even on the flat' },
  { id: 'weak-on-hills', name: 'Weak on hills', plain: 'It has no strength uphill' },
  { id: 'one-speed-only', name: 'One speed only', plain: 'It goes at one speed, whatever I do with the pedal' },
  { id: 'cuts-out', name: 'Cuts out', plain: 'It stops by itself and goes again later' },
  { id: 'charger-dead', name: 'Charger dead', plain: 'The charger does nothing when I plug it in' },
]

export const factsToAsk: Opened['factsToAsk'] = [
  {
    fact: 'drive',
    name: 'Drive',
    values: [
      { value: 'resistor-contactor', label: 'contactors and resistors' },
      { value: 'resistor-sliding', label: 'sliding contact and resistors' },
      { value: 'series-controller', label: 'electronic, series motor' },
    ],
  },
  {
    fact: 'packVolts',
    name: 'Pack',
    values: [
      { value: 36, label: '36 V' },
      { value: 48, label: '48 V' },
    ],
  },
  {
    fact: 'cells',
    name: 'Batteries',
    values: [
      { value: 'flooded-lead', label: 'lead, to be topped up' },
      { value: 'agm-lead', label: 'lead, sealed' },
    ],
  },
  {
    fact: 'fieldBypass',
    name: 'Field bypass',
    values: [
      { value: true, label: 'fitted' },
      { value: false, label: 'not fitted' },
    ],
  },
]

export const opened = (role: Opened['role'], more: Partial<Opened> = {}): Opened => ({
  ...head,
  type: 'opened',
  role,
  shop: { id: 'demo', name: 'Larch Lake garage', phone: '555-0142', hours: 'Monday to Saturday, 8 to 5' },
  code: 'K7-204',
  knowledge: 'fixture',
  language: 'en',
  facts: role === 'customer' ? {} : { drive: 'resistor-contactor', packVolts: 36 },
  carState: {},
  status: 'open',
  complaints,
  factsToAsk,
  ...(role === 'customer' ? {} : { tag: 'Car 17' }),
  ...more,
})

export const wheelsTurn: CautionBody = {
  id: 'wheels-will-turn',
  signal: 'WARNING',
  hazard: 'The wheels will turn.',
  act: ['Both drive wheels on stands, the others chocked.', 'Nobody aboard, hands clear of the contactor posts.'],
  acknowledge: true,
  acknowledged: false,
  source: 'common practice, no source',
}
export const arcing: CautionBody = {
  id: 'battery-gas',
  signal: 'DANGER',
  hazard: 'Batteries that were just charged give off gas that explodes at a spark.',
  act: ['Let them stand in the open air for half an hour.', 'Eye protection on, rings and watch off.'],
  acknowledge: true,
  acknowledged: false,
  source: 'common practice, no source',
}
export const slope: CautionBody = {
  id: 'not-on-slopes',
  signal: 'CAUTION',
  hazard: 'Don’t drive it on slopes until it is fixed.',
  act: ['A jerk can throw a passenger.'],
  acknowledge: false,
  acknowledged: false,
  source: 'common practice, no source',
}
export const manual: CautionBody = {
  id: 'torque',
  signal: 'NOTICE',
  hazard: 'Tighten to the figure in the maker’s service manual.',
  act: ['A loose post burns; a post that is turned in its seat is ruined.'],
  acknowledge: false,
  acknowledged: false,
  source: 'common practice, no source',
}

const base: Omit<AskBody, 'check' | 'way' | 'title' | 'outcomes'> = {
  kind: 'check',
  how: [],
  reason: '',
  minutes: 1,
  setUpMinutes: 0,
  setUp: [],
  tools: [],
  cautions: [],
  carState: {},
  picked: false,
  others: [],
}

export const complaintAsk: AskBody = {
  ...base,
  check: 'complaint',
  kind: 'complaint',
  way: 'say',
  title: 'Tell us what it does',
  hint: 'In your own words. Don’t drive it to find out.',
  outcomes: [],
}

export const complaintAtTheBench: AskBody = {
  ...complaintAsk,
  title: 'What is wrong with the car?',
  hint: 'In your own words: what it does, and when.',
}

export const whereItJerks: AskBody = {
  ...base,
  check: 'recall-where-it-jerks',
  way: 'ask',
  title: 'Where in the pedal’s travel did it jerk?',
  hint: 'From memory. Please don’t drive it to find out.',
  reason: '1 min · narrows down the step',
  outcomes: [
    { id: 'start', label: 'Just as it starts off' },
    { id: 'middle', label: 'About halfway down' },
    { id: 'floor', label: 'Near the floor' },
    { id: 'anywhere', label: 'All over', small: 'never in the same place' },
    { id: 'dont-know', label: 'I’m not sure' },
  ],
}

export const bothWays: AskBody = {
  ...base,
  check: 'recall-same-both-ways',
  way: 'ask',
  title: 'Does it do the same going backwards?',
  reason: '1 min · direction switch or not',
  outcomes: [
    { id: 'yes', label: 'Yes' },
    { id: 'no', label: 'No' },
  ],
}

export const clicks: AskBody = {
  ...base,
  check: 'listen-clicks-per-step',
  way: 'listen',
  title: 'How many clicks while the pedal goes down slowly?',
  how: ['Press the pedal by hand, slowly, to the floor.', 'Count the clicks of the contactors: a sound car has five.'],
  good: 'Five clear clicks, evenly spread over the travel.',
  reason: '2 min · do all contactors pull in?',
  minutes: 2,
  setUpMinutes: 5,
  setUp: ['Raise both drive wheels on stands, chock the others', 'Key on, forward'],
  tools: ['wheel-stands'],
  cautions: [{ ...wheelsTurn, acknowledged: true }],
  carState: { wheels: 'raised', key: 'on', direction: 'forward' },
  outcomes: [
    { id: 'five', label: 'Five' },
    { id: 'four', label: 'Four' },
    { id: 'three', label: 'Three' },
    { id: 'two', label: 'Two' },
    { id: 'one', label: 'One' },
    { id: 'none', label: 'None' },
  ],
  others: [
    { check: 'measure-pack-volts-at-rest', title: 'What does the pack read at rest?', minutes: 1 },
    { check: 'measure-bus-bar-volts-step-4', title: 'What does the bus bar read at the fourth click?', minutes: 3 },
  ],
}

export const coilLamp: AskBody = {
  ...base,
  check: 'test-coil-feed',
  way: 'measure',
  title: 'Does the lamp light at contactor 4’s coil?',
  how: ['Press slowly to the fourth click and hold it there.'],
  good: 'The lamp lights at the fourth click, as bright as at the pack.',
  reason: '2 min, same set-up · does the microswitch feed it?',
  minutes: 2,
  tools: ['test-lamp'],
  probes: {
    red: { node: 'coil-4-positive', label: 'coil of contactor 4, positive side' },
    black: { node: 'pack-negative', label: 'pack’s last negative' },
  },
  cautions: [{ ...wheelsTurn, acknowledged: true }],
  carState: { wheels: 'raised', key: 'on', direction: 'forward' },
  outcomes: [
    { id: 'lit', label: 'Lit' },
    { id: 'dim', label: 'Dim or flickering' },
    { id: 'dark', label: 'Dark' },
  ],
  others: [{ check: 'measure-pack-volts-at-rest', title: 'What does the pack read at rest?', minutes: 1 }],
}

export const packAtRest: AskBody = {
  ...base,
  check: 'measure-pack-volts-at-rest',
  way: 'measure',
  title: 'What does the pack read at rest?',
  how: ['Key off. Voltmeter on DC volts.'],
  reason: '1 min · is there enough to drive with?',
  tools: ['voltmeter'],
  probes: {
    red: { node: 'pack-positive', label: 'pack’s first positive' },
    black: { node: 'pack-negative', label: 'pack’s last negative' },
  },
  reading: {
    unit: 'V',
    instrument: 'voltmeter',
    min: 0,
    max: 60,
    step: 0.1,
    expected: { low: 36.2, high: 38.4 },
    ifFault: [{ value: 31.4, cause: 'the pack is run down' }],
    said: '31.4 V is what a pack that is run down gives.',
  },
  carState: { key: 'off' },
  outcomes: [{ id: 'nothing', label: 'Nothing' }],
  others: [{ check: 'listen-clicks-per-step', title: 'How many clicks while the pedal goes down slowly?', minutes: 2 }],
}

export const busBar: AskBody = {
  ...base,
  check: 'measure-bus-bar-volts-step-4',
  way: 'measure',
  title: 'What does the bus bar read at the fourth click?',
  how: ['Voltmeter on DC volts.', 'Forward. Press slowly and stop at the fourth click.'],
  reason: '3 min, same set-up as before · does contactor 4 carry?',
  minutes: 3,
  tools: ['voltmeter'],
  probes: {
    red: { node: 'bus-bar', label: 'bus bar' },
    black: { node: 'pack-negative', label: 'pack’s last negative' },
  },
  reading: {
    unit: 'V',
    instrument: 'voltmeter',
    min: 0,
    max: 60,
    step: 0.1,
    expected: { low: 32.6, high: 35.2 },
    ifFault: [
      { value: 31.7, cause: 'contactor 4 does not carry' },
      { value: 35.8, cause: 'contactor 5 is welded' },
      { value: 0, cause: 'the main contactor is open' },
    ],
    said: '31.7 V is what contactor 4 not carrying gives.',
  },
  cautions: [{ ...wheelsTurn, acknowledged: true }],
  carState: { wheels: 'raised', key: 'on', direction: 'forward' },
  outcomes: [
    { id: 'as-before', label: 'The same as at the click before' },
    { id: 'sound', label: 'As it should be' },
    { id: 'nothing', label: 'Nothing' },
  ],
  others: [{ check: 'test-coil-feed', title: 'Does the lamp light at contactor 4’s coil?', minutes: 2 }],
}

export const busBarRow: AskBody = {
  ...busBar,
  check: 'measure-bus-bar-volts-step-2',
  title: 'What does the bus bar read at each click?',
  how: ['Voltmeter on DC volts.', 'Press slowly and note the reading at each click.'],
  reading: undefined,
  outcomes: [],
  reason: '5 min, same set-up as before · which contactor does not carry?',
  row: [2, 3, 4, 5].map((n) => ({
    check: `measure-bus-bar-volts-step-${n}`,
    title: `At click ${n}`,
    unit: 'V' as const,
    outcomes: [],
  })),
}

export const coilRow: AskBody = {
  ...coilLamp,
  check: 'test-coil-feed-1',
  title: 'At which coils does the lamp light?',
  how: ['Press slowly to the floor. At each click touch the positive side of that contactor’s coil.'],
  good: 'The lamp lights at all five, as bright as at the pack.',
  probes: {
    red: { node: 'coil-1-positive', label: 'each coil’s positive side in turn' },
    black: { node: 'pack-negative', label: 'pack’s last negative' },
  },
  outcomes: [],
  row: [1, 2, 3, 4, 5].map((n) => ({
    check: `test-coil-feed-${n}`,
    title: `Coil of contactor ${n}`,
    outcomes: [
      { id: 'lit', label: 'Lit' },
      { id: 'dim', label: 'Dim' },
      { id: 'dark', label: 'Dark' },
    ],
  })),
}

export const proof: AskBody = {
  ...busBar,
  check: 'measure-bus-bar-volts-step-4',
  kind: 'proof',
  title: 'Does the bus bar now rise at the fourth click?',
  reason: '3 min · shows that the repair worked',
  reading: { ...busBar.reading!, ifFault: [{ value: 31.7, cause: 'it still does not carry' }] },
}

const item = (check: string, question: string, answer: string, more: Partial<TrailItem> = {}): TrailItem => ({
  check,
  question,
  answer,
  by: 'technician',
  seq: 1,
  at: AT,
  ...more,
})

export const customerTrail: TrailItem[] = [
  item('complaint.jerks-on-acceleration', 'What is wrong?', 'It jerks as I speed up', { by: 'customer' }),
  item('recall-same-both-ways', 'Does it do the same going backwards?', 'Yes', { by: 'customer', outcome: 'yes' }),
]

export const technicianTrail: TrailItem[] = [
  item('complaint.jerks-on-acceleration', 'What is wrong?', 'Jerks on acceleration', { by: 'customer' }),
  item('recall-same-both-ways', 'Same forward and in reverse?', 'Yes', { by: 'customer' }),
  item('measure-pack-volts-at-rest', 'Pack at rest', '36.9 V', {
    reading: { value: 36.9, unit: 'V', instrument: 'voltmeter' },
    instrument: 'voltmeter',
  }),
  item('listen-clicks-per-step', 'Clicks while pressing slowly', 'Five'),
  item('test-coil-feed', 'Feed at contactor 4’s coil', 'Lamp lit'),
]

/** With what the finding rests on. */
export const foundTrail: TrailItem[] = [
  ...technicianTrail.slice(0, 2),
  item('recall-where-it-jerks', 'Where it jerks', 'Near the floor', { by: 'customer' }),
  ...technicianTrail.slice(2),
  item('measure-bus-bar-volts-step-4', 'Bus bar at the fourth click', '31.7 V', {
    reading: { value: 31.7, unit: 'V', instrument: 'voltmeter' },
    instrument: 'voltmeter',
  }),
]

/** As a car stands before and after the work. */
export const atRest: Noted['carState'] = {
  wheels: 'on-ground',
  key: 'off',
  direction: 'neutral',
  pack: 'connected',
  charger: 'unplugged',
}

export const noted = (role: Opened['role'], trail: TrailItem[], more: Partial<Noted> = {}): Noted => ({
  ...head,
  type: 'noted',
  trail,
  facts: role === 'customer' ? {} : { drive: 'resistor-contactor', packVolts: 36 },
  carState:
    role === 'customer'
      ? {}
      : { wheels: 'raised', key: 'on', direction: 'forward', pack: 'connected', charger: 'unplugged' },
  ...(role === 'customer' ? {} : { tag: 'Car 17' }),
  ...(trail.length > 0 && {
    complaint: role === 'customer' ? 'It jerks when I push the pedal' : 'Jerks on acceleration',
  }),
  reminders: [],
  repaired: [],
  notes: [],
  status: 'open',
  ...more,
})

export const standing = (at: 'start' | 'warm' | 'sure', more: Partial<Standing> = {}): Standing => ({
  ...head,
  type: 'standing',
  rows:
    at === 'start'
      ? [
          {
            cause: 'pedal-microswitch-4.contacts-open',
            name: 'Pedal microswitch 4: contacts',
            p: 0.14,
            remedy: 'replace-microswitch',
          },
          { cause: 'contactor-4.contacts-open', name: 'Contactor 4: contacts', p: 0.12, remedy: 'replace-contactor' },
          { cause: 'contactor-3.contacts-open', name: 'Contactor 3: contacts', p: 0.11, remedy: 'replace-contactor' },
          { cause: 'resistor-coil-b.open', name: 'Resistor coil B: open', p: 0.08, remedy: 'replace-coil' },
        ]
      : at === 'warm'
        ? [
            { cause: 'contactor-4.contacts-open', name: 'Contactor 4: contacts', p: 0.63, remedy: 'replace-contactor' },
            {
              cause: 'contactor-4.coil-open',
              name: 'Contactor 4: does not pull in',
              p: 0.14,
              remedy: 'replace-contactor',
            },
            { cause: 'coil-c-lead.open', name: 'Lead from coil C to contactor 4', p: 0.11, remedy: 'renew-lead' },
          ]
        : [{ cause: 'contactor-4.contacts-open', name: 'Contactor 4: contacts', p: 0.93, remedy: 'replace-contactor' }],
  others: at === 'start' ? { count: 38, p: 0.52 } : at === 'warm' ? { count: 9, p: 0.1 } : { count: 11, p: 0.06 },
  other: at === 'start' ? 0.03 : at === 'warm' ? 0.02 : 0.01,
  out: at === 'start' ? [] : ['key switch', 'direction switch', 'the five pedal microswitches'],
  lamp: {
    brightness: at === 'start' ? 0.15 : at === 'warm' ? 0.62 : 0.97,
    say: at === 'start' ? 'Just begun' : at === 'warm' ? 'Getting warm' : 'Found',
  },
  remaining:
    at === 'start' ? { checks: 6, minutes: 14 } : at === 'warm' ? { checks: 2, minutes: 6 } : { checks: 0, minutes: 0 },
  estimate:
    at === 'start'
      ? { likely: 110, low: 40, high: 260, currency: 'EUR' }
      : { likely: 95, low: 60, high: 140, currency: 'EUR' },
  ...more,
})

export const disagreement: NonNullable<Standing['disagreement']> = {
  check: 'test-coil-feed',
  question: 'Feed at contactor 4’s coil',
  answer: 'Lamp lit',
  say: 'No single part explains all the answers. “Lamp lit” at contactor 4’s coil fits least with the others.',
  pairs: [
    {
      causes: ['contactor-4.contacts-open', 'pedal-microswitch-5.contacts-open'],
      names: ['Contactor 4: contacts', 'Pedal microswitch 5: contacts'],
      p: 0.31,
    },
  ],
}

export const finding: FindingBody = {
  kind: 'cause',
  causes: standing('sure').rows,
  p: 0.93,
  sure: true,
  title: 'Contactor 4’s contacts do not carry',
  say: 'Contactor 4 clicks and its coil is fed, but the bus bar stays at the third step’s voltage: the contacts are burnt open. Everything before and after it works.',
  evidence: [
    {
      check: 'measure-bus-bar-volts-step-4',
      question: 'Bus bar at the fourth click:',
      answer: '31.7 V',
      weight: 'strong',
    },
    { check: 'test-coil-feed', question: 'Feed at contactor 4’s coil:', answer: 'lamp lit', weight: 'strong' },
    { check: 'listen-clicks-per-step', question: 'Clicks while pressing slowly:', answer: 'five', weight: 'some' },
    { check: 'recall-where-it-jerks', question: 'Where it jerks:', answer: 'near the floor', weight: 'against' },
  ],
  rootCauses: [
    { id: 'loose-post', name: 'A loose post', ask: 'Is the nut on either post loose or discoloured by heat?' },
    {
      id: 'low-pack',
      name: 'A pack often run low',
      ask: 'Low volts make the coil hold weakly and the contacts chatter.',
    },
  ],
  remedy: {
    id: 'replace-contactor',
    name: 'Replace contactor 4',
    steps: [
      'Key off, pack isolated.',
      'Mark the leads, take them off, change the contactor.',
      'Leads on, tight; pack connected.',
    ],
    minutes: 25,
    part: 'contactor, same coil voltage',
    low: 35,
    high: 80,
    cautions: [manual],
  },
  proof: { check: 'measure-bus-bar-volts-step-4', title: 'The bus bar rises at the fourth click.' },
  until: [],
  code: 'K7-204',
}

export const handOver: FindingBody = {
  ...finding,
  kind: 'hand-over',
  p: 0.71,
  sure: false,
  title: 'Most likely one of the speed contactors is worn',
  say: 'That is so in about seven of ten cars with these answers. The shop needs about 10 minutes with a meter to be sure.',
  evidence: [],
  rootCauses: [],
  remedy: undefined,
  proof: undefined,
  until: ['Don’t drive it on slopes.', 'Charge it as always, and note if the charger acts up too.'],
}

export const unsure: Understood = {
  ...head,
  type: 'understood',
  sure: false,
  text: '“It goes funny” can mean several things.',
  complaints: [],
  circumstances: [],
  options: complaints.slice(0, 3),
}

export const unknown: Understood = {
  ...unsure,
  text: 'This does not sound like a golf or utility car.',
  options: [],
}

export const because: Because = {
  ...head,
  type: 'because',
  check: 'measure-bus-bar-volts-step-4',
  say: [
    'It tells “contactor 4’s contacts” from “lead from coil C” and “coil D open”: they give 31.7, 33.9 and 0 V.',
    'It takes 3 minutes with the meter already on the bus bar; any other check needs the wheels lowered first.',
  ],
}
