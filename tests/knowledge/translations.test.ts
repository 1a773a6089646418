import { describe, expect, test } from 'vitest'
import { inflesz, perspicuity, perspicuityOf } from '../../rules/reasoning/lint/perspicuity.ts'
import { spanishSyllables } from '../../rules/reasoning/lint/spanish-syllables.ts'
import { lintTranslatedWords } from '../../rules/reasoning/lint/translated-words.ts'
import { lintTranslations } from '../../rules/reasoning/lint/translations.ts'
import { fingerprintOf } from '../../rules/schema/fingerprint.ts'
import { textsOfLanguage } from '../../rules/schema/texts.ts'

const check = {
  id: 'measure-lead.{n}',
  for: [
    { n: 2, side: 'positive' },
    { n: 3, side: 'negative' },
  ],
  who: ['customer'],
  text: {
    ask: 'Does the {side} lead {n} read 12.5 V?',
    how: ['Red on {n}.', 'Black on the frame.'],
    outcomes: { yes: 'Yes', no: { label: 'No', small: 'Below 11 V' } },
  },
}
const good = {
  of: fingerprintOf(check),
  for: [{ side: 'positivo' }, { side: 'negativo' }],
  text: {
    ask: '¿El cable {side} {n} marca 12.5 V?',
    how: ['Roja en {n}.', 'Negra en el chasis.'],
    outcomes: { yes: 'Sí', no: { label: 'No', small: 'Menos de 11 V' } },
  },
}
const file = (path: string, content: unknown) => ({ path, text: JSON.stringify(content) })
const filesWith = (translation: unknown, more: { path: string; text: string }[] = []) => [
  file('checks/measure-lead.n.json', check),
  file('texts/es/language.json', { name: 'Español', complete: false }),
  file('texts/es/checks/measure-lead.n.json', translation),
  ...more,
]
const report = (translation: unknown, more: { path: string; text: string }[] = []) =>
  lintTranslations(filesWith(translation, more))[0]!
/** The good one with one text in the place of another. */
const changed = (from: string, to: string) => JSON.parse(JSON.stringify(good).replace(from, to))

describe('the linter on a translation', () => {
  test('has nothing against a good one', () => {
    expect(report(good)).toEqual({
      language: 'es',
      name: 'Español',
      complete: false,
      problems: [],
      missing: [],
      done: 1,
      all: 1,
    })
  })

  test.each([
    ['a string that is missing', changed('"how":["Roja en {n}.","Negra en el chasis."],', ''), '$.text.how', /missing/],
    [
      'a string too many',
      changed('"yes":"Sí"', '"yes":"Sí","maybe":"Tal vez"'),
      '$.text.outcomes.maybe',
      /no such text/,
    ],
    ['another number of lines', changed(',"Negra en el chasis."', ''), '$.text.how', /1 lines where the English has 2/],
    ['a placeholder that differs', changed('Roja en {n}.', 'Roja en {m}.'), '$.text.how[0]', /\{n\}.*\{m\}/],
    [
      'digits that differ',
      changed('Menos de 11 V', 'Menos de 10 V'),
      '$.text.outcomes.no.small',
      /numbers 11, this has 10/,
    ],
    ['a decimal comma', changed('12.5', '12,5'), '$.text.ask', /numbers 12.5, this has 12,5/],
    ['an empty line', changed('"Sí"', '" "'), '$.text.outcomes.yes', /empty/],
    [
      'English left in a sibling',
      changed('"for":[{"side":"positivo"},{"side":"negativo"}],', ''),
      '$.for[0].side',
      /"positive" would be read in English/,
    ],
    ['one sibling too few', changed(',{"side":"negativo"}', ''), '$.for', /1 entries where the English has 2/],
    [
      'a line where parts belong',
      changed('{"label":"No","small":"Menos de 11 V"}', '"No"'),
      '$.text.outcomes.no',
      /parts/,
    ],
    [
      'phrases where none belong',
      changed('"ask":', '"phrases":["da tirones"],"ask":'),
      '$.text.phrases',
      /do not belong/,
    ],
    ['another shape altogether', { of: '', texts: {} }, '$.text', /./],
  ])('reports %s', (_, translation, path, what) => {
    const { problems } = report(translation)
    const found = problems.find((p) => p.path === path)
    expect(found, JSON.stringify(problems)).toMatchObject({ file: 'texts/es/checks/measure-lead.n.json' })
    expect(found!.what).toMatch(what)
    expect(found!.mend.length).toBeGreaterThan(10)
  })

  test('says what is stale, what was never stamped and what has no translation', () => {
    expect(report({ ...good, of: '0123456789abcdef' })).toMatchObject({
      done: 0,
      missing: [
        {
          path: '$.of',
          what: expect.stringContaining('has changed since'),
          mend: expect.stringContaining('npm run texts'),
        },
      ],
    })
    expect(report({ ...good, of: '' }).missing).toMatchObject([{ what: expect.stringContaining('never stamped') }])
    const more = [file('causes/lead.open.json', { id: 'lead.open', text: { name: 'Lead open' } })]
    expect(report(good, more).missing.map((p) => p.what)).toEqual([
      'causes/lead.open.json is not translated',
      '"lead" has no name (causes/lead.open.json)',
    ])
  })

  test('says what has no English, and what is no JSON', () => {
    const { problems } = report(good, [
      file('texts/es/checks/gone.json', good),
      { path: 'texts/es/checks/measure-lead.n.json', text: '{' },
    ])
    expect(problems.map((p) => p.what)).toEqual(['not valid JSON', 'there is no English checks/gone.json'])
  })

  test('asks for what each part is called, once for all its numbers', () => {
    const cause = (id: string) => file(`causes/${id}.json`, { id, text: { name: 'Open' } })
    const files = [
      cause('pedal-switch-2.open'),
      cause('pedal-switch-3.open'),
      file('texts/es/parts.json', { parts: {} }),
    ]
    const missing = (parts: object) =>
      lintTranslations([...files.slice(0, 2), file('texts/es/parts.json', { parts })])[0]!.missing.filter((p) =>
        p.file.endsWith('parts.json'),
      )
    expect(missing({}).map((p) => p.what.split('"')[1])).toEqual(['pedal switch 2', 'pedal switch', 'pedal switch 3'])
    expect(missing({ 'pedal switch {n}': 'interruptor {n} del pedal', 'pedal switch': 'interruptores' })).toEqual([])
    expect(
      lintTranslations([
        file('texts/es/parts.json', { parts: { 'pedal switch {n}': 'interruptor del pedal' } }),
      ])[0]!.problems.map((p) => p.what),
    ).toContain('only one of the two has {n}')
  })

  test('finds text that is hard to read, and complaints with too few phrases', () => {
    const hard =
      'La comprobación de la continuidad correspondiente al electroimán del contactor principal requiere instrumentación especializada'
    const long = Array.from({ length: 10 }, () => hard)
    const complaint = { id: 'slow', text: { name: 'Slow', plain: 'Slow', until: ['Drive with care.'], phrases: [] } }
    const own = { of: '', text: { name: 'Lento', plain: hard, until: long, phrases: ['va lento'] } }
    const files = [file('complaints/slow.json', complaint), file('texts/es/complaints/slow.json', own)]
    expect(lintTranslatedWords(files).map((p) => p.what)).toEqual([
      expect.stringMatching(/scores -?\d.*INFLESZ "muy difícil"/),
      'only 1 phrases',
    ])
  })
})

describe('the texts of a language', () => {
  test('stand once for each sibling, with words of the language in them', () => {
    const { texts } = textsOfLanguage(filesWith(good), 'es')
    expect(texts.checks['measure-lead.3']).toMatchObject({
      ask: '¿El cable negativo 3 marca 12,5 V?',
      how: ['Roja en 3.', 'Negra en el chasis.'],
    })
  })

  test('leave out what was made from another English text', () => {
    const shops = filesWith(good).map((f) =>
      f.path.startsWith('checks/') ? { ...f, text: f.text.replace('12.5 V', '12.6 V') } : f,
    )
    expect(textsOfLanguage(shops, 'es').texts.checks).toEqual({})
  })

  test('a fingerprint passes over phrases, the order of keys and what is no text', () => {
    const a = { id: 'x', text: { name: 'A', plain: 'B', phrases: ['c'] } }
    expect(fingerprintOf(a)).toBe(fingerprintOf({ base: 1, text: { plain: 'B', name: 'A', phrases: ['d', 'e'] } }))
    expect(fingerprintOf(a)).not.toBe(fingerprintOf({ ...a, text: { ...a.text, plain: 'b' } }))
    expect(fingerprintOf(a)).toMatch(/^[0-9a-f]{16}$/)
  })
})

describe('Spanish readability', () => {
  // Divisions as school books and the Real Academia Española print them.
  test.each(
    'a-ma-ne-cer al-ba-ñil bi-ci-cle-ta ins-crip-ción ra-dio-trans-mi-sor cien miau a-griéis cai-mán de-li-cia boi-na jau-la Luis rui-do ahi-ja-do ahu-ma-do prohi-bir bú-ho truhan a-gua hé-ro-e de-güe-llo a-mor-ti-güéis pla-ne-toi-des a-é-re-o sa-lí-a ra-íl re-ír e-va-lú-as U-ru-guay buey a-pre-ciéis le-er chi-i-ta que guí-a quie-to se-ha-bla y pa-ra-guas cons-truc-ción al-co-hol te-o-rí-a'.split(
      ' ',
    ),
  )('%s', (divided) => {
    expect(spanishSyllables(divided.replaceAll('-', ''))).toBe(divided.split('-').length)
  })

  test('is 206.835 − 62.3 S/P − P/F, counted over words and sentences', () => {
    // By hand: 2 sentences, 9 words, 14 syllables (El ca-rro no an-da. Pi-se el pe-dal sin mie-do.)
    expect(perspicuity(['El carro no anda. Pise el pedal sin miedo.'])).toEqual({
      score: perspicuityOf({ syllables: 14, words: 9, sentences: 2 }),
      words: 9,
    })
    expect(perspicuityOf({ syllables: 200, words: 100, sentences: 5 })).toBeCloseTo(62.235, 3)
  })

  test.each([
    [39.9, 'muy difícil'],
    [40, 'algo difícil'],
    [55, 'normal'],
    [65, 'bastante fácil'],
    [80, 'muy fácil'],
    [120, 'muy fácil'],
  ])('%f is "%s" by the INFLESZ scale', (score, name) => {
    expect(inflesz(score)).toBe(name)
  })
})
