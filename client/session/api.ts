import type { DeskText } from '../texts/desk.ts'
import type { SignedIn } from './session.ts'

export interface FileProblem {
  line?: number
  column?: string
  path?: string
  what: string
  mend: string
}

/** What the server would not take, in its own words and the page's language: what was wrong, what to do, where. */
export class ShopError extends Error {
  constructor(
    text: string,
    readonly mend: string,
    readonly code = '',
    readonly field?: string,
    readonly problems: readonly FileProblem[] = [],
  ) {
    super(text)
  }
}

export interface Send {
  query?: Record<string, string>
  /** an object is sent as JSON */
  body?: object | string | Blob
  type?: string
}

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'

/**
 * The shop's API for pages. Where the session is over, the page is asked for a new sign-in (`renew`) and the same request
 * goes out again: whatever was being done goes on, and nothing that was typed is lost.
 */
export class ShopApi {
  /** shows the sign-in form; rejects where the person puts it away */
  renew?: () => Promise<SignedIn>

  constructor(
    public who: SignedIn,
    /** the page's texts: the server is asked to speak their language, and what it can not say is said with them */
    private readonly t: DeskText,
    private readonly fetching: typeof fetch = (input, init) => fetch(input, init),
    private readonly base = '',
  ) {}

  async json<T>(method: Method, path: string, send: Send = {}): Promise<T> {
    return (await (await this.send(method, path, send)).json()) as T
  }

  async text(path: string, query: Record<string, string> = {}): Promise<string> {
    return (await this.send('GET', path, { query })).text()
  }

  async blob(path: string, query: Record<string, string> = {}): Promise<Blob> {
    return (await this.send('GET', path, { query })).blob()
  }

  async send(method: Method, path: string, send: Send = {}): Promise<Response> {
    const query = new URLSearchParams({ shop: this.who.shop, ...send.query })
    const { body } = send
    const json = typeof body === 'object' && !(body instanceof Blob)
    for (;;) {
      let response: Response
      try {
        response = await this.fetching(`${this.base}/api/${path}?${query}`, {
          method,
          headers: {
            authorization: `Bearer ${this.who.pass}`,
            'accept-language': this.t('locale'),
            ...(body === undefined ? {} : { 'content-type': json ? 'application/json' : (send.type ?? 'text/plain') }),
          },
          ...(body === undefined ? {} : { body: json ? JSON.stringify(body) : body }),
        })
      } catch {
        throw new ShopError(this.t('no-answer'), this.t('no-answer-mend'))
      }
      if (response.ok) return response
      const error = await errorOf(response, this.t)
      // The old password of a change of password is wrong: that is for the form to say.
      if (response.status !== 401 || !this.renew || path === 'shop/password') throw error
      this.who = await this.renew()
    }
  }
}

async function errorOf(response: Response, t: DeskText): Promise<ShopError> {
  type Said = { error?: { text?: string; mend?: string; code?: string; field?: string; problems?: FileProblem[] } }
  const { error } = (await response.json().catch(() => ({}))) as Said
  return new ShopError(
    error?.text ?? t('answered-otherwise', { status: response.status }),
    error?.mend ?? t('answered-otherwise-mend'),
    error?.code,
    error?.field,
    error?.problems,
  )
}

/** Signs in with a name and a password. */
export async function signIn(shop: string, login: string, password: string, t: DeskText): Promise<SignedIn> {
  const api = new ShopApi({ pass: '', shop }, t)
  type Reply = { pass: string; endsAt: string; person: { name: string; login: string; role: SignedIn['role'] } }
  const { pass, endsAt, person } = await api.json<Reply>('POST', 'shop/sign-in', { body: { login, password } })
  return { pass, shop, endsAt, name: person.name, login: person.login, role: person.role }
}
