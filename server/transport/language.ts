import type { Request, Response } from 'express'
import { LANGUAGES } from '../cases/in-language.ts'

/** The language that a request asks for, of those that there are; the answer says that it depends on it. */
export function languageOf(request: Request, response: Response): string {
  response.vary('Accept-Language')
  return request.acceptsLanguages([...LANGUAGES]) || 'en'
}
