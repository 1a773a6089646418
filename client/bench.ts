import type { BenchLamp } from './elements/bench-lamp/bench-lamp.ts'

/**
 * The bench page. A technician's sign-in link carries the pass behind the `#`; it is kept in this browser and taken out
 * of the address. A customer's code may stand there too, from a scanned card.
 */
const KEPT = 'benchlamp bench sign-in'

const lamp = document.querySelector<BenchLamp>('bench-lamp')!
const link = new URLSearchParams(location.hash.slice(1))
let kept: { pass?: string; shop?: string } = {}
try {
  kept = JSON.parse(localStorage.getItem(KEPT) ?? '{}')
  const pass = link.get('pass')
  if (pass) {
    kept = { pass, shop: link.get('shop') ?? 'demo' }
    localStorage.setItem(KEPT, JSON.stringify(kept))
  }
} catch {
  kept = { pass: link.get('pass') ?? undefined, shop: link.get('shop') ?? undefined }
}
if (location.hash) history.replaceState(null, '', location.pathname + location.search)

lamp.shop = kept.shop ?? 'demo'
lamp.pass = kept.pass
lamp.code = link.get('code') ?? ''
