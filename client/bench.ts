import type { BenchLamp } from './elements/bench-lamp/bench-lamp.ts'
import { keepLink, keepSignIn, keptLink, keptSignIn, takeLink } from './session/session.ts'

/**
 * The bench page. A technician's sign-in link carries the pass behind the `#`; it is kept in this browser and taken out
 * of the address. Who signs in with a name and a password is signed in in this tab. A customer's code may stand behind the
 * `#` too, from a scanned card. Signing in and out: elements/sign-in/bench-account.ts.
 */
const lamp = document.querySelector<BenchLamp>('bench-lamp')!
const { signedIn: link, rest } = takeLink()
if (location.hash) history.replaceState(null, '', location.pathname + location.search)
if (link) keepLink(link)
const who = link ?? keptSignIn() ?? keptLink()
keepSignIn(who)
lamp.shop = who?.shop ?? 'demo'
lamp.pass = who?.pass
lamp.code = rest.get('code') ?? ''
