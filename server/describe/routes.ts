import { z } from 'zod'
import { caseFileSchema } from '../../rules/record/case-file.ts'
import { type Route, route } from '../transport/routes.ts'
import { asyncApi } from './asyncapi.ts'
import { openApi } from './openapi.ts'

/** What the server says of itself: OpenAPI of its HTTP side, AsyncAPI of its socket, the schema of an exported case. */
export function descriptionRoutes(others: readonly Route[]): Route[] {
  const once = <T>(make: () => T) => {
    let made: T | undefined
    return async () => {
      made ??= make()
      return made
    }
  }
  const routes: Route[] = [
    route({
      method: 'get',
      path: '/api/openapi.json',
      who: 'anyone',
      summary: 'This description, OpenAPI 3.1',
      reply: z.looseObject({ openapi: z.string() }),
      run: once(() => openApi([...others, ...routes])),
    }),
    route({
      method: 'get',
      path: '/api/asyncapi.json',
      who: 'anyone',
      summary: 'The socket at /converse, AsyncAPI 3.0',
      reply: z.looseObject({ asyncapi: z.string() }),
      run: once(asyncApi),
    }),
    route({
      method: 'get',
      path: '/api/schemas/case.json',
      who: 'anyone',
      summary: 'JSON Schema of an exported case, draft 2020-12',
      reply: z.looseObject({ $schema: z.string() }),
      run: once(caseFileSchema),
    }),
  ]
  return routes
}
