import { describe, expect, it } from 'vitest'
import { localise } from '../../rules/conversation/texts/localise.ts'
import { createUnderstanding, understandAnswer } from '../../rules/conversation/words/index.ts'
import { wordsFile } from '../../rules/conversation/words/lexicon.ts'
import { textsOfLanguage } from '../../rules/schema/texts.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'
import { shippedKnowledge } from './knowledge.ts'
import { readLines, scoreWords } from './score.ts'

const texts = textsOfLanguage(readKnowledgeFiles(), 'es')
const words = wordsFile.parse(texts.words)
const knowledge = localise(shippedKnowledge(), texts)
const understand = createUnderstanding(knowledge, 'es', words)
const first = (text: string) => {
  const { domain, options } = understand(text)
  return domain === 'in' ? options[0] : domain
}

// The lines and labels are the project's own (see README.md here): no outside source.
describe('Spanish lines held out', () => {
  const lines = readLines('paraphrases.es.json')
  const score = scoreWords(lines, understand)
  it('are at least 200, four or more for each complaint', () => {
    expect(lines.length).toBeGreaterThanOrEqual(200)
    for (const { id } of knowledge.complaints)
      expect(lines.filter((line) => line.complaints[0] === id).length, id).toBeGreaterThanOrEqual(4)
  })
  it('stand in no list of phrases', () => {
    const plain = (text: string) =>
      text
        .toLowerCase()
        .replace(/[^\p{L}\d]+/gu, ' ')
        .trim()
    const phrases = new Set(
      [...knowledge.complaints, ...knowledge.circumstances].flatMap((c) => c.text.phrases.map(plain)),
    )
    const others = new Set([...words.notOurs, ...words.otherThings].map(plain))
    expect(lines.filter(({ text }) => phrases.has(plain(text)) || others.has(plain(text)))).toEqual([])
  })
  it('get the right complaint first', () => expect(score.topOne).toBeGreaterThanOrEqual(0.88))
  it('have the right complaint among the first three', () => expect(score.topThree).toBeGreaterThanOrEqual(0.95))
  it('are refused when they are about something else', () => expect(score.refused).toBeGreaterThanOrEqual(0.9))
  it('are seldom taken wrongly without asking', () => expect(score.sureButWrong).toBeLessThanOrEqual(0.05))
})

describe('what people say in Spanish', () => {
  it.each([
    ['da tirones cuando piso el pedal', 'jerks-on-acceleration'],
    ['hace clic pero no anda', 'no-go-clicks'],
    ['no anda, ni un clic', 'no-go-silent'],
    ['marcha atrás nada, adelante bien', 'one-direction-only'],
    ['EL CARGADOR ZUMBA PERO NO CARGA', 'charger-hums-no-current'],
    ['el cargador no se apaga nunca', 'charger-never-stops'],
    ['uele a kemado', 'hot-or-burning-smell'],
    ['no core nada, ba mui lento', 'slow-everywhere'],
    ['cada vez dura menos la bateria', 'short-range'],
  ])('%s', (text, id) => expect(first(text)).toBe(id))

  it('is read alike with and without accents', () => {
    expect(understand('se corta en la subida después de mojarse')).toEqual(
      understand('se corta en la subida despues de mojarse'),
    )
  })
  it('hears when it happens, and what went before', () => {
    const said = (text: string) => understand(text).circumstances.map((c) => c.id)
    expect(said('da tirones cuando hace frío')).toContain('when-cold')
    expect(said('se corta en los baches desde que le cambiaron un cable')).toEqual(
      expect.arrayContaining(['on-bumps', 'after-work-done']),
    )
    expect(said('da tirones, nunca se ha mojado')).not.toContain('after-water')
  })
  it('is turned away where it is about something else', () => {
    expect(first('la lavadora no centrifuga')).toBe('out')
    expect(first('¿a qué hora abren el bar?')).toBe('out')
  })
})

describe('typed answers in Spanish', () => {
  const click = {
    id: 'listen',
    outcomes: [{ id: 'click' }, { id: 'none' }],
    text: { ask: '¿Se oye un clic?', outcomes: { click: 'Un clic', none: 'Nada' } },
  }
  const volts = {
    id: 'measure',
    outcomes: [{ id: 'high' }, { id: 'low' }],
    reading: { unit: 'V' as const, min: 0, max: 60 },
    text: { ask: '¿Cuánto marca?', outcomes: { high: 'Alto', low: 'Bajo' } },
  }
  it.each([
    ['sí', 'click'],
    ['Si', 'click'],
    ['claro que sí', 'click'],
    ['no', 'none'],
    ['no suena', 'none'],
    ['no se oye nada', 'none'],
    ['no se oye', 'none'],
    ['la segunda', 'none'],
    ['la primera', 'click'],
    ['no sé', 'dont-know'],
    ['no se', 'dont-know'],
    ['no lo se, no mire', 'dont-know'],
    ['ni idea', 'dont-know'],
  ])('%s', (text, outcome) => {
    expect(understandAnswer(text, click, { language: 'es', words })).toEqual({ kind: 'outcome', outcome })
  })
  it('a "no" at the end denies what stands before it', () => {
    const bumps = {
      id: 'ask-on-bumps',
      outcomes: [{ id: 'yes' }, { id: 'no' }],
      text: { ask: '¿Pasa cuando anda por baches?', outcomes: { yes: 'Sí, los baches lo cambian', no: 'No' } },
    }
    const of = (text: string) => understandAnswer(text, bumps, { language: 'es', words })
    expect(of('no, en los baches no')).toEqual({ kind: 'outcome', outcome: 'no' })
    expect(of('en los baches sí')).toEqual({ kind: 'outcome', outcome: 'yes' })
  })
  it.each([
    ['como 31 voltios', 31],
    ['31,2', 31.2],
    ['31.2 V', 31.2],
    ['treinta y uno', 31],
    ['doce coma seis', 12.6],
    ['unos 36 con 5', 36.5],
    ['marca 12,65 voltios', 12.65],
    ['veintiséis y medio', 26.5],
  ])('%s', (text, value) => {
    expect(understandAnswer(text, volts, { language: 'es', words })).toEqual({
      kind: 'reading',
      reading: { value, unit: 'V' },
    })
  })
  it.each([
    ['12 ohmios', 'wrong-unit'],
    ['400 voltios', 'out-of-range'],
  ])('%s is a problem', (text, code) => {
    expect(understandAnswer(text, volts, { language: 'es', words })).toMatchObject({ kind: 'problem', code })
  })
})
