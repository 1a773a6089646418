export { understandAnswer } from './answer.ts'
export type { WordsFile } from './lexicon.ts'
export type {
  AnswerableCheck,
  AnswerProblemCode,
  Scored,
  Understand,
  Understanding,
  UnderstoodAnswer,
} from './types.ts'
export { DONT_KNOW } from './types.ts'
export { createUnderstanding } from './understanding.ts'
