import type { Logger } from 'pino'
import { enteredAt } from '../../rules/conversation/entered.ts'
import type { Caller, CaseRecord, Conversation, Papers, ShopMoney } from '../../rules/conversation/types.ts'
import {
  type CaseEvent,
  type Opened,
  type OpenMessage,
  type PHOTO_TYPES,
  PROTOCOL_VERSION,
  type ServerMessage,
  type StepMessage,
  type StoredEvent,
} from '../../rules/protocol/index.ts'
import { errorMessage, refusedMessage } from '../../rules/protocol/say.ts'
import { earlierVisits } from '../../rules/record/lists.ts'
import { causesOf } from '../../rules/record/summary.ts'
import type { Shelf } from '../knowledge/shelf.ts'
import { type ServerOutside, tidyCode } from '../outside.ts'
import { KeyedQueue } from '../store/queue.ts'
import {
  AlreadyOpened,
  type CaseKey,
  CodeTaken,
  type MessageKey,
  type Pass,
  SeqConflict,
  type Shop,
  type Store,
} from '../store/store.ts'
import { passFor, passId, UNGUESSABLE } from './passes.ts'

/** A screen that shows a case: it is sent what others change. */
export interface Follower {
  readonly caller: Caller
  /** what it was let in with; asked again before it is shown more */
  readonly pass?: Pass | undefined
  send(messages: readonly ServerMessage[]): void
}

/** Erased while somebody looked at it. */
class CaseGone extends Error {
  override name = 'CaseGone'
}

export type Opening =
  | { ok: true; key: CaseKey; pass: Pass; replies: ServerMessage[] }
  | { ok: false; replies: ServerMessage[] }

export interface OpenOptions {
  /** the role where there are no passes: the conversation in a terminal */
  preset?: Pass
  /** asked before a case is made for somebody without a pass; false: too many */
  mayMake?: () => Promise<boolean>
  /** called before the case takes anything more, so that a screen that follows from here on misses nothing */
  joined?: (opening: Extract<Opening, { ok: true }>) => void
}

const CODE_TRIES = 50
const EARLIER_SHOWN = 5
const CONFLICT_TRIES = 5
/** Stands for the sender where nobody has a pass yet. */
const NOBODY: Pick<Pass, 'id'> = { id: '' }

/**
 * Everything that happens to cases: finds or makes them, takes one message after the other, stores before it replies,
 * and tells the other screens. Knows nothing of sockets.
 */
export class CaseService {
  readonly #store: Store
  readonly #shelf: Shelf
  readonly #outside: ServerOutside
  readonly #log: Logger
  readonly #queue = new KeyedQueue()
  readonly #followed = new Map<string, { key: CaseKey; screens: Set<Follower> }>()
  /** passes that are in no store: the conversation in a terminal */
  readonly #preset = new WeakSet<Pass>()
  readonly #unlisten: () => void
  #stopping = false

  constructor(parts: { store: Store; shelf: Shelf; outside: ServerOutside; log: Logger }) {
    this.#store = parts.store
    this.#shelf = parts.shelf
    this.#outside = parts.outside
    this.#log = parts.log
    this.#unlisten = this.#store.onChange((key) => this.#elsewhere(key))
  }

  /** What a screen of this caller would be sent now. */
  async view(key: CaseKey, caller: Caller): Promise<ServerMessage[]> {
    const { record, conversation } = await this.#read(key)
    return conversation.view(record, caller)
  }

  /** What a work order shows besides. */
  async papers(key: CaseKey, caller: Caller): Promise<Papers> {
    const { record, conversation } = await this.#read(key)
    return conversation.papers(record, caller)
  }

  /** Shows a case anew to every screen that follows it here. */
  refresh(key: CaseKey): void {
    this.#elsewhere(key)
  }

  /** The pass of a request, still good; undefined for any other. */
  async passOf(pass: string): Promise<Pass | undefined> {
    const known = await this.#store.pass(passId(pass))
    return known && !this.#ended(known) ? known : undefined
  }

  /** Another server on the same database changed a case, or may have. */
  #elsewhere(changed: CaseKey | undefined): void {
    const name = changed && nameOf(changed)
    for (const [followed, { key }] of this.#followed) {
      if (name !== undefined && name !== followed) continue
      void this.#queue.run(followed, async () => {
        try {
          const { record, conversation } = await this.#read(key)
          await this.#tell(key, record, conversation)
        } catch (error) {
          this.#log.warn({ case: key.case, err: nameOfError(error) }, 'what another server changed could not be shown')
        }
      })
    }
  }

  /** Finds or makes the case that an `open` names, and says all that a screen needs to show it. */
  async open(message: OpenMessage, options: OpenOptions = {}): Promise<Opening> {
    const re = message.id
    if (this.#stopping) return { ok: false, replies: [this.#busy(re)] }
    try {
      return await this.#open(message, options)
    } catch (error) {
      return { ok: false, replies: [this.#failed(error, re)] }
    }
  }

  async #open(message: OpenMessage, options: OpenOptions): Promise<Opening> {
    const re = message.id
    const { preset, joined } = options
    const no = (reply: ServerMessage): Opening => ({ ok: false, replies: [reply] })
    const shop = await this.#store.shop(message.shop)
    if (!shop) {
      return no(
        errorMessage('invalid', `There is no shop "${message.shop}".`, "Use the shop's own page, or mend the id.", {
          re,
          field: 'shop',
        }),
      )
    }
    let pass = preset
    if (preset) this.#preset.add(preset)
    if (message.pass !== undefined) {
      pass = await this.#store.pass(passId(message.pass))
      if (pass && this.#ended(pass)) return no(sessionEnded(re))
      if (pass?.shop !== shop.id) {
        return no(
          errorMessage(
            'bad-pass',
            'This pass does not open anything in this shop.',
            'Technicians: use a new sign-in link. Customers: start anew, without a pass.',
            { re, field: 'pass' },
          ),
        )
      }
    }
    if (message.code !== undefined) {
      if (!pass || pass.role === 'customer') {
        return no(
          refusedMessage(
            'not-your-role',
            'A code opens a case for a signed-in technician only.',
            'Sign in with the link from the shop, or say the code to the technician.',
            { re, field: 'code' },
          ),
        )
      }
      const found = await this.#store.caseByCode(shop.id, tidyCode(message.code))
      if (!found) {
        return no(
          errorMessage('no-such-case', `No case has the code ${tidyCode(message.code)}.`, 'Read the code again.', {
            re,
            field: 'code',
          }),
        )
      }
      return this.#show({ shop: shop.id, case: found }, shop, pass, message, joined)
    }
    const wanted = message.case ?? pass?.case
    if (wanted !== undefined) {
      const found = await this.#own({ shop: shop.id, case: wanted }, pass, re)
      return found.ok ? this.#show(found.key, shop, found.pass, message, joined) : found
    }
    return this.#make(shop, pass, message, options)
  }

  /** Is this pass good for this case? For a message that comes alone, over HTTP. */
  async find(
    shop: string,
    pass: string | undefined,
    wanted: string,
    re: string,
  ): Promise<{ ok: true; key: CaseKey; pass: Pass } | { ok: false; replies: ServerMessage[] }> {
    try {
      const known = pass === undefined ? undefined : await this.#store.pass(passId(pass))
      if (known && this.#ended(known)) return { ok: false, replies: [sessionEnded(re)] }
      return await this.#own({ shop, case: wanted }, known?.shop === shop ? known : undefined, re)
    } catch (error) {
      return { ok: false, replies: [this.#failed(error, re)] }
    }
  }

  async #own(
    key: CaseKey,
    pass: Pass | undefined,
    re: string,
  ): Promise<{ ok: true; key: CaseKey; pass: Pass } | { ok: false; replies: ServerMessage[] }> {
    const no = (reply: ServerMessage) => ({ ok: false as const, replies: [reply] })
    if (!pass) {
      return no(
        errorMessage('bad-pass', 'A case is opened again with its pass.', 'Send the pass that came with "opened".', {
          re,
          field: 'pass',
        }),
      )
    }
    // One and the same answer for "not yours" and "not there", so that nobody learns which cases there are.
    if ((pass.case !== undefined && pass.case !== key.case) || !(await this.#store.row(key))) {
      return no(
        errorMessage('no-such-case', 'There is no such case for this pass.', 'Mend the case id, or leave it out.', {
          re,
          field: 'case',
        }),
      )
    }
    return { ok: true, key, pass }
  }

  async #make(
    shop: Shop,
    pass: Pass | undefined,
    message: OpenMessage,
    { mayMake, joined }: OpenOptions,
  ): Promise<Opening> {
    const sender = (pass ?? NOBODY).id
    const key: MessageKey = { sender, id: message.id }
    const repeatable = pass !== undefined || message.id.length >= UNGUESSABLE
    // Two of the same "open" may be under way at once: one after the other.
    return this.#queue.run(`open ${shop.id} ${sender} ${message.id}`, async () => {
      const secret = repeatable && !pass ? await this.#store.secret('customer-pass', this.#outside.pass) : ''
      const secretPass = pass ? undefined : repeatable ? passFor(secret, shop.id, message.id) : this.#outside.pass()
      if (repeatable) {
        const before = await this.#store.caseOpenedBy(shop.id, key)
        const known = pass ?? (secretPass && (await this.#store.pass(passId(secretPass))))
        if (before !== undefined && known) {
          return this.#show({ shop: shop.id, case: before }, shop, known, message, joined, secretPass)
        }
      }
      if (!pass && mayMake && !(await mayMake())) {
        return {
          ok: false,
          replies: [
            errorMessage(
              'too-many',
              'Too many cases were opened from here in the last minutes.',
              'Go on with an open case, or try again in ten minutes.',
              { re: message.id },
            ),
          ],
        }
      }
      for (let attempt = 1; ; attempt++) {
        const caseKey = { shop: shop.id, case: this.#outside.newId() }
        const made: Pass = pass ?? { id: passId(secretPass!), shop: shop.id, role: 'customer', case: caseKey.case }
        const conversation = this.#shelf.currentOf(shop.id)
        const at = enteredAt(this.#outside.now(), message.ago)
        const code = (attempt === 1 ? message.hadCode : undefined) ?? this.#outside.code()
        try {
          await this.#store.createCase(caseKey, {
            code,
            at,
            knowledge: conversation.hash,
            events: conversation.open({
              shop: shop.id,
              language: message.language ?? 'en',
              code,
              facts: message.facts,
              tag: message.tag,
              caller: callerOf(made),
              messageId: message.id,
              outside: { now: at, newId: this.#outside.newId },
            }),
            words: {},
            message: key,
            pass: pass ? undefined : made,
            once: repeatable,
          })
        } catch (error) {
          if (error instanceof AlreadyOpened) {
            const before = await this.#store.caseOpenedBy(shop.id, key)
            const known = pass ?? (await this.#store.pass(made.id))
            if (before !== undefined && known) {
              return this.#show({ shop: shop.id, case: before }, shop, known, message, joined, secretPass)
            }
          }
          if (error instanceof CodeTaken && attempt < CODE_TRIES) continue
          throw error
        }
        this.#log.info({ case: caseKey.case, shop: shop.id, role: made.role }, 'case opened')
        return this.#show(caseKey, shop, made, message, joined, secretPass)
      }
    })
  }

  #show(
    key: CaseKey,
    shop: Shop,
    pass: Pass,
    message: OpenMessage,
    joined: OpenOptions['joined'],
    newPass?: string,
  ): Promise<Opening> {
    return this.#queue.run(nameOf(key), async () => {
      const { record, conversation } = await this.#read(key)
      const caller = callerOf(pass, message.language)
      const since = message.since
      const opened = {
        ...conversation.opening(record, caller),
        v: PROTOCOL_VERSION,
        re: message.id,
        ...(newPass === undefined ? {} : { pass: newPass }),
        shop: {
          id: shop.id,
          name: shop.name,
          ...(shop.phone === undefined ? {} : { phone: shop.phone }),
          ...(shop.hours === undefined ? {} : { hours: shop.hours }),
        },
        ...(since === undefined
          ? {}
          : {
              missed: record.events
                .filter((e) => e.seq > since)
                .map(({ seq, type, at, by }) => ({ seq, type, at, by })),
            }),
        ...(await this.#earlier(key, pass)),
      } as Opened
      const replies = [opened, ...(await conversation.view(record, caller, message.id))]
      const opening = { ok: true as const, key, pass, replies }
      joined?.(opening)
      return opening
    })
  }

  /**
   * One message of somebody who has opened the case. The replies are stored with its events before anybody is told.
   *
   * @param origin the screen that sent it; is sent the replies in the order in which the case took the messages
   */
  take(key: CaseKey, pass: Pass, message: StepMessage, origin?: Follower): Promise<ServerMessage[]> {
    if (this.#stopping) {
      const replies = [this.#busy(message.id)]
      origin?.send(replies)
      return Promise.resolve(replies)
    }
    return this.#queue.run(nameOf(key), async () => {
      let replies: ServerMessage[]
      let changed: { record: CaseRecord; conversation: Conversation } | undefined
      try {
        const result = await this.#step(key, pass, message, origin?.caller.language)
        replies = result.replies
        changed = result.changed
      } catch (error) {
        replies = [this.#failed(error, message.id, key)]
      }
      origin?.send(replies)
      if (changed) await this.#tell(key, changed.record, changed.conversation, origin)
      return replies
    })
  }

  async #step(
    key: CaseKey,
    pass: Pass,
    message: StepMessage,
    language: string | undefined,
  ): Promise<{ replies: ServerMessage[]; changed?: { record: CaseRecord; conversation: Conversation } }> {
    const caller = callerOf(pass, language)
    if (!(await this.#good(pass))) {
      if (!(await this.#store.row(key))) throw new CaseGone('The case is gone')
      return { replies: [sessionEnded(message.id)] }
    }
    const messageKey: MessageKey = { sender: pass.id, id: message.id }
    for (let attempt = 1; ; attempt++) {
      const seen = await this.#store.repliesTo(key, messageKey)
      if (seen?.replies) return { replies: seen.replies }
      const { record, conversation, pinned } = await this.#read(key)
      if (seen) return { replies: await conversation.view(record, caller, message.id) }
      const now = this.#outside.now()
      const { events, words, replies } = await conversation.step(record, caller, message, {
        now: enteredAt(now, message.ago, record.events.at(-1)?.at),
        newId: this.#outside.newId,
      })
      // Asking why, or what a meter shows, changes nothing and may be asked again at any time.
      if (events.length === 0 && (message.type === 'why' || message.type === 'meter')) return { replies }
      const before = record.events.at(-1)?.seq ?? 0
      try {
        await this.#store.append(key, before, {
          at: now,
          events,
          words,
          message: messageKey,
          replies,
          knowledge: conversation.hash,
        })
      } catch (error) {
        if (error instanceof SeqConflict && attempt < CONFLICT_TRIES) continue
        throw error
      }
      if (events.length === 0) return { replies }
      if (pinned !== conversation.hash) {
        this.#log.info(
          { case: key.case, from: pinned, to: conversation.hash, seq: before + 1 },
          'case goes on with newer knowledge',
        )
      }
      const stored: StoredEvent[] = events.map((event, i) => ({ ...event, seq: before + 1 + i }))
      const after = { ...record, events: [...record.events, ...stored], words: { ...record.words, ...words } }
      return { replies, changed: { record: after, conversation } }
    }
  }

  /** The same car's visits before; customers are not told who had it. */
  async #earlier(key: CaseKey, pass: Pass): Promise<Pick<Opened, 'earlier'>> {
    if (pass.role === 'customer') return {}
    const all = await this.#store.summaries(key.shop)
    const own = all.find((c) => c.case === key.case)
    const earlier = own ? earlierVisits(all, own).slice(0, EARLIER_SHOWN) : []
    if (earlier.length === 0) return {}
    return {
      earlier: earlier.map((c) => ({
        case: c.case,
        code: c.code,
        status: c.status,
        openedAt: c.openedAt,
        complaints: c.summary.complaints,
        causes: causesOf(c.summary),
      })),
    }
  }

  /** The shop's money, for a new case or one that is read. */
  async #money(id: string): Promise<ShopMoney> {
    const shop = await this.#store.shop(id)
    const book = await this.#store.priceBook(id)
    return {
      ...(shop?.currency === undefined ? {} : { currency: shop.currency }),
      ...(shop?.ratePerHour === undefined ? {} : { ratePerHour: shop.ratePerHour }),
      ...(book ? { prices: Object.fromEntries(book.lines.map((line) => [line.remedy, line.price])) } : {}),
    }
  }

  #ended(pass: Pass): boolean {
    return pass.endsAt !== undefined && pass.endsAt <= this.#outside.now()
  }

  /** Not signed out, and not over, since the screen was let in. */
  async #good(pass: Pass): Promise<boolean> {
    if (this.#preset.has(pass)) return true
    const now = await this.#store.pass(pass.id)
    return now !== undefined && !this.#ended(now)
  }

  /**
   * Puts a picture beside the log, with an event that names it; the same `id` twice has the effect of once.
   *
   * @returns the key of the picture; undefined where the case is closed or has as many as it may
   */
  async addPhoto(
    key: CaseKey,
    pass: Pass,
    photo: { id: string; media: (typeof PHOTO_TYPES)[number]; bytes: Buffer; text?: string | undefined; most: number },
  ): Promise<string | undefined> {
    return this.#queue.run(nameOf(key), async () => {
      for (let attempt = 1; ; attempt++) {
        const { record, conversation } = await this.#read(key)
        const cause = `photo ${pass.id.slice(0, 8)} ${photo.id}`
        const photos = record.events.flatMap((e) => (e.type === 'photo' ? [e] : []))
        const before = photos.find((e) => e.cause === cause)
        if (before) return before.photo
        if (record.events.some((e) => e.type === 'closed') || photos.length >= photo.most) return undefined
        const now = this.#outside.now()
        const name = this.#outside.newId()
        const words = photo.text === undefined ? undefined : this.#outside.newId()
        const { role, id } = callerOf(pass)
        const event: CaseEvent = {
          at: now,
          by: role,
          cause,
          ...(id === undefined ? {} : { who: id }),
          type: 'photo',
          photo: name,
          media: photo.media,
          bytes: photo.bytes.length,
          ...(words === undefined ? {} : { words }),
        }
        const last = record.events.at(-1)!.seq
        const texts = words === undefined ? {} : { [words]: photo.text! }
        try {
          await this.#store.append(key, last, {
            at: now,
            events: [event],
            words: texts,
            photos: { [name]: photo.bytes.toString('base64') },
            message: { sender: pass.id, id: cause },
            replies: [],
          })
        } catch (error) {
          if (error instanceof SeqConflict && attempt < CONFLICT_TRIES) continue
          throw error
        }
        const after = {
          ...record,
          events: [...record.events, { ...event, seq: last + 1 }],
          words: { ...record.words, ...texts },
        }
        await this.#tell(key, after, conversation)
        return name
      }
    })
  }

  async #read(key: CaseKey): Promise<{ record: CaseRecord; conversation: Conversation; pinned: string }> {
    const row = await this.#store.row(key)
    const record = await this.#store.load(key)
    if (!row || !record) throw new CaseGone('The case is gone')
    return {
      record: { ...record, shop: await this.#money(key.shop) },
      conversation: this.#shelf.for(row.knowledge, key.shop),
      pinned: row.knowledge,
    }
  }

  /** Shows the case to every other screen that follows it, each as its role may see it. */
  async #tell(key: CaseKey, record: CaseRecord, conversation: Conversation, origin?: Follower) {
    const views = new Map<string, ServerMessage[]>()
    for (const follower of [...(this.#followed.get(nameOf(key))?.screens ?? [])]) {
      if (follower === origin) continue
      const { role, name = '', language = '' } = follower.caller
      const same = `${role} ${language} ${name}`
      try {
        if (follower.pass && !(await this.#good(follower.pass))) {
          follower.send([sessionEnded(undefined)])
          this.#followed.get(nameOf(key))?.screens.delete(follower)
          continue
        }
        const view = views.get(same) ?? (await conversation.view(record, follower.caller))
        views.set(same, view)
        follower.send(view)
      } catch (error) {
        this.#log.warn({ case: key.case, err: nameOfError(error) }, 'a screen could not be told')
      }
    }
  }

  /** @returns what ends it */
  follow(key: CaseKey, follower: Follower): () => void {
    const name = nameOf(key)
    const followed = this.#followed.get(name) ?? { key, screens: new Set() }
    this.#followed.set(name, followed)
    followed.screens.add(follower)
    return () => {
      followed.screens.delete(follower)
      if (followed.screens.size === 0 && this.#followed.get(name) === followed) this.#followed.delete(name)
    }
  }

  /** Takes nothing more; resolves when what was taken is stored and told. */
  async stop(): Promise<void> {
    this.#stopping = true
    this.#unlisten()
    await this.#queue.idle()
  }

  #busy(re: string): ServerMessage {
    return errorMessage('busy', 'The server is shutting down.', 'Connect again in a moment and send the same again.', {
      re,
    })
  }

  #failed(error: unknown, re: string, key?: CaseKey): ServerMessage {
    if (error instanceof CaseGone) {
      return errorMessage('no-such-case', 'This case was erased by the shop.', 'Start a new one.', { re })
    }
    // The message itself may hold a person's words: only the kind and the place of the failure are logged.
    const place = error instanceof Error ? error.stack?.split('\n').slice(1, 6).join('\n') : undefined
    this.#log.error({ case: key?.case, err: nameOfError(error), place }, 'a message could not be taken')
    return errorMessage(
      'try-again',
      'The server could not keep this just now; what was kept before is unharmed.',
      'Send it again with the same id: it counts once. If it fails again, tell whoever runs the server: its log says why.',
      { re, case: key?.case },
    )
  }
}

/** @param language what the screen reads and writes in; each may have its own */
export function callerOf(pass: Pass, language?: string): Caller {
  const spoken = language === undefined ? {} : { language }
  if (pass.role === 'customer') return { role: pass.role, ...spoken }
  return {
    role: pass.role,
    ...spoken,
    id: pass.person ?? `pass-${pass.id.slice(0, 8)}`,
    ...(pass.name === undefined ? {} : { name: pass.name }),
  }
}

function sessionEnded(re: string | undefined): ServerMessage {
  return errorMessage(
    'bad-pass',
    'You are signed out, or your session is over.',
    'Sign in again; what was kept is there.',
    { ...(re === undefined ? {} : { re }), field: 'pass' },
  )
}

function nameOf(key: CaseKey): string {
  return `case ${key.shop} ${key.case}`
}

function nameOfError(error: unknown): string {
  if (!(error instanceof Error)) return typeof error
  const code = (error as { code?: unknown }).code
  return typeof code === 'string' ? `${error.name} ${code}` : error.name
}
