import { wearColour } from './session/colour.ts'

/** The counter page says whose it is, above the conversation: name, phone and hours, in the shop's colour. */
const lamp = document.querySelector<HTMLElement>('bench-lamp')!
const shop = lamp.getAttribute('shop') ?? 'demo'

interface About {
  name: string
  phone?: string
  hours?: string
  colour?: string
}

async function sayWhose(): Promise<void> {
  const response = await fetch(`/api/shop/about?shop=${encodeURIComponent(shop)}`).catch(() => undefined)
  if (!response?.ok) return
  const about = (await response.json()) as About
  wearColour(lamp, about.colour)
  const card = document.querySelector('.shop')!
  const part = (tag: string, text: string) => Object.assign(document.createElement(tag), { textContent: text })
  const phone = about.phone
    ? Object.assign(part('a', about.phone), { href: `tel:${about.phone.replace(/[^\d+]/g, '')}` })
    : ''
  card.replaceChildren(part('b', about.name), phone, about.hours ? part('span', about.hours) : '')
}

void sayWhose()
