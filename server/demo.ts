import type { Shop } from './store/store.ts'

/** The shop that is there at first start: an invented holiday park by a lake, with numbered cars. */
export const DEMO_SHOP: Shop = {
  id: 'demo',
  name: 'Larch Lake holiday park garage',
  // 555-01xx numbers are kept free for invented people.
  phone: '555-0142',
  hours: 'Monday to Saturday, 8 to 5',
  origins: [],
}
