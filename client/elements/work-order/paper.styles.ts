import { css } from 'lit'

/** Black on white, on the screen as on paper; sizes in points, since it is read at arm's length from a bench. */
export const orderStyles = css`
  :host {
    display: block;
    color-scheme: light;
    background: #fff;
    color: #000;
    padding: 12mm;
    box-shadow: 0 2px 18px rgb(0 0 0 / 0.22);
    font: 10.5pt/1.38 var(--bl-font);
    overflow-wrap: anywhere;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  h2,
  h3,
  p,
  ul,
  ol,
  dl,
  dd,
  figure {
    margin: 0;
    padding: 0;
  }
  ul,
  ol {
    list-style: none;
  }
  header {
    display: flex;
    justify-content: space-between;
    align-items: flex-end;
    gap: 8mm;
    padding-block-end: 3mm;
    border-block-end: 1.6pt solid #000;
  }
  .shop b {
    display: block;
    font-size: 15pt;
    line-height: 1.2;
  }
  .what {
    text-align: end;
  }
  h2 {
    font-size: 15pt;
    line-height: 1.2;
    letter-spacing: -0.01em;
  }
  .code {
    font: 600 13pt var(--bl-font-numbers);
  }
  .boxes {
    display: grid;
    grid-template-columns: repeat(4, 1fr);
    border: 0.8pt solid #000;
    border-block-start: 0;
  }
  .boxes > div {
    padding: 1.4mm 2.4mm 1.8mm;
    border-inline-start: 0.8pt solid #000;
    min-inline-size: 0;
  }
  .boxes > div:first-child {
    border-inline-start: 0;
  }
  dt,
  .small {
    font-size: 8.4pt;
    color: #333;
  }
  .boxes dd {
    font-weight: 640;
    min-block-size: 1.4em;
  }
  section {
    margin-block-start: 4.5mm;
  }
  h3 {
    font-size: 9pt;
    font-weight: 700;
    letter-spacing: 0.07em;
    text-transform: uppercase;
    padding-block-end: 0.8mm;
    margin-block-end: 1.6mm;
    border-block-end: 0.6pt solid #000;
    break-after: avoid;
  }
  section,
  li,
  tr {
    break-inside: avoid;
  }
  section.long {
    break-inside: auto;
  }
  .halves {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 0 7mm;
    break-inside: avoid;
  }
  .facts {
    columns: 2;
    column-gap: 7mm;
  }
  .facts div {
    display: flex;
    justify-content: space-between;
    gap: 4mm;
    break-inside: avoid;
    border-block-end: 0.4pt solid #bbb;
    padding-block: 0.5mm;
  }
  .facts dd {
    text-align: end;
  }
  .facts dt {
    font-size: inherit;
  }
  p,
  li,
  td {
    text-wrap: pretty;
  }
  .quote {
    font-size: 11.5pt;
  }
  .title {
    font-size: 12.5pt;
    font-weight: 700;
  }
  .evidence li {
    padding-inline-start: 4mm;
    position: relative;
  }
  .evidence li::before {
    content: '';
    position: absolute;
    inset-inline-start: 0;
    inset-block-start: 0.62em;
    inline-size: 2mm;
    border-block-start: 1pt solid #000;
  }
  /* Tick boxes: drawn, so that they print without a background. */
  .ticks li {
    position: relative;
    padding: 0.7mm 0 0.7mm 7mm;
  }
  .ticks li::before,
  .box::before {
    content: '';
    position: absolute;
    inset-inline-start: 0;
    inset-block-start: 1.1mm;
    inline-size: 3.8mm;
    block-size: 3.8mm;
    border: 0.9pt solid #000;
  }
  .ticks .done::after {
    content: '';
    position: absolute;
    inset-inline-start: 1.25mm;
    inset-block-start: 0.5mm;
    inline-size: 1.5mm;
    block-size: 3.4mm;
    border: solid #000;
    border-width: 0 1.4pt 1.4pt 0;
    rotate: 38deg;
  }
  .ticks .not::after {
    content: '';
    position: absolute;
    inset-inline-start: 0.9mm;
    inset-block-start: 2.9mm;
    inline-size: 2mm;
    border-block-start: 1.2pt solid #000;
  }
  .box {
    position: relative;
    padding-inline-start: 5.4mm;
    margin-inline-end: 5mm;
    white-space: nowrap;
  }
  .box::before {
    inset-block-start: 0.2mm;
  }
  .ways {
    display: inline-block;
    white-space: nowrap;
  }
  .pen {
    display: inline-block;
    min-inline-size: 32mm;
    border-block-end: 0.6pt solid #000;
    block-size: 1.25em;
    vertical-align: bottom;
  }
  .pen.short {
    min-inline-size: 20mm;
  }
  .pens {
    line-height: 2;
  }
  table {
    inline-size: 100%;
    border-collapse: collapse;
  }
  thead {
    display: table-header-group;
  }
  th {
    text-align: start;
    font-size: 8.4pt;
    font-weight: 640;
    color: #333;
  }
  :is(td, th) {
    border: 0.6pt solid #777;
    padding: 1.1mm 1.8mm;
    vertical-align: top;
  }
  th.wide {
    inline-size: 46%;
  }
  th.some {
    inline-size: 19%;
  }
  .number {
    font-family: var(--bl-font-numbers);
    font-weight: 600;
  }
  .blank td {
    block-size: 9mm;
  }
  .sign {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 0 10mm;
    margin-block-start: 12mm;
  }
  .sign div {
    border-block-start: 0.8pt solid #000;
    padding-block-start: 1mm;
    font-size: 8.4pt;
  }
  .foot {
    margin-block-start: 5mm;
    padding-block-start: 1.6mm;
    border-block-start: 0.6pt solid #000;
    font-size: 8.2pt;
    color: #222;
    text-wrap: pretty;
  }
  @media screen and (max-width: 640px) {
    :host {
      padding: 16px;
      font-size: 15px;
    }
    .boxes {
      grid-template-columns: 1fr 1fr;
    }
    .boxes > div:nth-child(odd) {
      border-inline-start: 0;
    }
    .boxes > div:nth-child(n + 3) {
      border-block-start: 0.8pt solid #000;
    }
    .halves,
    .sign {
      grid-template-columns: 1fr;
    }
    .sign {
      gap: 12mm;
    }
    .facts {
      columns: 1;
    }
    header {
      flex-direction: column;
      align-items: start;
      gap: 3mm;
    }
    .what {
      text-align: start;
    }
    .ways {
      white-space: normal;
    }
    .small,
    dt,
    th,
    .foot,
    .sign div {
      font-size: 13px;
    }
    /* A row under the other: what a page has in columns would stick out, the reading first. */
    thead,
    tr.none {
      display: none;
    }
    tbody,
    table {
      display: block;
    }
    tr {
      display: grid;
      grid-template-columns: repeat(3, minmax(0, 1fr));
      border: 0.6pt solid #777;
      border-block-end: 0;
    }
    tr:last-child,
    tr:has(+ .none) {
      border-block-end: 0.6pt solid #777;
    }
    td {
      border: 0;
      padding: 6px 8px;
    }
    td:first-child {
      grid-column: 1 / -1;
      padding-block-end: 0;
      font-weight: 600;
    }
    td:first-child .small {
      font-weight: 400;
    }
    td[data-label]::before {
      content: attr(data-label);
      display: block;
      font: 400 12px var(--bl-font);
      color: #333;
    }
    .blank td {
      block-size: auto;
    }
  }
  @media print {
    :host {
      /* A line at the very edge of the paper's text is rounded away on Letter. */
      padding: 0 1px;
      box-shadow: none;
    }
  }
`
