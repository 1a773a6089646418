import type { Noted } from '../../rules/protocol/index.ts'
import type { View } from '../state/view.ts'
import * as d from './drawn-fixtures.ts'
import * as f from './fixtures.ts'
import * as j from './jobs.ts'

export interface GalleryState {
  name: string
  layout: 'compact' | 'full'
  view: View
  intake?: 'open'
  trailOpen?: boolean
  /** held in this browser */
  here?: { problem?: { code: 'bad-pass'; text: string; mend: string } }
  /** what is said once it was handed up */
  handedUp?: string
  /** what was entered to begin with */
  code?: string
  /** of the job, to open */
  step?: string
}

/** As `EMPTY` of the state; a copy, so that the script of the first question shares nothing with this page. */
const EMPTY: View = {
  line: 'idle',
  ask: null,
  cautions: [],
  stop: false,
  finding: null,
  problems: {},
  waiting: [],
  turn: 0,
}

const customer = (more: Partial<View>): View => ({
  ...EMPTY,
  line: 'open',
  opened: f.opened('customer'),
  noted: f.noted('customer', f.customerTrail),
  standing: f.standing('start'),
  ...more,
})
/** When nothing but the complaint is known. */
const toldOnly = (more: Partial<View>): View =>
  customer({ noted: f.noted('customer', f.customerTrail.slice(0, 1)), ...more })
const technician = (more: Partial<View>): View => ({
  ...EMPTY,
  line: 'open',
  opened: f.opened('technician'),
  noted: f.noted('technician', f.technicianTrail),
  standing: f.standing('warm'),
  cautions: [{ ...f.wheelsTurn, acknowledged: true }],
  ...more,
})
/** With five clicks heard and no coil looked at. */
const beforeTheLamp = (more: Partial<View>): View =>
  technician({ noted: f.noted('technician', f.technicianTrail.slice(0, 4)), ...more })
/** A job at the bench; its list and its record come with the note. */
const job = (noted: Partial<Noted>, more: Partial<View>): View =>
  technician({
    standing: f.standing('sure', { estimate: { likely: 105, low: 70, high: 140, currency: 'EUR' } }),
    cautions: [],
    noted: f.noted('technician', f.foundTrail, { askWhy: j.askWhy, ...noted }),
    ...more,
  })
/** Before the car was raised and switched on for the first time. */
const untouched = (more: Partial<View>, facts?: Noted['facts']): View =>
  technician({
    standing: f.standing('start'),
    cautions: [],
    noted: f.noted('technician', f.technicianTrail.slice(0, facts ? 2 : 3), {
      carState: f.atRest,
      ...(facts && { facts }),
    }),
    ...more,
  })
const refused = (text: string, mend: string, code: NonNullable<View['problems'][string]>['code'] = 'out-of-range') => ({
  code,
  text,
  mend,
})
const waiting = (check: string, outcome: string): View['waiting'] => [
  { id: 'w1', act: { type: 'answer', answers: [{ check, outcome }] } },
]
const first = { opened: f.opened('customer'), noted: f.noted('customer', []), ask: f.complaintAsk }

/** The circuit says which drive it is. */
const facts: Noted['facts'] = { packVolts: 36 }

/** Every state that somebody may meet, by name; the gallery shows them and the tests go through them. */
export const states: GalleryState[] = [
  { name: 'counter-first', layout: 'compact', view: EMPTY },
  { name: 'counter-list', layout: 'compact', view: customer({ ...first, understood: f.unknown }) },
  { name: 'counter-unsure', layout: 'compact', view: customer({ ...first, understood: f.unsure }) },
  {
    name: 'counter-refused-words',
    layout: 'compact',
    view: customer({
      ...first,
      problems: { say: refused('That is longer than can be taken.', 'Say it in fewer words.', 'unknown-complaint') },
    }),
  },
  { name: 'counter-ask', layout: 'compact', view: customer({ ask: f.whereItJerks }) },
  { name: 'counter-trail', layout: 'compact', view: customer({ ask: f.whereItJerks }), trailOpen: true },
  {
    name: 'counter-sending',
    layout: 'compact',
    view: toldOnly({ ask: f.bothWays, waiting: waiting(f.bothWays.check, 'yes') }),
  },
  {
    name: 'counter-lost',
    layout: 'compact',
    view: toldOnly({ ask: f.bothWays, line: 'lost', waiting: waiting(f.bothWays.check, 'yes') }),
  },
  { name: 'counter-here', layout: 'compact', view: toldOnly({ ask: f.bothWays }), here: {} },
  {
    name: 'counter-here-lost',
    layout: 'compact',
    view: { ...EMPTY, line: 'lost' },
    here: {},
  },
  {
    name: 'counter-here-hand-over',
    layout: 'compact',
    view: customer({
      opened: f.opened('customer', { shop: { id: 'demo', name: '' } }),
      finding: f.handOver,
      standing: f.standing('sure'),
      cautions: [f.slope],
    }),
    here: {},
  },
  {
    name: 'counter-handed-up',
    layout: 'compact',
    view: customer({ finding: f.handOver, standing: f.standing('sure'), cautions: [f.slope] }),
    handedUp: 'Connected again. The shop has the job now, with the code K7-204.',
  },
  {
    name: 'counter-not-understood',
    layout: 'compact',
    view: customer({
      ask: f.whereItJerks,
      problems: {
        [`answer:${f.whereItJerks.check}`]: refused(
          '“Sort of” was not understood.',
          'Pick an answer, or say it in other words.',
          'not-understood',
        ),
      },
    }),
  },
  {
    name: 'counter-meant',
    layout: 'compact',
    view: customer({
      ask: f.whereItJerks,
      understood: {
        ...f.unsure,
        check: f.whereItJerks.check,
        text: 'Did you mean one of these?',
        options: [
          { id: 'middle', name: 'About halfway down', plain: '' },
          { id: 'floor', name: 'Near the floor', plain: '' },
        ],
      },
    }),
  },
  {
    name: 'counter-danger',
    layout: 'compact',
    view: customer({ cautions: [f.arcing], ask: null, stop: true, because: 'A caution waits.' }),
  },
  {
    name: 'counter-hand-over',
    layout: 'compact',
    view: customer({ finding: f.handOver, standing: f.standing('sure'), cautions: [f.slope] }),
  },
  {
    name: 'counter-told',
    layout: 'compact',
    view: customer({
      finding: f.handOver,
      standing: f.standing('sure'),
      noted: f.noted('customer', f.customerTrail, {
        work: { ...j.work(0, 0), approved: [], upTo: undefined, contact: { name: 'Robin', phone: '555-0199' } },
      }),
    }),
  },
  {
    name: 'counter-phone-refused',
    layout: 'compact',
    view: customer({
      finding: f.handOver,
      standing: f.standing('sure'),
      problems: {
        contact: refused('That cannot be kept now.', 'Try again in a minute; what you typed stands.', 'open-first'),
      },
    }),
  },
  { name: 'bench-start', layout: 'full', view: EMPTY },
  {
    name: 'bench-wrong-code',
    code: 'K9-999',
    layout: 'full',
    view: {
      ...EMPTY,
      problems: { '': { code: 'no-such-case', text: 'No case has the code K9-999.', mend: 'Read the code again.' } },
    },
  },
  {
    name: 'bench-intake',
    layout: 'full',
    intake: 'open',
    view: technician({
      noted: f.noted('technician', [], { carState: f.atRest }),
      standing: f.standing('start'),
      ask: f.complaintAtTheBench,
      cautions: [],
    }),
  },
  {
    name: 'bench-complaint',
    layout: 'full',
    view: technician({
      noted: f.noted('technician', [], { carState: f.atRest }),
      standing: f.standing('start'),
      ask: f.complaintAtTheBench,
      cautions: [],
    }),
  },
  { name: 'bench-caution', layout: 'full', view: technician({ cautions: [f.wheelsTurn], ask: null }) },
  { name: 'bench-caution-danger', layout: 'full', view: technician({ cautions: [f.arcing, f.wheelsTurn], ask: null }) },
  { name: 'bench-set-up', layout: 'full', view: untouched({ ask: f.clicks }) },
  { name: 'bench-lamp-check', layout: 'full', view: beforeTheLamp({ ask: f.coilLamp }) },
  { name: 'bench-reading', layout: 'full', view: technician({ ask: f.busBar }) },
  {
    name: 'bench-reading-refused',
    layout: 'full',
    view: technician({
      ask: f.busBar,
      problems: { [`answer:${f.busBar.check}`]: refused('317 V is more than this meter shows.', 'Enter 0 to 60 V.') },
    }),
  },
  { name: 'bench-why', layout: 'full', view: technician({ ask: f.busBar, why: f.because }) },
  { name: 'bench-row', layout: 'full', view: technician({ ask: f.busBarRow }) },
  { name: 'bench-row-lamp', layout: 'full', view: beforeTheLamp({ ask: f.coilRow }) },
  {
    name: 'bench-disagreement',
    layout: 'full',
    view: technician({
      ask: { ...f.coilLamp, kind: 'again' },
      standing: f.standing('warm', { disagreement: f.disagreement }),
      noted: f.noted(
        'technician',
        f.technicianTrail.map((t) => (t.check === 'test-coil-feed' ? { ...t, doubted: true } : t)),
      ),
    }),
  },
  {
    name: 'bench-bridged',
    layout: 'full',
    view: technician({
      ask: f.busBar,
      noted: f.noted('technician', f.technicianTrail, {
        carState: {
          wheels: 'raised',
          key: 'on',
          direction: 'forward',
          pack: 'connected',
          charger: 'unplugged',
          bridged: ['main-contactor'],
          lifted: ['motor'],
        },
        reminders: [
          'Main contactor is bridged: the car is live whenever it is in gear. Take the bridge out before closing.',
        ],
      }),
      problems: { close: refused('A part is still bridged.', 'Take the bridge out, say so, then close.', 'bridged') },
    }),
  },
  {
    name: 'bench-lost',
    layout: 'full',
    view: untouched({ ask: f.clicks, line: 'lost', waiting: waiting(f.clicks.check, 'five') }),
  },
  { name: 'bench-here', layout: 'full', view: technician({ ask: f.busBar }), here: {} },
  {
    name: 'bench-here-kept',
    layout: 'full',
    view: technician({ ask: f.busBar }),
    here: {
      problem: { code: 'bad-pass', text: 'You are signed out, or your session is over.', mend: 'Sign in again.' },
    },
  },
  {
    name: 'bench-handed-up',
    layout: 'full',
    view: technician({ ask: f.busBar }),
    handedUp: 'Connected again. The shop has the job now. In place of Q4-118 its code is K7-204.',
  },
  {
    name: 'bench-finding',
    layout: 'full',
    view: technician({
      finding: f.finding,
      noted: f.noted('technician', f.foundTrail),
      standing: f.standing('sure'),
      cautions: [],
    }),
  },
  {
    name: 'bench-one-remedy',
    layout: 'full',
    view: technician({
      finding: {
        ...f.finding,
        kind: 'one-remedy',
        sure: false,
        p: 0.77,
        title: 'Contactor 4: contacts or coil, the same part',
        say: 'The bus bar stays at the third step’s voltage: either contactor 4’s contacts do not carry, or it does not pull in. A new contactor mends both.',
        evidence: f.finding.evidence.filter((e) => e.check !== f.coilLamp.check),
        causes: f.standing('warm').rows.slice(0, 2),
      },
      noted: f.noted(
        'technician',
        f.foundTrail.filter((i) => i.check !== f.coilLamp.check),
      ),
      ask: f.coilLamp,
    }),
  },
  {
    name: 'bench-proof',
    layout: 'full',
    view: technician({
      finding: f.finding,
      ask: f.proof,
      standing: f.standing('sure'),
      noted: f.noted('technician', f.foundTrail, {
        repaired: [{ remedy: 'replace-contactor', name: 'Replace contactor 4', seq: 20 }],
        toDo: [{ what: 'proof', before: 'sign-off', text: 'The proof of the repair' }],
        say: 'Repaired: replace contactor 4. Now prove it.',
      }),
    }),
  },
  {
    name: 'job-yes',
    layout: 'full',
    view: job({ toDo: j.toDo(false, 0, 0), work: undefined }, { finding: j.foundAgain }),
  },
  {
    name: 'job-yes-refused-by-server',
    layout: 'full',
    view: job(
      { toDo: j.toDo(false, 0, 0), work: undefined },
      {
        finding: j.foundAgain,
        problems: {
          approve: refused(
            'That work is not on the list of repairs any more.',
            'Choose the work again: that of the finding, or one from the list.',
            'unknown-remedy',
          ),
        },
      },
    ),
  },
  {
    name: 'job-refused',
    layout: 'full',
    view: job(
      {
        toDo: undefined,
        work: j.work(0, 0, {
          approved: [],
          upTo: undefined,
          declined: [j.refusal],
        }),
      },
      { finding: j.foundAgain },
    ),
    step: 'approve',
  },
  {
    name: 'job-agreed-twice',
    layout: 'full',
    view: job(
      {
        toDo: j.toDo(true, 2, 0),
        work: j.work(2, 0, { approved: [{ ...j.agreed, inForce: false, seq: 19, upTo: 90 }, j.agreed] }),
      },
      { finding: j.foundAgain },
    ),
    step: 'approve',
  },
  {
    name: 'job-why',
    layout: 'full',
    view: job({ toDo: j.toDo(true, 3, 0), work: j.work(3, 0) }, { finding: j.foundAgain }),
  },
  {
    name: 'job-why-lost',
    layout: 'full',
    view: job(
      { toDo: j.toDo(true, 3, 0), work: j.work(3, 0) },
      {
        finding: j.foundAgain,
        line: 'lost',
        waiting: [{ id: 'w1', act: { type: 'root-cause', root: 'lug-loose', found: 'no' } }],
      },
    ),
  },
  {
    name: 'job-repair',
    layout: 'full',
    view: job({ toDo: j.toDo(true, 5, 0), work: j.work(5, 0) }, { finding: j.foundAgain }),
  },
  {
    name: 'job-repair-blocked',
    layout: 'full',
    view: job(
      { toDo: j.toDo(false, 4, 0), work: undefined },
      {
        finding: j.foundAgain,
        problems: {
          repaired: refused(
            'Nobody has agreed to this yet: Replace contactor 4.',
            'Write down who said yes.',
            'not-approved',
          ),
        },
      },
    ),
    step: 'repair',
  },
  {
    name: 'job-proof',
    layout: 'full',
    view: job(
      {
        toDo: [{ what: 'proof', before: 'sign-off', text: 'The proof of the repair' }, ...j.toDo(true, 5, 0, true)],
        work: j.work(5, 0),
        repaired: j.repaired,
      },
      { ask: f.proof },
    ),
  },
  {
    name: 'job-hand-back',
    layout: 'full',
    view: job(
      { toDo: j.toDo(true, 5, 3, true), work: j.work(5, 3), repaired: j.repaired },
      { because: 'The repair is proved.' },
    ),
  },
  {
    name: 'job-lead-lifted',
    layout: 'full',
    view: job(
      {
        toDo: [{ what: 'lead', before: 'close', text: 'Put the lead back: motor' }, ...j.toDo(true, 5, 2, true)],
        work: j.work(5, 2),
        carState: { ...f.atRest, lifted: ['motor'] },
        repaired: j.repaired,
      },
      {
        problems: {
          'hand-back:leads-back': refused(
            'Leads are still lifted: motor.',
            'Put every lead back, say so, then go on.',
            'leads-lifted',
          ),
        },
      },
    ),
  },
  {
    name: 'job-sign-off-blocked',
    layout: 'full',
    view: job({ toDo: j.toDo(true, 5, 4, true), work: j.work(5, 4), repaired: j.repaired }, {}),
    step: 'sign-off',
  },
  {
    name: 'job-sign-off',
    layout: 'full',
    view: job(
      { toDo: [], work: j.work(5, 6), repaired: j.repaired },
      {
        because: 'The repair is proved.',
        problems: {
          'sign-off': refused(
            '€180 is more than was agreed: €150.',
            'Get a yes to the rest and write it down first, or charge less.',
            'over-approved',
          ),
        },
      },
    ),
  },
  {
    name: 'job-signed',
    layout: 'full',
    view: job(
      { toDo: [], work: j.work(5, 6, { signedOff: j.signedOff }), repaired: j.repaired },
      { because: 'The repair is proved.' },
    ),
  },
  {
    name: 'job-signed-read',
    layout: 'full',
    view: job(
      { toDo: [], work: j.work(5, 6, { signedOff: j.signedOff }), repaired: j.repaired },
      { because: 'The repair is proved.' },
    ),
    step: 'sign-off',
  },
  {
    name: 'job-closed',
    layout: 'full',
    view: job(
      { status: 'closed', carState: f.atRest, work: j.work(5, 6, { signedOff: j.signedOff }), repaired: j.repaired },
      {},
    ),
    step: 'why',
  },
  {
    name: 'bench-circuit',
    layout: 'full',
    view: technician({
      ask: f.busBar,
      meter: d.busBarDrawn({ check: f.busBar.check, measured: { 2: 25.3, 3: 31.4 } }),
    }),
  },
  {
    name: 'bench-circuit-new',
    layout: 'full',
    view: technician({ ask: f.busBar, meter: d.busBarDrawn({ check: f.busBar.check }) }),
  },
  {
    name: 'bench-measured',
    layout: 'full',
    view: beforeTheLamp({
      ask: f.coilLamp,
      meter: (() => {
        const meter = d.busBarDrawn({ check: f.coilLamp.check, measured: { 2: 25.3, 3: 31.4, 4: 31.5, 5: 35.7 } })
        return { ...meter, pictures: { ...meter.pictures, blocks: d.blocks } }
      })(),
    }),
  },
  {
    name: 'bench-meter',
    layout: 'full',
    view: untouched({
      ask: f.clicks,
      meter: d.busBarDrawn({ check: f.clicks.check }),
      looked: d.busBarDrawn({ wrong: true, facts: { fieldBypass: true, mainFuse: true, runTow: true } }),
    }),
  },
  {
    name: 'bench-meter-refused',
    layout: 'full',
    view: untouched({
      ask: f.clicks,
      looked: d.busBarDrawn({ carState: { key: 'off', pack: 'isolated' } }),
      problems: {
        meter: {
          code: 'unknown-place',
          text: 'There is no place “buss” in this circuit for the red probe.',
          mend: 'Put it on one of: bus bar.',
        },
      },
    }),
  },
  ...Object.entries(d.others).map(
    ([circuit, looked]): GalleryState => ({
      name: `circuit-${circuit}`,
      layout: 'full',
      view: untouched({ ask: f.packAtRest, opened: f.opened('technician', { facts }), looked }, facts),
    }),
  ),
  {
    name: 'bench-closed',
    layout: 'full',
    view: technician({
      finding: f.finding,
      standing: f.standing('sure'),
      noted: f.noted('technician', f.foundTrail, {
        status: 'closed',
        carState: f.atRest,
        repaired: [{ remedy: 'replace-contactor', name: 'Replace contactor 4', seq: 20 }],
        notes: [{ seq: 21, text: 'Nut on the load post was loose; both posts cleaned.', by: 'technician', at: f.AT }],
      }),
    }),
  },
]
