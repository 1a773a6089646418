import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { transcript } from '../../rules/protocol/transcript.ts'
import type { RealServer } from './real-server.ts'

export const PASSWORD = 'larch lake 42'

/** The server's API as the desk's sign-in link, or as somebody else. */
export async function api<T = Record<string, never>>(
  server: RealServer,
  method: string,
  path: string,
  body?: object | string,
  pass = server.deskPass,
): Promise<T> {
  const response = await fetch(`${server.url}/api/${path}`, {
    method,
    headers: {
      ...(pass === 'none' ? {} : { authorization: `Bearer ${pass}` }),
      'content-type': typeof body === 'string' ? 'text/csv' : 'application/json',
    },
    ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
  })
  if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${await response.text()}`)
  return (await response.json()) as T
}

export async function addPerson(server: RealServer, login: string, role: 'technician' | 'dealer') {
  const name = login[0]!.toUpperCase() + login.slice(1)
  return api<{ id: string }>(server, 'POST', 'shop/people', { login, name, role, password: PASSWORD })
}

export async function passOf(server: RealServer, login: string): Promise<string> {
  return (await api<{ pass: string }>(server, 'POST', 'shop/sign-in', { login, password: PASSWORD }, 'none')).pass
}

/** Signs in, and is in: what is under the form can be used again. */
export async function signIn(page: Page, login: string, password = PASSWORD): Promise<void> {
  await trySignIn(page, login, password)
  await page.locator('bl-sign-in form').waitFor({ state: 'detached' })
}

/** Fills the sign-in form and sends it. */
export async function trySignIn(page: Page, login: string, password = PASSWORD): Promise<void> {
  const form = page.locator('bl-sign-in form')
  await form.getByLabel('Sign-in name').fill(login)
  await form.getByLabel('Password').fill(password)
  await form.getByRole('button', { name: 'Sign in', exact: true }).click()
}

let sent = 0
/** A conversation of the demo, played over HTTP by a customer and this technician. */
export async function play(server: RealServer, story: string, tag: string, pass: string) {
  const file = new URL(`../../transcripts-demo/${story}.json`, import.meta.url)
  const { steps, facts } = transcript.parse(JSON.parse(readFileSync(file, 'utf8')))
  type Replies = { replies: { type: string; case: string; code: string; pass: string; text?: string }[] }
  const open = { v: 1, id: `open-${++sent}`, type: 'open', shop: 'demo', tag, facts }
  const [opened] = (await api<Replies>(server, 'POST', 'cases', open, 'none')).replies
  const say = async (by: 'customer' | 'technician' | 'dealer', message: object) => {
    const body = { v: 1, id: `message-${++sent}`, ...message }
    const who = by === 'customer' ? opened!.pass : pass
    const { replies } = await api<Replies>(server, 'POST', `cases/${opened!.case}/messages`, body, who)
    const bad = replies.find((r) => r.type === 'refused' || r.type === 'error')
    if (bad) throw new Error(`${JSON.stringify(message)}: ${bad.text}`)
  }
  await say('customer', { type: 'contact', name: 'Robin at the boathouse', phone: '555-0117' })
  for (const step of steps) await say(step.from, step.send)
  return { case: opened!.case, code: opened!.code, say }
}
