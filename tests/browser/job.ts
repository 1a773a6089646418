import { expect } from 'vitest'
import type { Person } from './person.ts'

/** The way from the finding to the closed card, as somebody at the screen goes it. */

export interface Yes {
  way: 'In person' | 'By phone' | 'In writing' | RegExp
  amount?: string
  who: string
}

/** Writes a yes down. */
export async function agree(person: Person, { way, amount, who }: Yes): Promise<void> {
  await person.press('Next: get a yes')
  // By keyboard one is where it is written down, at once.
  await expect.poll(() => focusedIn(person)).toContain('bl-approval')
  await person.pick(way)
  if (amount !== undefined) await person.write(/^Up to which amount/, amount)
  await person.write(amount === undefined ? /^Who decided it/ : /^Who said so/, who)
  await person.turn(() => person.press(amount === undefined ? 'Go on without a charge' : 'Agreed'))
}

/** Answers every question of why it failed; the first with a yes and a word. @returns how many were asked */
export async function answerWhy(person: Person, word = ''): Promise<number> {
  let n = 0
  const buttons = person.page.locator('bl-why-failed .answers')
  for (; n < 20 && (await buttons.count()) > 0; n++) {
    // The focus is on the next question before anything is pressed.
    await expect.poll(() => focusedIn(person)).toContain('bl-why-failed')
    if (n === 0 && word) {
      await person.back(/^A word on it/, word)
      await person.turn(() => person.press('It was this'))
    } else await person.turn(() => person.press(n === 1 ? 'Not looked' : 'Not this'))
  }
  return n
}

/** Goes through the list: done, with figures where they are given. */
export async function handBack(person: Person, figures: Record<string, string>): Promise<void> {
  const open = person.page.locator('bl-hand-back .open > b')
  for (let n = 0; n < 10 && (await open.count()) > 0; n++) {
    await expect.poll(() => focusedIn(person)).toContain('bl-hand-back')
    const item = (await open.textContent()) ?? ''
    const figure = Object.entries(figures).find(([words]) => item.includes(words))?.[1]
    if (figure) await person.back(/Torque|braked|Load|Volts/, figure)
    await person.turn(() => person.press(/bridge/.test(item) ? 'Not needed' : 'Done'))
  }
}

export async function signOff(person: Person, charged: string, words: string): Promise<void> {
  await expect.poll(() => focusedIn(person)).toContain('bl-sign-off')
  await person.write(/^Charged/, charged)
  await person.write(/^A word for the record/, words)
  await person.turn(() => person.press('Sign off'))
}

/** The elements that the focus is in, outermost first. */
export function focusedIn(person: Person): Promise<string[]> {
  return person.page.evaluate(() => {
    const path: string[] = []
    let e: Element | null = document.activeElement
    while (e) {
      path.push(e.localName)
      e = e.shadowRoot?.activeElement ?? null
    }
    return path
  })
}

/** Listens to what is announced: each text of the polite log, in order. */
export async function listen(person: Person): Promise<() => Promise<string[]>> {
  await person.page.evaluate(() => {
    const log = document.querySelector('bench-lamp')!.shadowRoot!.querySelector('[role=log]')!
    const said: string[] = []
    Object.assign(globalThis, { said })
    new MutationObserver(() => said.push(log.textContent ?? '')).observe(log, {
      subtree: true,
      childList: true,
      characterData: true,
    })
  })
  return () => person.page.evaluate(() => (globalThis as unknown as { said: string[] }).said.splice(0))
}
