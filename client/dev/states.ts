import type { View } from '../state/view.ts'
import * as f from './fixtures.ts'

export interface GalleryState {
  name: string
  layout: 'compact' | 'full'
  view: View
  intake?: 'open'
  trailOpen?: boolean
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
const technician = (more: Partial<View>): View => ({
  ...EMPTY,
  line: 'open',
  opened: f.opened('technician'),
  noted: f.noted('technician', f.technicianTrail),
  standing: f.standing('warm'),
  cautions: [{ ...f.wheelsTurn, acknowledged: true }],
  ...more,
})
const refused = (
  text: string,
  mend: string,
  code: 'out-of-range' | 'not-understood' | 'bridged' | 'unknown-complaint' = 'out-of-range',
) => ({
  code,
  text,
  mend,
})
const waiting = (check: string, outcome: string): View['waiting'] => [
  { id: 'w1', act: { type: 'answer', answers: [{ check, outcome }] } },
]
const first = { opened: f.opened('customer'), noted: f.noted('customer', []), ask: f.complaintAsk }

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
    view: customer({ ask: f.bothWays, waiting: waiting(f.bothWays.check, 'yes') }),
  },
  {
    name: 'counter-lost',
    layout: 'compact',
    view: customer({ ask: f.bothWays, line: 'lost', waiting: waiting(f.bothWays.check, 'yes') }),
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
        notes: [{ seq: 9, text: 'Phone: 555-0199', by: 'customer', at: f.AT }],
      }),
    }),
  },
  { name: 'bench-start', layout: 'full', view: EMPTY },
  {
    name: 'bench-wrong-code',
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
      noted: f.noted('technician', []),
      standing: f.standing('start'),
      ask: f.complaintAsk,
      cautions: [],
    }),
  },
  {
    name: 'bench-complaint',
    layout: 'full',
    view: technician({
      noted: f.noted('technician', []),
      standing: f.standing('start'),
      ask: f.complaintAsk,
      cautions: [],
    }),
  },
  { name: 'bench-caution', layout: 'full', view: technician({ cautions: [f.wheelsTurn], ask: null }) },
  { name: 'bench-caution-danger', layout: 'full', view: technician({ cautions: [f.arcing, f.wheelsTurn], ask: null }) },
  { name: 'bench-set-up', layout: 'full', view: technician({ ask: f.clicks }) },
  { name: 'bench-lamp-check', layout: 'full', view: technician({ ask: f.coilLamp }) },
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
  { name: 'bench-row-lamp', layout: 'full', view: technician({ ask: f.coilRow }) },
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
    view: technician({ ask: f.clicks, line: 'lost', waiting: waiting(f.clicks.check, 'five') }),
  },
  {
    name: 'bench-finding',
    layout: 'full',
    view: technician({ finding: f.finding, standing: f.standing('sure'), cautions: [] }),
  },
  {
    name: 'bench-one-remedy',
    layout: 'full',
    view: technician({
      finding: {
        ...f.finding,
        kind: 'one-remedy',
        sure: false,
        p: 0.81,
        title: 'Contactor 4: contacts or coil, the same part',
        causes: f.standing('warm').rows.slice(0, 2),
      },
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
      noted: f.noted('technician', f.technicianTrail, {
        repaired: [{ remedy: 'replace-contactor', name: 'Replace contactor 4', seq: 20 }],
        say: 'Repaired: replace contactor 4. Now prove it.',
      }),
    }),
  },
  {
    name: 'bench-closed',
    layout: 'full',
    view: technician({
      finding: f.finding,
      standing: f.standing('sure'),
      noted: f.noted('technician', f.technicianTrail, {
        status: 'closed',
        repaired: [{ remedy: 'replace-contactor', name: 'Replace contactor 4', seq: 20 }],
        notes: [{ seq: 21, text: 'Nut on the load post was loose; both posts cleaned.', by: 'technician', at: f.AT }],
      }),
    }),
  },
]
