/** Types of the element `<bench-lamp>`: what a page may set, call and hear. */

/** What is known of a car before anything is asked, by the names of `rules/knowledge/car-facts.json`. */
export type CarFacts = Readonly<Record<string, string | number | boolean | undefined>>

export interface BenchLampEventMap {
  /** A case was opened, or opened again. */
  'bl-opened': CustomEvent<{ case: string; code: string; role: string }>
  /** Another question stands. */
  'bl-turn': CustomEvent<{ check: string | null }>
  /** A finding is shown. */
  'bl-finding': CustomEvent<{ code: string; title: string; causes: string[]; p: number; sure: boolean }>
  /** A customer was given the code for the shop. */
  'bl-handed-over': CustomEvent<{ code: string }>
  /** The job card was closed. */
  'bl-closed': CustomEvent<{ code: string }>
  /** The pass is good no more: give another one, then call `open()`; what was entered waits. */
  'bl-pass-over': CustomEvent
}

/** What may be set, as an attribute or a property of the same name. */
export interface BenchLampAttributes {
  /** The shop's id; `demo` without one. */
  shop?: string
  /** What the card is called until the complaint is known, such as the shop's name. */
  name?: string
  /** Address of the server, such as `https://lamp.example.org`. A bundled script has to be told. */
  server?: string
  /** A card on somebody's page, or the whole bench. */
  layout?: 'compact' | 'full'
  /** Colours; `auto` follows the reader's setting. */
  theme?: 'auto' | 'light' | 'dark'
  /** Language; by default that of the page. */
  lang?: string
  /** Where it reasons. */
  mode?: 'server' | 'auto' | 'local'
  /** A hand-over code to begin with (technicians). */
  code?: string
}

export declare class BenchLamp extends HTMLElement implements Required<Omit<BenchLampAttributes, 'lang'>> {
  shop: string
  name: string
  server: string
  layout: 'compact' | 'full'
  theme: 'auto' | 'light' | 'dark'
  mode: 'server' | 'auto' | 'local'
  code: string
  /** A technician's pass, from the sign-in link. A property only, so that it stands in no page. */
  pass?: string
  /** What is known of the car before anything is asked. */
  facts?: CarFacts
  /** Opens the case, as touching the element does. */
  open(): void
  /** Leaves the case and begins anew. */
  startOver(): void
  /** Opens what is folded: the trail of answers. */
  show(what: 'trail' | undefined): void
  addEventListener<K extends keyof BenchLampEventMap>(
    type: K,
    listener: (this: BenchLamp, event: BenchLampEventMap[K]) => unknown,
    options?: boolean | AddEventListenerOptions,
  ): void
  addEventListener<K extends keyof HTMLElementEventMap>(
    type: K,
    listener: (this: BenchLamp, event: HTMLElementEventMap[K]) => unknown,
    options?: boolean | AddEventListenerOptions,
  ): void
  addEventListener(
    type: string,
    listener: EventListenerOrEventListenerObject,
    options?: boolean | AddEventListenerOptions,
  ): void
}

declare global {
  interface HTMLElementTagNameMap {
    'bench-lamp': BenchLamp
  }
}
