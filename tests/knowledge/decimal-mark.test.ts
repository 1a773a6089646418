import { expect, it } from 'vitest'
import { withDecimalMark } from '../../rules/schema/decimal-mark.ts'
import { textsOfLanguage } from '../../rules/schema/texts.ts'
import { readKnowledgeFiles } from '../../server/knowledge/load.ts'

it('figures have the mark of the language; numbers of standards, months and what is no figure stay', () => {
  expect(withDecimalMark('Menos de 0.3 V, de 2.50 a 2.65 V por celda; 36.6. ', 'es')).toBe(
    'Menos de 0,3 V, de 2,50 a 2,65 V por celda; 36,6. ',
  )
  for (const same of [
    'NEC 210.20',
    'ILTVA Z130.1',
    '29 CFR 1910.178(g)',
    'TM 9-6140-200-14',
    'Espere 5. 10 V',
    '1.2.3',
  ])
    expect(withDecimalMark(same, 'es')).toBe(same)
  expect(withDecimalMark('Menos de 0.3 V', 'es-MX')).toBe('Menos de 0.3 V')
})

it('no Spanish text of the knowledge shows a figure with a point', () => {
  const { texts, facts, parts } = textsOfLanguage(readKnowledgeFiles(), 'es')
  expect(texts.checks['measure-drop-sliding-lead']!['good']).toBe('Menos de 0,3 V.')
  const figures = JSON.stringify([texts, facts, Object.values(parts)]).match(/(?<![\w.-])\d{1,2}\.\d+/g)
  expect(figures).toBeNull()
})
