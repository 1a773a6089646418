import names from '../knowledge/netlists/names.json' with { type: 'json' }

/**
 * What people call the parts and places of the wiring; rules/knowledge/netlists/names.json. Another language is a file of
 * the same shape, under texts/<language>/netlists/names.json; it comes with the knowledge's texts in that language.
 */
export type WiringText = Record<'parts' | 'ends' | 'nodes' | 'drawn' | 'groups', Record<string, string>> & {
  joined: string
  /** what a controller waits for, by what the netlist says of it */
  why?: Record<string, string>
}

const LANGUAGES: Record<string, WiringText> = { en: names.text }

/** Groups in the order in which a list of places shows them, and which ids fall into each; the first that fits. */
const GROUPS: readonly (readonly [keyof typeof names.text.groups, RegExp])[] = [
  [
    'mains',
    /^(receptacle\.|charger\.(line|input)|neutral-terminal|case$|timer|relay\.(line|out)|transformer\.primary)/,
  ],
  ['plug', /^(dc-cord|car-receptacle|receptacle-fuse)/],
  ['charger', /^(charger\.|transformer|capacitor|diode|heat-sink|fuse-post|ammeter|control-board|relay)/],
  ['pack', /^(pack-|frame$|main-fuse)/],
  ['sensors', /^(throttle|speed-sensor|encoder|temperature-sensor|controller\.(throttle|sensor|temperature))/],
  ['controller', /^controller/],
  ['motor', /^(motor|direction-switch\.(feed|armature|out)|field-bypass\.side)/],
  [
    'power',
    /^(resistor-tap|tap-|button-|bus-bar|sliding-contact|main-contactor\.\w+(-\w+)*-side|main-contactor\.\w+-side)/,
  ],
  ['control', /./],
]

export interface WiringNames {
  node(id: string): string
  /** a part, or a piece of one: `contactor-3.coil` */
  part(id: string): string
  /** whether there is a name for a part or place in this very language */
  knows(id: string): boolean
  /** short, for the drawing; empty where nothing should stand there */
  drawn(id: string): string
  /** what is missing, as a netlist's `needs` say it */
  why(missing: string): string
  group(node: string): { id: string; name: string }
  groupOrder(id: string): number
}

const made = new Map<string, WiringNames>()

/** The names in another language, so that a browser fetches those of the language that is read there and no others. */
export function learnWiringNames(language: string, text: WiringText): void {
  LANGUAGES[language] = text
  made.clear()
}

export function wiringNames(language: string): WiringNames {
  const known = made.get(language)
  if (known) return known
  const own = LANGUAGES[language] ?? LANGUAGES[language.split('-')[0]!]
  const find = (text: WiringText | undefined, kind: 'parts' | 'ends' | 'nodes' | 'drawn', id: string) =>
    text && numbered(text[kind], id)
  const joined = (text: WiringText | undefined, id: string): string | undefined => {
    const dot = id.indexOf('.')
    if (!text || dot < 0) return undefined
    const part = find(text, 'parts', id.slice(0, dot))
    const end = find(text, 'ends', id.slice(dot + 1))
    return part === undefined || end === undefined
      ? undefined
      : text.joined.replace('{part}', part).replace('{end}', end)
  }
  const either = (look: (text: WiringText | undefined) => string | undefined) => look(own) ?? look(names.text)
  const part = (id: string) => either((text) => find(text, 'parts', id) ?? joined(text, id))
  const plain = (id: string) => id.replace(/[-.]/g, ' ')
  const texts: WiringNames = {
    node: (id) => either((text) => find(text, 'nodes', id) ?? joined(text, id)) ?? plain(id),
    part: (id) => part(id) ?? plain(id),
    knows: (id) => (find(own, 'nodes', id) ?? find(own, 'parts', id) ?? joined(own, id)) !== undefined,
    drawn: (id) =>
      either((text) => find(text, 'drawn', id)) ?? part(id) ?? either((text) => find(text, 'nodes', id)) ?? plain(id),
    why: (missing) => own?.why?.[missing] ?? missing,
    group(node) {
      const id = GROUPS.find(([, fits]) => fits.test(node))![0]
      return { id, name: own?.groups[id] ?? names.text.groups[id] }
    },
    groupOrder: (id) => GROUPS.findIndex(([name]) => name === id),
  }
  made.set(language, texts)
  return texts
}

/** As listed, or under the same id with `{n}` for its number. */
function numbered(list: Readonly<Record<string, string>>, id: string): string | undefined {
  const whole = list[id]
  if (whole !== undefined) return whole
  const n = /\d+/.exec(id)?.[0]
  return n === undefined ? undefined : list[id.replace(n, '{n}')]?.replaceAll('{n}', n)
}
