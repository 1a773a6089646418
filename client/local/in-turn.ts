const tails = new Map<string, Promise<unknown>>()

/** One after the other for each name, in all tabs where the browser can say so, else in this one. */
export function inTurn<T>(name: string, act: () => Promise<T>): Promise<T> {
  const locks = globalThis.navigator?.locks
  if (locks) return locks.request(`benchlamp ${name}`, act) as Promise<T>
  const before = tails.get(name) ?? Promise.resolve()
  const run = before.then(act, act)
  const tail = run.catch(() => undefined)
  tails.set(name, tail)
  void tail.then(() => {
    if (tails.get(name) === tail) tails.delete(name)
  })
  return run
}
