import { html } from 'lit'

/** A part and its number stay on one line: "contactor 4". Real spaces, so that what is read and copied stays as it was sent. */
export const firm = (text: string) =>
  text.split(/(\S+ \d\S*)/).map((s, i) => (i % 2 ? html`<span class="firm">${s}</span>` : s))
