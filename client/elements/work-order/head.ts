import { html } from 'lit'
import type { DeskText } from '../../texts/desk.ts'
import type { CaseRecord } from '../desk/data.ts'

/** The top of a paper: whose it is, what it is, of which case. */
export function paperHead(t: DeskText, record: CaseRecord, what: string, moment: (iso: string) => string) {
  const { shop, listed } = record
  return html`<header>
    <div class="shop"><b>${shop.name}</b>${[shop.phone, shop.hours].filter(Boolean).join(' · ')}</div>
    <div class="what"><h2>${what}</h2><span class="code">${listed.code}</span>
      <div class="small">${t('received')} ${moment(listed.openedAt)}</div></div>
  </header>`
}
