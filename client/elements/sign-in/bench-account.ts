import { ShopApi } from '../../session/api.ts'
import { forgetLink, keepSignIn, keptSignIn, type SignedIn } from '../../session/session.ts'
import { deskTexts, pageLanguage } from '../../texts/desk.ts'
import type { BenchLamp } from '../bench-lamp/bench-lamp.ts'
import type { Account } from './account.ts'
import './account.ts'
import type { SignIn } from './sign-in.ts'
import './sign-in.ts'

/** Signing in and out on the bench page; a session that ends in mid-work brings the form, and the work goes on after it. */
async function attend(lamp: BenchLamp, bar: Account, form: SignIn): Promise<void> {
  const t = await deskTexts(pageLanguage())
  form.t = t
  bar.t = t
  form.shop = lamp.shop

  const enter = (who: SignedIn | undefined) => {
    keepSignIn(who)
    lamp.pass = who?.pass
    if (who) lamp.shop = who.shop
    bar.api = who && new ShopApi(who, t)
  }
  /** Put away, the bench stands as for anybody who comes by; the bar offers the form again. */
  const ask = async (why: 'first' | 'over') => {
    const who = await form.ask(why, true).catch(() => undefined)
    if (!who) {
      bar.api = undefined
      return
    }
    enter(who)
    if (why === 'over') lamp.open()
  }

  lamp.addEventListener('bl-pass-over', () => void ask('over'))
  bar.addEventListener('bl-sign-in-wanted', () => void ask('first'))
  bar.addEventListener('bl-signed-in', (e) => enter((e as CustomEvent<SignedIn>).detail))
  bar.addEventListener('bl-signed-out', () => {
    forgetLink()
    enter(undefined)
    lamp.startOver()
    void ask('first')
  })
  const who = keptSignIn() ?? (lamp.pass ? { pass: lamp.pass, shop: lamp.shop } : undefined)
  bar.api = who && new ShopApi(who, t)
  // Without a line there is nobody to sign in to; the bench works on its own meanwhile.
  if (!who && navigator.onLine) await ask('first')
}

const lamp = document.querySelector<BenchLamp>('bench-lamp[layout=full]')
const bar = document.querySelector<Account>('bl-account')
const form = document.querySelector<SignIn>('bl-sign-in')
if (lamp && bar && form) void attend(lamp, bar, form)
