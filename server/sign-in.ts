import { networkInterfaces } from 'node:os'
import { passId } from './cases/passes.ts'
import type { ServerOutside } from './outside.ts'
import type { Store } from './store/store.ts'

export type LinkRole = 'technician' | 'dealer'

/** Makes a technician's or dealer's pass and returns it; only its hash is kept, so it can't be shown again. */
export async function newLinkPass(
  store: Store,
  outside: ServerOutside,
  who: { shop: string; role: LinkRole; name?: string },
): Promise<string> {
  const pass = outside.pass()
  await store.addPass(
    { id: passId(pass), shop: who.shop, role: who.role, ...(who.name === undefined ? {} : { name: who.name }) },
    outside.now(),
  )
  return pass
}

/** The pass stands behind the #, which browsers keep to themselves: it gets into no log on the way. */
export function signInLink(base: string, pass: string, shop: string, role: LinkRole = 'technician'): string {
  return `${base}/${role === 'dealer' ? 'desk' : 'bench'}#pass=${encodeURIComponent(pass)}${shop === 'demo' ? '' : `&shop=${encodeURIComponent(shop)}`}`
}

/** Where people reach the server: on this computer, and on the network if it listens there. */
export function addresses(host: string, port: number): string[] {
  const everywhere = host === '0.0.0.0' || host === '::'
  const names = everywhere
    ? [
        'localhost',
        ...Object.values(networkInterfaces())
          .flatMap((list) => list ?? [])
          .filter((a) => a.family === 'IPv4' && !a.internal)
          .map((a) => a.address),
      ]
    : [host.includes(':') ? `[${host}]` : host]
  return names.map((name) => `http://${name}:${port}`)
}
