import type { Answer, Call } from './host.ts'
import { openShop } from './shop.ts'

/** The reasoning apart from the page, so that nothing on the screen waits for it. */
const post = (answer: Answer) => (globalThis as unknown as { postMessage(a: Answer): void }).postMessage(answer)
const sessions = new Map<number, { send(text: string): void; end(): void }>()

const shop = await openShop()
addEventListener('message', ({ data }: MessageEvent<Call>) => {
  if ('call' in data) {
    const run = shop[data.name] as (...args: unknown[]) => Promise<unknown>
    run.apply(shop, data.args).then(
      (result) => post({ call: data.call, result }),
      (error) => post({ call: data.call, failed: String(error) }),
    )
    return
  }
  const { session } = data
  if ('open' in data) {
    sessions.set(
      session,
      shop.open(data.open, {
        messages: (messages) => post({ session, messages }),
        handed: (handed) => post({ session, handed }),
      }),
    )
  } else if ('text' in data) sessions.get(session)?.send(data.text)
  else {
    sessions.get(session)?.end()
    sessions.delete(session)
  }
})
post({ ready: true })
