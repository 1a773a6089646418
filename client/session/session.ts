/** Who is signed in on this page. A link's pass has no name and no end. */
export interface SignedIn {
  pass: string
  shop: string
  name?: string
  login?: string
  role?: 'technician' | 'dealer'
  /** ISO 8601 */
  endsAt?: string
}

const KEPT = 'benchlamp sign-in'

/** The sign-in of this tab: it goes with the tab, and other tabs have their own. */
export function keptSignIn(): SignedIn | undefined {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEPT) ?? 'null') as SignedIn | null
    return typeof kept?.pass === 'string' ? kept : undefined
  } catch {
    return undefined
  }
}

export function keepSignIn(who: SignedIn | undefined): void {
  try {
    if (who) sessionStorage.setItem(KEPT, JSON.stringify(who))
    else sessionStorage.removeItem(KEPT)
  } catch {
    // A browser that keeps nothing: it is good for as long as the page is.
  }
}

const LINK = 'benchlamp bench sign-in'

/** A link at the bench is kept in the browser until somebody signs out: a workshop's tablet is opened with it once. */
export function keepLink(link: SignedIn): void {
  try {
    localStorage.setItem(LINK, JSON.stringify(link))
  } catch {
    // It is good for this page.
  }
}

export function keptLink(): SignedIn | undefined {
  try {
    const kept = JSON.parse(localStorage.getItem(LINK) ?? 'null') as Partial<SignedIn> | null
    return kept?.pass ? { pass: kept.pass, shop: kept.shop ?? 'demo' } : undefined
  } catch {
    return undefined
  }
}

export function forgetLink(): void {
  try {
    localStorage.removeItem(LINK)
  } catch {
    // Nothing is kept where nothing may be.
  }
}

/**
 * The pass of a sign-in link stands behind the `#`; it is taken out of the address, so that nobody reads it off the screen
 * or copies it on. Everything else behind the `#` stays with the caller.
 */
export function takeLink(): { signedIn?: SignedIn; rest: URLSearchParams } {
  const rest = new URLSearchParams(location.hash.slice(1))
  const pass = rest.get('pass')
  if (!pass) return { rest }
  const signedIn = { pass, shop: rest.get('shop') ?? 'demo' }
  rest.delete('pass')
  rest.delete('shop')
  history.replaceState(null, '', location.pathname + location.search)
  return { signedIn, rest }
}
