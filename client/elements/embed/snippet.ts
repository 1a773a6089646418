/** How a dealer wants it on their page. */
export interface Wanted {
  /** origin of the server */
  server: string
  shop: string
  /** what the card is called before anything is asked; empty: as it comes */
  name: string
  layout: 'compact' | 'full'
  theme: 'auto' | 'light' | 'dark'
  /** empty: the page's own */
  language: string
  /** empty: as it comes */
  corners: string
  colour?: Shades
}

/** One colour as it is pressed, written on and laid under; in light and dark, `#rrggbb`. */
export interface Shades {
  /** the colour that they are made of */
  of: string
  act: readonly [light: string, dark: string]
  ink: readonly [light: string, dark: string]
  soft: readonly [light: string, dark: string]
}

/** What a dealer copies into a page: a script and the element. */
export function scriptSnippet(wanted: Wanted): string {
  const rules = rulesOf(wanted)
  const style =
    rules.length > 0 ? `<style>\n  bench-lamp {\n${rules.map((r) => `    ${r}\n`).join('')}  }\n</style>\n` : ''
  return `<script type="module" src="${attribute(wanted.server)}/benchlamp.js"></script>\n${style}<bench-lamp${attributesOf(wanted)}></bench-lamp>\n`
}

/** The same in a frame, for pages that let nobody's script in. */
export function frameSnippet(wanted: Wanted, title: string): string {
  return `<iframe src="${attribute(frameAddress(wanted))}" title="${attribute(title)}" style="width: 100%; ${wanted.layout === 'full' ? 'height: 56rem' : 'max-width: 34rem; height: 46rem'}; border: 0" allow="clipboard-write; web-share" loading="lazy"></iframe>\n`
}

export function frameAddress({ server, shop, name, layout, theme, language, corners, colour }: Wanted): string {
  const query = new URLSearchParams({
    shop,
    ...(name && { name }),
    ...(layout !== 'compact' && { layout }),
    ...(theme !== 'auto' && { theme }),
    ...(language && { lang: language }),
    ...(colour && { colour: colour.of.slice(1) }),
    ...(corners && { corners }),
  })
  return `${server}/frame?${query}`
}

/** Its own settings, those only that differ from how it comes. */
export function attributesOf({ shop, name, layout, theme, language }: Wanted): string {
  const set = (what: string, value: string) => (value ? ` ${what}="${attribute(value)}"` : '')
  return [
    set('shop', shop),
    set('name', name),
    set('layout', layout === 'compact' ? '' : layout),
    set('theme', theme === 'auto' ? '' : theme),
    set('lang', language),
  ].join('')
}

/** Custom properties, as declarations. */
export function rulesOf({ colour, corners }: Pick<Wanted, 'colour' | 'corners'>): string[] {
  const both = ([light, dark]: readonly [string, string]) => `light-dark(${light}, ${dark})`
  return [
    ...(colour
      ? [`--bl-act: ${both(colour.act)};`, `--bl-act-ink: ${both(colour.ink)};`, `--bl-act-soft: ${both(colour.soft)};`]
      : []),
    ...(corners ? [`--bl-radius: ${corners};`] : []),
  ]
}

/** Scheme and host of what was typed as a page's address; undefined where it is none. */
export function originOf(typed: string): string | undefined {
  const text = typed.trim()
  if (text === '') return undefined
  const address = /^[a-z][a-z0-9+.-]*:\/\//i.test(text) ? text : `https://${text}`
  if (!URL.canParse(address)) return undefined
  const { origin, protocol, hostname } = new URL(address)
  return /^https?:$/.test(protocol) && /^(localhost|[\w-]+(\.[\w-]+)+|\[[0-9a-f:]+\])$/i.test(hostname)
    ? origin
    : undefined
}

function attribute(value: string): string {
  return value.replace(/&/g, '&amp;').replace(/"/g, '&quot;').replace(/</g, '&lt;')
}
