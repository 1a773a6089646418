import type { Caller } from '../../rules/conversation/types.ts'
import { readFrame } from '../../rules/protocol/frame.ts'
import type { ServerMessage } from '../../rules/protocol/index.ts'
import { errorMessage, refusedMessage } from '../../rules/protocol/say.ts'
import type { CaseKey, Pass, Shop } from '../store/store.ts'
import { inLanguage } from './in-language.ts'
import { type CaseService, callerOf, type Follower } from './service.ts'

/** Frames of one screen that wait for their turn; more than a person can type. */
const WAITING = 100

export interface SessionOptions {
  send: (messages: readonly ServerMessage[]) => void
  /** the role where there are no passes: the conversation in a terminal */
  preset?: Pass
  /** may a page of this origin talk to this shop? */
  mayReach?: (shop: string) => Promise<boolean>
  /** of the page, as its browser says */
  origin?: string | undefined
  mayMake?: () => Promise<boolean>
  /** takes one from the allowance of messages; false: too many */
  mayTake?: () => Promise<boolean>
}

/** One screen's conversation: frames in, in order, replies out. The same over a socket, HTTP and a terminal. */
export class Session implements Follower {
  readonly #service: CaseService
  readonly #options: SessionOptions
  #at: { key: CaseKey; pass: Pass; language?: string | undefined } | undefined
  /** what the screen said at its last "open", taken or not */
  #language: string | undefined
  #leave: (() => void) | undefined
  #tail: Promise<void> = Promise.resolve()
  #waiting = 0
  #ended = false

  constructor(service: CaseService, options: SessionOptions) {
    this.#service = service
    this.#options = options
  }

  get caller(): Caller {
    return this.#at ? callerOf(this.#at.pass, this.#at.language) : { role: 'customer' }
  }
  get pass(): Pass | undefined {
    return this.#at?.pass
  }
  get key(): CaseKey | undefined {
    return this.#at?.key
  }

  send(messages: readonly ServerMessage[]): void {
    if (!this.#ended) this.#options.send(messages.map((m) => inLanguage(m, this.#language)))
  }

  /** Takes one frame; resolves when its replies are sent. Never rejects. */
  take(text: string): Promise<void> {
    if (this.#waiting >= WAITING) {
      this.send([errorMessage('busy', 'Too many messages wait for their turn.', 'Wait for the replies, then go on.')])
      return Promise.resolve()
    }
    this.#waiting++
    this.#tail = this.#tail
      .then(() => this.#take(text))
      .catch(() => {
        this.send([errorMessage('try-again', 'The server could not look at this message.', 'Send it again.')])
      })
      .finally(() => this.#waiting--)
    return this.#tail
  }

  async #take(text: string): Promise<void> {
    const frame = readFrame(text)
    if (this.#options.mayTake && !(await this.#options.mayTake())) {
      this.send([
        errorMessage('too-many', 'Too many messages in a short time.', 'Wait a few seconds, then send it again.', {
          re: frame.re,
        }),
      ])
      return
    }
    if (!frame.message) {
      this.send([frame.error])
      return
    }
    const message = frame.message
    if (message.type === 'open') {
      this.#language = message.language
      if (this.#options.mayReach && !(await this.#options.mayReach(message.shop))) {
        this.send([originError(message.id, message.shop, this.#options.origin)])
        return
      }
      const { preset, mayMake } = this.#options
      const opening = await this.#service.open(message, {
        preset,
        mayMake,
        joined: (opened) => {
          this.#leave?.()
          this.#at = { key: opened.key, pass: opened.pass, language: message.language }
          if (!this.#ended) this.#leave = this.#service.follow(opened.key, this)
          this.send(opened.replies)
        },
      })
      if (!opening.ok) this.send(opening.replies)
      return
    }
    if (!this.#at) {
      this.send([
        refusedMessage('open-first', `"${message.type}" came before a case was opened.`, 'Send "open" first.', {
          re: message.id,
        }),
      ])
      return
    }
    await this.#service.take(this.#at.key, this.#at.pass, message, this)
  }

  /** The screen is gone; what it sent before is still taken. */
  end(): void {
    this.#ended = true
    this.#leave?.()
    this.#leave = undefined
  }
}

function originError(re: string, shop: Shop['id'], origin = 'null'): ServerMessage {
  // A frame that is sandboxed without allow-same-origin has no address to allow.
  return origin === 'null'
    ? errorMessage(
        'bad-pass',
        `This page hides its address, so the shop "${shop}" can not tell whether it is allowed.`,
        'Put allow-same-origin into the sandbox attribute of its frame, or leave the frame out.',
        { re, field: 'shop' },
      )
    : errorMessage(
        'bad-pass',
        `Pages of ${origin.slice(0, 200)} may not talk to the shop "${shop}".`,
        "Add that address at the desk, under Settings, to the pages that may hold the shop's conversations, or to ORIGINS.",
        { re, field: 'shop' },
      )
}
