import * as d from './desk-fixtures.ts'

/** A state of one of our own pages, or of a part of them. */
export interface DeskState {
  name: string
  element: 'bl-desk' | 'bl-work-order' | 'bl-sign-in' | 'bl-account'
  /** properties of it */
  with?: Record<string, unknown>
  /** what the API answers otherwise than the fixtures say */
  answers?: Record<string, unknown>
  /** a part of it, and what is set there or pressed */
  part?: string
  set?: Record<string, unknown>
  press?: string[]
  /** calls of the element */
  ask?: 'first' | 'over'
}

const wrong = (message: string, mend: string, more: object = {}) => ({ message, mend, problems: [], ...more })
const desk = (name: string, at: string, more: Partial<DeskState> = {}): DeskState => ({
  name,
  element: 'bl-desk',
  with: { at },
  ...more,
})

export const deskStates: DeskState[] = [
  desk('desk-cases', 'cases'),
  desk('desk-no-case', 'cases', {
    answers: {
      'shop/cases': { total: 0, cases: [] },
      'shop/counts': {
        ...d.counts,
        cases: 0,
        open: 0,
        closed: 0,
        cameBack: 0,
        byCause: [],
        byComplaint: [],
        minutesToFinding: null,
      },
    },
  }),
  desk('desk-technician', 'cases', { answers: { 'shop/me': { role: 'technician', name: 'Sam', shop: d.settings } } }),
  desk('desk-case', 'cases/case-1'),
  desk('desk-case-begun', 'cases/case-3'),
  desk('desk-case-erase', 'cases/case-3', { part: 'bl-desk-case', press: ['summary', 'details button:last-of-type'] }),
  desk('desk-prices', 'prices'),
  desk('desk-prices-none', 'prices', { answers: { 'shop/price-book': { book: null } } }),
  desk('desk-prices-bad', 'prices', {
    part: 'bl-desk-prices',
    set: {
      refused: 'prices.csv',
      wrong: wrong(
        'The price book has 2 bad lines; nothing of it was taken.',
        'Mend what is listed, then send the whole book again.',
        {
          problems: [
            {
              line: 4,
              column: 'price',
              what: '"dear" is not a price',
              mend: 'Write the price as a number, such as 12.50',
            },
            {
              line: 9,
              column: 'remedy',
              what: 'There is no remedy "replace-contactor-44"',
              mend: 'Take the ids from the list that can be downloaded here',
            },
          ],
        },
      ),
    },
  }),
  desk('desk-own', 'own', {
    part: 'bl-desk-own',
    set: { draft: [{ path: 'causes/winch.open.json', text: '{\n  "id": \n}' }] },
  }),
  desk('desk-own-checking', 'own', { answers: { 'shop/overlay': d.overlays.checking } }),
  desk('desk-own-bad', 'own', { answers: { 'shop/overlay': d.overlays.bad } }),
  desk('desk-own-good', 'own', { answers: { 'shop/overlay': d.overlays.good } }),
  desk('desk-own-failing', 'own', { answers: { 'shop/overlay': d.overlays.failing } }),
  desk('desk-people', 'people', { part: 'bl-desk-people', press: ['[aria-expanded]'] }),
  desk('desk-people-end', 'people', { part: 'bl-desk-people', press: ['li .hard'] }),
  desk('desk-settings', 'settings'),
  desk('desk-settings-wrong', 'settings', {
    part: 'bl-desk-settings',
    set: {
      settings: { ...d.settings, ratePerHour: 'seventy' },
      wrong: wrong('This is not a number.', 'Digits only, for example 72.', { field: 'ratePerHour' }),
    },
  }),
  { name: 'order', element: 'bl-work-order', with: { case: 'case-1', now: '2026-11-25T10:00:00.000Z' } },
  {
    name: 'order-blocks',
    element: 'bl-work-order',
    with: { case: 'case-1', now: '2026-11-25T10:00:00.000Z' },
    answers: { 'shop/cases/case-1': d.withBlocks },
  },
  { name: 'order-begun', element: 'bl-work-order', with: { case: 'case-3', now: '2026-11-25T10:00:00.000Z' } },
  { name: 'sheet', element: 'bl-work-order', with: { case: 'case-1', show: 'sheet', now: '2026-11-25T10:00:00.000Z' } },
  { name: 'order-missing', element: 'bl-work-order', with: { case: 'none' } },
  { name: 'sign-in', element: 'bl-sign-in', ask: 'first' },
  { name: 'sign-in-over', element: 'bl-sign-in', ask: 'over' },
  {
    name: 'sign-in-wrong',
    element: 'bl-sign-in',
    ask: 'first',
    set: { wrong: wrong('Name and password do not go together.', 'Type both again, or ask the dealer.') },
  },
  { name: 'account-password', element: 'bl-account', press: ['button'], with: { other: 'desk' } },
  { name: 'account-nobody', element: 'bl-account', with: { offer: true, api: undefined } },
]
