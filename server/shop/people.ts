import { hash, verify } from '@node-rs/argon2'
import { z } from 'zod'
import { passId } from '../cases/passes.ts'
import type { ServerOutside } from '../outside.ts'
import { LoginTaken, type Pass, type Person, type Store } from '../store/store.ts'
import type { Limits } from '../transport/limits.ts'
import { ApiError, type Route, route } from '../transport/routes.ts'

/** argon2id with 19 MiB, two passes: the least that the OWASP Password Storage Cheat Sheet recommends. */
export const ARGON2 = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const
/** Wrong passwords in a row, then nobody gets in for a while. */
export const FAILURES = 5
export const LOCKED_MINUTES = 15
/** A working day. */
export const SESSION_HOURS = 12

const login = z
  .string()
  .trim()
  .toLowerCase()
  .regex(
    /^[a-z0-9][a-z0-9._-]{1,39}$/,
    'two to forty small letters, digits, dots or dashes, with a letter or digit first',
  )
const password = z.string().min(10).max(200)
const name = z.string().trim().min(1).max(60)
const role = z.enum(['technician', 'dealer'])
export const personBody = z.object({
  id: z.string(),
  login: z.string(),
  name: z.string(),
  role,
  lockedUntil: z.string().optional(),
  leftAt: z.string().optional().describe('may not sign in any more; the record still knows the name'),
})
const ok = z.object({ ok: z.literal(true) })
const OK = { ok: true as const }

export interface PeopleParts {
  store: Store
  outside: ServerOutside
  limits: Limits
}

/** Signing in and out, and who may. */
export function peopleRoutes({ store, outside, limits }: PeopleParts): Route[] {
  // Of a password that nobody has: so that an unknown name takes as long as a known one.
  const nobody = hash(outside.pass(), ARGON2)

  const wrong = () =>
    new ApiError(401, 'bad-pass', 'Name and password do not go together.', 'Type both again, or ask the dealer.')
  const locked = () =>
    new ApiError(
      429,
      'too-many',
      'Too many wrong passwords.',
      `Wait ${LOCKED_MINUTES} minutes, or ask the dealer for a new password.`,
    )

  async function signIn(shop: string, typed: { login: string; password: string }, address: string) {
    if (!(await limits.maySignIn(address))) throw locked()
    const person = await store.personByLogin(shop, typed.login)
    if (!person || person.leftAt) {
      await verify(await nobody, typed.password)
      if (!(await limits.mayGuess(`${shop} ${typed.login}`))) throw locked()
      throw wrong()
    }
    const now = outside.now()
    // Not even the right password gets in, or guessing would go on behind the lock.
    if (person.lockedUntil !== undefined && person.lockedUntil > now) throw locked()
    if (!(await verify(person.hash, typed.password))) {
      const failures = await store.countFailure(shop, person.id, FAILURES, later(now, LOCKED_MINUTES))
      throw failures >= FAILURES ? locked() : wrong()
    }
    if (person.failures > 0) await store.clearFailures(shop, person.id)
    const secret = outside.pass()
    const pass: Pass = {
      id: passId(secret),
      shop,
      role: person.role,
      name: person.name,
      person: person.id,
      endsAt: later(now, SESSION_HOURS * 60),
    }
    await store.addPass(pass, now)
    return { pass: secret, person: shown(person), endsAt: pass.endsAt! }
  }

  const found = async (shop: string, id: string) => {
    const person = await store.person(shop, id)
    if (!person) throw new ApiError(404, 'not-found', 'There is no such person in this shop.', 'Mend the id.')
    return person
  }

  return [
    route({
      method: 'post',
      path: '/api/shop/sign-in',
      who: 'anyone',
      summary: 'Sign in as a technician or dealer',
      about: `The pass goes with every request (Authorization: Bearer) and with "open" on the socket. It ends after ${SESSION_HOURS} hours. After ${FAILURES} wrong passwords in a row nobody signs in under that name for ${LOCKED_MINUTES} minutes.`,
      query: z.object({ shop: z.string().max(80).default('demo') }),
      body: z.strictObject({ login: z.string().trim().toLowerCase().max(80), password: z.string().max(200) }),
      reply: z.object({ pass: z.string(), person: personBody, endsAt: z.string() }),
      errors: { 401: 'wrong name or password', 429: 'locked after too many wrong passwords' },
      run: ({ shop, body, address }) => signIn(shop.id, body, address),
    }),
    route({
      method: 'post',
      path: '/api/shop/sign-out',
      who: ['technician', 'dealer'],
      summary: 'Sign out: the pass is good for nothing any more, on any screen',
      reply: ok,
      async run({ pass }) {
        await store.endPass(pass.id, outside.now())
        return OK
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/me',
      who: ['customer', 'technician', 'dealer'],
      summary: 'Whose pass this is',
      reply: z.object({
        role: z.enum(['customer', 'technician', 'dealer']),
        name: z.string().optional(),
        person: z.string().optional(),
        case: z.string().optional(),
        endsAt: z.string().optional(),
        shop: z.object({ id: z.string(), name: z.string() }),
      }),
      async run({ pass, shop }) {
        const { role, name, person, case: own, endsAt } = pass
        return { role, name, person, case: own, endsAt, shop: { id: shop.id, name: shop.name } }
      },
    }),
    route({
      method: 'post',
      path: '/api/shop/password',
      who: ['technician', 'dealer'],
      summary: "Change one's own password; signs out everywhere else",
      body: z.strictObject({ old: z.string().max(200), new: password }),
      reply: z.object({ pass: z.string(), person: personBody, endsAt: z.string() }),
      errors: { 401: 'the old password is wrong', 409: 'this pass is a link, which has no password' },
      async run({ pass, shop, body, address }) {
        if (pass.person === undefined) {
          throw new ApiError(
            409,
            'conflict',
            'A sign-in link has no password.',
            'Ask the dealer for a name to sign in.',
          )
        }
        const person = await found(shop.id, pass.person)
        await signIn(shop.id, { login: person.login, password: body.old }, address)
        await store.changePerson(shop.id, person.id, { hash: await hash(body.new, ARGON2) })
        await store.endPassesOf(shop.id, person.id, outside.now())
        return signIn(shop.id, { login: person.login, password: body.new }, address)
      },
    }),
    route({
      method: 'get',
      path: '/api/shop/people',
      who: ['dealer'],
      summary: 'Everybody who signs in, or did',
      reply: z.object({ people: z.array(personBody) }),
      run: async ({ shop }) => ({ people: (await store.people(shop.id)).map(shown) }),
    }),
    route({
      method: 'post',
      path: '/api/shop/people',
      who: ['dealer'],
      summary: 'Let somebody sign in',
      body: z.strictObject({ login, name, role, password }),
      reply: personBody,
      errors: { 409: 'somebody else signs in with this name' },
      async run({ shop, body }) {
        const person: Person = {
          shop: shop.id,
          id: `p-${outside.newId()}`,
          login: body.login,
          name: body.name,
          role: body.role,
          hash: await hash(body.password, ARGON2),
          failures: 0,
          madeAt: outside.now(),
        }
        try {
          await store.addPerson(person)
        } catch (error) {
          if (!(error instanceof LoginTaken)) throw error
          throw new ApiError(409, 'conflict', `Somebody signs in as "${body.login}" already.`, 'Take another name.', {
            field: 'login',
          })
        }
        return shown(person)
      },
    }),
    route({
      method: 'patch',
      path: '/api/shop/people/{person}',
      who: ['dealer'],
      summary: 'Change a name, a role, a forgotten password; or end somebody’s signing in',
      about: 'A new role or password, or leaving, signs the person out everywhere. It also unlocks.',
      body: z.strictObject({ name, role, password, left: z.boolean() }).partial(),
      reply: personBody,
      errors: { 404: 'no such person', 409: 'the shop would have no dealer left' },
      async run({ shop, params, body }) {
        const person = await found(shop.id, params.person!)
        const now = outside.now()
        if (person.role === 'dealer' && (body.role === 'technician' || body.left)) {
          const others = (await store.people(shop.id)).filter(
            (p) => p.id !== person.id && p.role === 'dealer' && p.leftAt === undefined,
          )
          if (others.length === 0) {
            throw new ApiError(
              409,
              'conflict',
              'The shop would have no dealer left.',
              'Let another dealer sign in first.',
            )
          }
        }
        await store.changePerson(shop.id, person.id, {
          ...(body.name === undefined ? {} : { name: body.name }),
          ...(body.role === undefined ? {} : { role: body.role }),
          ...(body.password === undefined ? {} : { hash: await hash(body.password, ARGON2) }),
          ...(body.left === undefined ? {} : { leftAt: body.left ? now : null }),
        })
        await store.clearFailures(shop.id, person.id)
        if (body.role ?? body.password ?? body.left) await store.endPassesOf(shop.id, person.id, now)
        return shown(await found(shop.id, person.id))
      },
    }),
    route({
      method: 'post',
      path: '/api/shop/links/end',
      who: ['dealer'],
      summary: 'End every sign-in link: whoever uses one needs a name and a password from now on',
      reply: ok,
      async run({ shop, pass }) {
        await store.endLinks(shop.id, outside.now(), pass.id)
        return OK
      },
    }),
  ]
}

function shown(p: Person): z.infer<typeof personBody> {
  const { id, login, name, role, lockedUntil, leftAt } = p
  return {
    id,
    login,
    name,
    role,
    ...(lockedUntil === undefined ? {} : { lockedUntil }),
    ...(leftAt === undefined ? {} : { leftAt }),
  }
}

const later = (now: string, minutes: number) => new Date(Date.parse(now) + minutes * 60_000).toISOString()
