import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { errorMessage } from '../../rules/protocol/say.ts'
import { inLanguage, saidIn } from '../../server/cases/in-language.ts'
import { type Node, nodesOf, sentencesOf } from './sentences.ts'

const root = join(import.meta.dirname, '../..')
const typescript = (folder: string) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(root, folder, name))
const server = typescript('server').flatMap(nodesOf)
/** Where it is worded what is wrong with a file or a field. */
const wording = [
  'rules/record/price-book.ts',
  'rules/record/case-file.ts',
  'rules/protocol/say-issue.ts',
  'server/knowledge/overlays.ts',
].flatMap((file) => nodesOf(join(root, file)))
/** Where it is said how a field is written. */
const messages = ['rules/protocol/client.ts', 'rules/schema/car.ts'].flatMap((file) => nodesOf(join(root, file)))
const everything = new Set([...server, ...wording, ...messages].flatMap(sentencesOf))

/** Where the API words what is wrong and what to do: its own errors, and what it lists of a file or a field. */
const SAYS: Record<string, number> = { ApiError: 2, sayNo: 3 }
const errors = server.flatMap((node) => {
  if (!/^(New|Call)Expression$/.test(node.type)) return []
  const at = SAYS[(node.callee as { name?: string }).name ?? '']
  return at === undefined ? [] : (node.arguments as Node[]).slice(at, at + 2)
})
const listed = wording.flatMap((node) => {
  const key = node.type === 'Property' ? (node.key as { name?: string }).name : undefined
  return key !== undefined && ['text', 'what', 'mend'].includes(key) ? [node.value as Node] : []
})
/** priceOf returns a number, or the sentence that says why it is none. */
const returned = wording.flatMap((node) => (node.type === 'ReturnStatement' ? [node.argument] : []))
/** One way to mend a case file, for whatever is wrong in it. */
const declared = wording.flatMap((node) =>
  node.type === 'VariableDeclarator' && (node.id as { name?: string }).name === 'mend' ? [node.init] : [],
)
/** `.regex(pattern, what to write)` of what people type, or programs send. */
const patterns = [...typescript('server/shop').flatMap(nodesOf), ...messages].flatMap((node) => {
  const { type, callee, arguments: given } = node as Node & { callee: Node; arguments: Node[] }
  if (type !== 'CallExpression' || (callee.property as { name?: string } | undefined)?.name !== 'regex') return []
  return [given[1]]
})
const saidByTheApi = new Set(
  [...errors, ...listed, ...returned, ...declared, ...patterns]
    .flatMap(sentencesOf)
    .filter((text) => text.includes(' ')),
)

describe.each(readdirSync(join(root, 'server/texts')))('what the server says, in %s', (file) => {
  const table = JSON.parse(readFileSync(join(root, 'server/texts', file), 'utf8')) as Record<string, string>
  it('is each something that it does say', () => {
    expect(Object.keys(table).filter((english) => !everything.has(english))).toEqual([])
  })
  it('keeps what is put in', () => {
    for (const [english, own] of Object.entries(table))
      expect(own.match(/\{(said)?\}/g)?.length, english).toBe(english.match(/\{\}/g)?.length)
  })
  it('has every sentence that the API says is wrong, and what to do', () => {
    // Nothing slips by unread: the only ones without words of their own hand on what is worded elsewhere.
    const handedOn = errors.filter((one) => sentencesOf(one).length === 0)
    expect(handedOn.map(({ type }) => type)).toEqual([
      'Identifier',
      'Identifier',
      'MemberExpression',
      'MemberExpression',
    ])
    expect(errors.length).toBeGreaterThan(60)
    expect([...saidByTheApi].filter((english) => !Object.hasOwn(table, english))).toEqual([])
  })
})

it('says for every pattern what is to be written', () => {
  expect(patterns.length).toBe(9)
  expect(patterns.map((one) => sentencesOf(one).length)).toEqual(patterns.map(() => 1))
})

it('is said in the language of the screen, in English where that has no word for it', () => {
  const message = errorMessage('no-such-case', 'No case has the code K7-204.', 'Read the code again.', { re: 'a' })
  expect(inLanguage(message, 'es')).toEqual({
    ...message,
    text: 'Ningún caso tiene el código K7-204.',
    mend: 'Lea el código otra vez.',
  })
  expect(inLanguage(message, 'en')).toEqual(message)
  expect(inLanguage(message, undefined)).toEqual(message)
  expect(inLanguage(errorMessage('invalid', 'Something else.', 'Mend it.'), 'es')).toMatchObject({
    text: 'Something else.',
  })
})

it.each([
  ['It has 2 cells, the header 3', 'Tiene 2 celdas; la primera línea, 3'],
  // What most words are said around is the right one of two that fit; a kind of value is said in Spanish too.
  ['"ratePerHour" is text, where a number belongs.', '“ratePerHour” es texto, donde va un número.'],
  ['"role" is "boss".', '“role” es "boss".'],
  [
    '"currency" can\'t be taken: not a currency of ISO 4217.',
    '“currency” no se puede aceptar: no es una moneda de ISO 4217.',
  ],
  ['"login" is "Ána b", which does not fit there.', '“login” es "Ána b", y eso ahí no sirve.'],
  ['Write at least five digits.', 'Escriba al menos cinco cifras.'],
  // What a person or a library says stays as it is, whatever words are in it.
  ['Somebody signs in as "text" already.', 'Ya hay alguien que entra como “text”.'],
  ['There is no shop "a" is "b".', 'No hay ningún taller “a" is "b”.'],
  ['constructor', 'constructor'],
  ['It has 2 cells, the header', 'It has 2 cells, the header'],
])('%s', (english, spanish) => {
  expect(saidIn('es-MX')(english)).toBe(spanish)
  expect(saidIn('en')(english)).toBe(english)
  expect(saidIn('fr')(english)).toBe(english)
})

it('a text made to take for ever does not', () => {
  const made = `"${'" is , where '.repeat(20_000)}`
  expect(saidIn('es')(made)).toBe(made)
})
