export { GREATEST_LENGTH, parseReading } from './parse-reading.ts'
export type {
  Expected,
  Note,
  NoteCode,
  ParsedReading,
  ProblemCode,
  Reading,
  ReadingProblem,
  Suggestion,
} from './types.ts'
