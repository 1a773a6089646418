import request from 'supertest'
import type { Harness } from './harness.ts'

/** Requests as somebody. */
export function as(server: Pick<Harness, 'base'>, pass?: string) {
  const send = (method: 'get' | 'post' | 'put' | 'patch' | 'delete') => (path: string, body?: object | string) => {
    const made = request(server.base)[method](`/api/shop${path}`)
    if (pass !== undefined) made.set('Authorization', `Bearer ${pass}`)
    if (typeof body === 'string') return made.set('Content-Type', 'text/csv').send(body)
    return body === undefined ? made : made.send(body)
  }
  return { get: send('get'), post: send('post'), put: send('put'), patch: send('patch'), delete: send('delete') }
}

export const PASSWORD = 'larch lake 42'

/** A dealer and a technician who have signed in. */
export async function staff(server: Harness) {
  const link = as(server, server.dealerPass)
  const add = async (login: string, role: string) => {
    const added = await link.post('/people', { login, name: login, role, password: PASSWORD }).expect(200)
    const session = await as(server).post('/sign-in', { login, password: PASSWORD }).expect(200)
    return { id: added.body.id as string, pass: session.body.pass as string }
  }
  const dealer = await add('dana', 'dealer')
  const technician = await add('sam', 'technician')
  return { dealer, technician, asDealer: as(server, dealer.pass), asTechnician: as(server, technician.pass) }
}
