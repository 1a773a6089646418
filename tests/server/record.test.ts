import Papa from 'papaparse'
import { describe, expect, it } from 'vitest'
import { estimateOf } from '../../rules/conversation/compose/estimate.ts'
import type { ShopMoney } from '../../rules/conversation/types.ts'
import type { CaseEvent, StoredEvent } from '../../rules/protocol/index.ts'
import { CSV_COLUMNS, casesCsv, countCases, earlierVisits, filterCases, type Listed } from '../../rules/record/lists.ts'
import { priceBookCsv, readPriceBook } from '../../rules/record/price-book.ts'
import {
  agreedUpTo,
  causesOf,
  emptySummary,
  minutesToFinding,
  summaryAfter,
  summaryOf,
} from '../../rules/record/summary.ts'
import { approvedUpTo, inForce, toDo, workOf } from '../../rules/record/work.ts'

const day = (minutes: number) => new Date(Date.parse('2025-05-05T08:00:00.000Z') + minutes * 60_000).toISOString()
let seq = 0
const at = (minutes: number, by: CaseEvent['by'], event: object): StoredEvent =>
  ({ at: day(minutes), by, cause: 'm', seq: ++seq, ...event }) as StoredEvent
const tech = (minutes: number, event: object) => at(minutes, 'technician', event)
const opened = (tag?: string) =>
  at(0, 'customer', { type: 'opened', code: 'K7-204', shop: 'demo', language: 'en', knowledge: 'k', facts: {}, tag })

describe('the summary of a case', () => {
  const events = [
    opened('12'),
    at(1, 'customer', { type: 'said', complaints: ['brakes-drag', 'brakes-weak'], circumstances: [], sure: true }),
    at(1, 'customer', { type: 'said', complaints: ['runs-away'], circumstances: [], sure: false }),
    at(2, 'customer', { type: 'shown', ask: null, cautions: [], finding: ['brake.guess'] }),
    at(2, 'customer', { type: 'retracted', check: 'complaint.brakes-weak' }),
    tech(30, { type: 'acknowledged', caution: 'live-pack' }),
    tech(42, { type: 'shown', ask: null, cautions: [], finding: ['brake.cable', 'brake.shoe'] }),
    tech(60, { type: 'repaired', remedy: 'adjust-brake-cable' }),
    tech(60, { type: 'shown', ask: 'x', cautions: [], finding: [] }),
    tech(70, { type: 'repaired', remedy: 'bleed-brakes' }),
  ]
  it('counts what a technician found and repaired, not what a customer was told to expect', () => {
    const s = summaryOf(events)
    expect(s.complaints).toEqual(['brakes-drag'])
    expect(minutesToFinding(s)).toBe(12)
    expect(s.repaired.map((r) => [r.remedy, r.causes])).toEqual([
      ['adjust-brake-cable', ['brake.cable', 'brake.shoe']],
      // By then that finding did not hold any more: it is not counted twice.
      ['bleed-brakes', []],
    ])
    expect(causesOf(s)).toEqual(['brake.cable'])
  })
  it('a signature stands until more is done', () => {
    const signed = [...events, tech(80, { type: 'signed-off', charged: 90 })]
    expect(summaryOf(signed)).toMatchObject({ signedOffAt: day(80), charged: 90 })
    for (const more of [
      { type: 'repaired', remedy: 'x' },
      { type: 'car-state', state: { lifted: ['motor'] } },
    ]) {
      expect(summaryOf([...signed, tech(90, more)]).signedOffAt).toBeUndefined()
    }
    expect(summaryOf([...signed, tech(90, { type: 'car-state', state: { lifted: [] } })]).charged).toBe(90)
  })
  it('is the same whether events come one by one or together', () => {
    let one = emptySummary()
    for (const e of events) one = JSON.parse(JSON.stringify(summaryAfter(one, e)))
    expect(one).toEqual(JSON.parse(JSON.stringify(summaryOf(events))))
  })
})

describe('what was agreed', () => {
  const yes = (remedies: string[], upTo: number) => tech(1, { type: 'approved', remedies, upTo, way: 'by-phone' })
  const no = (remedies: string[]) => tech(1, { type: 'declined', remedies })
  it.each([
    ['nothing', [], undefined],
    ['one thing', [yes(['a'], 100)], 100],
    ['more work later', [yes(['a'], 100), yes(['b'], 50.1)], 150.1],
    ['the same again, for more', [yes(['a'], 100), yes(['a'], 130)], 130],
    ['taken back', [yes(['a'], 100), no(['a'])], undefined],
    ['one of two taken back', [yes(['a', 'b'], 100), no(['a'])], 100],
    ['a no before the yes', [no(['a']), yes(['a'], 80)], 80],
    ['both halves taken back one after the other', [yes(['a', 'b'], 100), no(['a']), no(['b'])], undefined],
    ['one of two again, after the other was taken back', [yes(['a', 'b'], 100), no(['a']), yes(['b'], 60)], 60],
    ['cents', [yes(['a'], 0.1), yes(['b'], 0.2)], 0.3],
  ])('%s', (_what, events, upTo) => {
    expect(approvedUpTo(workOf(events))).toBe(upTo)
    // The list of cases and the month's CSV say the same.
    expect(agreedUpTo(summaryOf(events))).toBe(upTo)
    expect(inForce(workOf(events)).length > 0).toBe(upTo !== undefined)
  })
  it('a repair or a bridge after the list was gone through makes it to do again', () => {
    const done = (item: string) => tech(1, { type: 'handed-back', item, result: 'done' })
    const list = ['torque', 'bridges-out', 'leads-back', 'brake-test', 'road-test', 'charge-cycle'].map(done)
    expect(toDo(workOf(list))).toEqual([])
    expect(toDo(workOf([...list, tech(2, { type: 'repaired', remedy: 'x' })]))).toHaveLength(6)
    expect(toDo(workOf([...list, tech(2, { type: 'car-state', state: { bridged: ['x'] } })]))).toEqual(['bridges-out'])
    expect(toDo(workOf([...list, tech(2, { type: 'car-state', state: { lifted: ['x'] } })]))).toEqual(['leads-back'])
    expect(toDo(workOf([...list, tech(2, { type: 'car-state', state: { lifted: [] } })]))).toEqual([])
  })
})

describe('lists of cases', () => {
  const listed = (id: string, minutes: number, tag: string | undefined, change: object = {}): Listed => ({
    case: id,
    code: `K7-${id}`,
    status: 'open',
    ...(tag === undefined ? {} : { tag }),
    openedAt: day(minutes),
    changedAt: day(minutes),
    summary: { ...emptySummary(), ...change },
  })
  const cases = [
    listed('201', 0, 'Car 12', { complaints: ['brakes-drag'], finding: ['brake.cable'] }),
    listed('202', 10, 'car-12', { workBeganAt: day(0), foundAt: day(9) }),
    listed('203', 20, 'CAR 12', { workBeganAt: day(0), foundAt: day(3) }),
    listed('204', 30, '12'),
    listed('205', 40, undefined, { workBeganAt: day(0), foundAt: day(4) }),
    listed('206', 50, undefined, { workBeganAt: day(0), foundAt: day(20) }),
  ]
  it('a car is the same however its tag is written; one without a tag is nobody’s', () => {
    expect(earlierVisits(cases, cases[2]!).map((c) => c.case)).toEqual(['202', '201'])
    expect(earlierVisits(cases, cases[0]!)).toEqual([])
    expect(earlierVisits(cases, cases[5]!)).toEqual([])
    expect(filterCases(cases, { tag: 'car12' }).map((c) => c.case)).toEqual(['201', '202', '203'])
    expect(filterCases(cases, { code: 'k7 203' }).map((c) => c.case)).toEqual(['203'])
    expect(filterCases(cases, { from: day(10), to: day(30) }).map((c) => c.case)).toEqual(['202', '203'])
  })
  it('counts', () => {
    expect(countCases(cases)).toMatchObject({
      cases: 6,
      cameBack: 2,
      byCause: [{ id: 'brake.cable', count: 1 }],
      // 3, 4, 9, 20
      minutesToFinding: { cases: 4, median: 6.5, mean: 9, most: 20 },
    })
    expect(countCases(cases.slice(1, 3)).minutesToFinding?.median).toBe(6)
    expect(countCases([]).minutesToFinding).toBeNull()
  })
  it('as CSV keep quotes, commas and line breaks as RFC 4180 has them, and no formula', () => {
    const odd = ['say "aaa"', 'a,b', 'c\r\nd', '=1+2', '@x', '+1', '-1']
    const text = casesCsv(odd.map((tag, i) => listed(String(i), i, tag)))
    // RFC 4180, section 2: lines end in CRLF (1, 2); a quote inside is doubled (7).
    expect(text.startsWith(`${CSV_COLUMNS.join(',')}\r\n`)).toBe(true)
    expect(text.endsWith('\r\n')).toBe(true)
    expect(text).toContain('"say ""aaa"""')
    const rows = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true }).data
    expect(rows.map((r) => r.car)).toEqual(['say "aaa"', 'a,b', 'c\r\nd', "'=1+2", "'@x", "'+1", "'-1"])
  })
})

describe('a price book', () => {
  const ids = new Set(['a', 'b', 'c'])
  it.each([
    ['commas', 'remedy,price\na,12.50\n'],
    ['semicolons and decimal commas', 'remedy;price\r\na;12,5\r\n'],
    ['tabs', 'remedy\tprice\na\t12.5'],
    ['a mark of its encoding first', '\uFEFFRemedy , PRICE\n a , 12.50 \n\n'],
    ['lines that are not priced', 'remedy,part,price\na,x,12.5\nb,y,\nc,,\n'],
  ])('with %s', (_what, text) => {
    const read = readPriceBook(text, ids)
    expect('lines' in read && read.lines.map(({ remedy, price }) => [remedy, price])).toEqual([['a', 12.5]])
  })
  it('names the line of the file, also after a cell with a line break', () => {
    const read = readPriceBook('remedy,part,price\na,"two\nlines",1\nb,x,dear\n', ids)
    expect('problems' in read && read.problems.map((p) => p.line)).toEqual([4])
  })
  it('comes back as it was written', () => {
    const lines = [{ remedy: 'a', part: 'C4, "heavy"', price: 1.5 }, { remedy: 'b' }]
    expect(readPriceBook(priceBookCsv(lines), ids)).toEqual({ lines: [lines[0]] })
  })
})

describe('the estimate', () => {
  const knowledge = {
    settings: { ratePerHour: 60, otherMinutes: 120 },
    remedies: [
      { id: 'a', minutes: 30, part: { low: 10, high: 30 } },
      { id: 'b', minutes: 60, part: { low: 100, high: 100 } },
    ],
  }
  const estimate = (money: ShopMoney) =>
    estimateOf(
      { knowledge } as never,
      {
        state: { money },
        remedies: [
          { remedy: 'a', p: 0.75 },
          { remedy: 'b', p: 0.25 },
        ],
      } as never,
    )
  it('is labour at the shop’s rate and parts from its price book', () => {
    // By hand: a is 30 + 10…30, b is 60 + 100; 0.75 × 50 + 0.25 × 160 = 77.5, to the nearest five 80.
    expect(estimate({})).toEqual({ likely: 50, low: 40, high: 160, expected: 80 })
    // At 120 an hour a is 60 + 50, b is 120 + 100: 0.75 × 110 + 0.25 × 220 = 137.5.
    expect(estimate({ ratePerHour: 120, currency: 'EUR', prices: { a: 50 } })).toEqual({
      likely: 110,
      low: 110,
      high: 220,
      expected: 140,
      currency: 'EUR',
    })
  })
})
