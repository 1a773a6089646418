import type { Ask, AskBody, Finding, ServerMessage } from '../../rules/protocol/index.ts'
import type { WatchedPage } from './browser.ts'

/** Somebody in front of the screen: sees what the page was sent, and acts on it by mouse or by keyboard alone. */
export class Person {
  /** the newest of each, as the page got it */
  ask: AskBody | null = null
  finding: Finding['finding'] = null
  code = ''
  case = ''
  asked = 0
  refusals: string[] = []
  held = false

  constructor(
    readonly page: WatchedPage,
    readonly by: 'mouse' | 'keyboard',
  ) {
    page.on('websocket', (socket) => {
      socket.on('framereceived', ({ payload }) => this.#see(JSON.parse(String(payload)) as ServerMessage))
    })
  }

  #see(message: ServerMessage) {
    if (message.type === 'opened') {
      this.code = message.code
      this.case = message.case
    }
    if (message.type === 'finding') this.finding = message.finding
    if (message.type === 'caution') this.held = message.cautions.some((c) => c.acknowledge && !c.acknowledged)
    if (message.type === 'refused' || message.type === 'error') this.refusals.push(`${message.code}: ${message.text}`)
    if (message.type === 'ask') {
      this.ask = (message as Ask).ask
      this.asked++
    }
  }

  /** Does something and waits until the page was sent what comes after it. */
  async turn(act: () => Promise<void>): Promise<void> {
    const before = this.asked
    await act()
    const until = Date.now() + 100_000
    while (this.asked === before) {
      if (Date.now() > until) throw new Error(`Nothing came back. Refusals: ${this.refusals.join(' | ') || 'none'}`)
      await this.page.waitForTimeout(20)
    }
    // The focus follows the turn, once its last message is in.
    await this.page.waitForTimeout(200)
  }

  /** Presses the button with this name. */
  async press(name: string | RegExp): Promise<void> {
    const button = this.page.getByRole('button', { name, exact: typeof name === 'string' }).first()
    await button.waitFor()
    if (this.by === 'mouse') return button.click()
    await this.#tabTo(
      (e) => e.role === 'button' && (typeof name === 'string' ? e.name === name : name.test(e.name)),
      String(name),
    )
    await this.page.keyboard.press('Enter')
  }

  /** Writes into the field with this name. */
  async write(name: string | RegExp, text: string): Promise<void> {
    const field = this.page.getByLabel(name).first()
    await field.waitFor()
    if (this.by === 'mouse') return field.fill(text)
    await this.#tabTo(
      (e) => e.role === 'field' && (typeof name === 'string' ? e.name.includes(name) : name.test(e.name)),
      String(name),
    )
    await this.page.keyboard.type(text)
  }

  /** Goes back to a field that stands before what has the focus, and writes into it. */
  async back(name: string | RegExp, text: string): Promise<void> {
    if (this.by === 'mouse') return this.write(name, text)
    const wanted = (e: { role: string; name: string }) =>
      e.role === 'field' && (typeof name === 'string' ? e.name.includes(name) : name.test(e.name))
    await this.#tabTo(wanted, String(name), 'Shift+Tab')
    await this.page.keyboard.type(text)
  }

  /** Picks one of several by its words: radio buttons. */
  async pick(name: string | RegExp): Promise<void> {
    if (this.by === 'mouse')
      return this.page
        .getByLabel(name, { exact: typeof name === 'string' })
        .first()
        .check()
    await this.#tabTo((e) => e.role === 'radio', String(name))
    for (let i = 0; i < 10; i++) {
      const now = await this.#focused()
      if (typeof name === 'string' ? now.name === name : name.test(now.name)) return this.page.keyboard.press('Space')
      await this.page.keyboard.press('ArrowDown')
    }
    throw new Error(`The arrows do not get to ${name}`)
  }

  /** Chooses from a list by the words of the choice. */
  async choose(name: string | RegExp, words: string): Promise<void> {
    const field = this.page.getByLabel(name).first()
    if (this.by === 'mouse') return void (await field.selectOption({ label: words }))
    await this.#tabTo(
      (e) => e.role === 'list' && (typeof name === 'string' ? e.name.includes(name) : name.test(e.name)),
      String(name),
    )
    await this.page.keyboard.type(words.slice(0, 14))
  }

  async #tabTo(wanted: (e: { role: string; name: string }) => boolean, what: string, key = 'Tab'): Promise<void> {
    for (let i = 0; i < 160; i++) {
      if (wanted(await this.#focused())) return
      await this.page.keyboard.press(key)
    }
    throw new Error(`The keyboard does not get to ${what}`)
  }

  /** What has the focus, as somebody who does not see it is told. */
  #focused(): Promise<{ role: string; name: string }> {
    return this.page.evaluate(() => {
      let e: Element | null = document.activeElement
      while (e?.shadowRoot?.activeElement) e = e.shadowRoot.activeElement
      if (!e) return { role: '', name: '' }
      const root = e.getRootNode() as Document | ShadowRoot
      const label = e.id ? root.querySelector(`label[for="${e.id}"]`)?.textContent : e.closest('label')?.textContent
      const name = e.getAttribute('aria-label') ?? label ?? e.textContent ?? ''
      const role = e.matches('button')
        ? 'button'
        : e.matches('select')
          ? 'list'
          : e.matches('input[type=radio]')
            ? 'radio'
            : e.matches('input, textarea')
              ? 'field'
              : ''
      return { role, name: name.replace(/\s+/g, ' ').trim() }
    })
  }
}

/** What to say of a check: words of an answer's id, or a number; undefined is "don't know". */
export type Oracle = (ask: AskBody) => { outcome: string } | { reading: string } | undefined

/** Answers what is asked, acknowledging what has to be, until there is a finding. @returns the checks asked, in order */
export async function answerAll(
  person: Person,
  oracle: Oracle,
  options: { most?: number; customer?: boolean; between?: (n: number) => Promise<void>; until?: () => boolean } = {},
) {
  const { most = 45, customer = false, between, until } = options
  const path: string[] = []
  for (let n = 0; n < most; n++) {
    if (person.held) {
      await person.turn(() => person.press('Understood, this is done'))
      continue
    }
    if (until?.()) return path
    await between?.(n)
    const { ask } = person
    if (person.finding && (ask === null || customer)) return path
    if (!ask) throw new Error(`Nothing is asked and nothing found, after ${path.join(', ')}`)
    path.push(ask.check)
    const answer = oracle(ask)
    await person.turn(async () => {
      if (answer && 'reading' in answer) {
        await person.write(/^Reading in/, answer.reading)
        await (person.by === 'keyboard' ? person.page.keyboard.press('Enter') : person.press('Record'))
      } else if (answer) {
        const label = ask.outcomes.find((o) => o.id === answer.outcome)
        if (!label)
          throw new Error(
            `${ask.check} has no answer ${answer.outcome}, only ${ask.outcomes.map((o) => o.id).join(', ')}`,
          )
        await person.press(new RegExp(`^${literally(label.label)}`))
      } else if (customer) {
        const unsure = ask.outcomes.find((o) => o.id === 'dont-know')?.label ?? 'I’m not sure'
        await person.press(unsure)
      } else await person.press('Don’t know')
    })
    if (person.refusals.length > 0) throw new Error(`${ask.check}: ${person.refusals.join(' | ')}`)
  }
  throw new Error(`No finding after ${most} turns: ${path.join(', ')}`)
}

const literally = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
