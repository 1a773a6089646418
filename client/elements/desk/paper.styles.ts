import { css } from 'lit'

/** Papers, forms and lists of the desk. */
export const paperStyles = css`
  :host {
    display: grid;
    gap: 14px;
  }
  .paper {
    background: var(--bl-card);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    padding: 16px 18px;
    min-inline-size: 0;
  }
  h2.small {
    font-size: 1.04em;
    letter-spacing: 0;
    margin-block-end: 8px;
  }
  .lead {
    max-inline-size: 68ch;
  }
  .paper > .lead {
    margin-block: 4px 12px;
  }
  form.stack,
  .stack {
    display: grid;
    gap: 12px;
    align-content: start;
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(min(240px, 100%), 1fr));
    gap: 14px 16px;
  }
  label {
    display: grid;
    gap: 3px;
    align-content: start;
    font-size: 0.9em;
    color: var(--bl-soft);
    min-inline-size: 0;
  }
  label :is(input, select, textarea) {
    color: var(--bl-ink);
    font-size: 17px;
  }
  label .bad {
    color: var(--bl-bad);
    font-weight: 600;
  }
  [aria-invalid='true'] {
    border-color: var(--bl-bad);
    border-width: 2px;
  }
  /* A folded one is a line, not a card. */
  .paper:has(> details:only-child:not([open])) {
    padding-block: 4px;
  }
  input[type='file'] {
    padding: 9px 10px;
    font-size: 0.95em;
  }
  input[type='file']::file-selector-button {
    font: inherit;
    font-weight: 620;
    min-block-size: 30px;
    margin-inline-end: 12px;
    padding: 2px 12px;
    border: 1px solid var(--bl-edge);
    border-radius: 8px;
    background: var(--bl-stub);
    color: var(--bl-ink);
  }
  .acts {
    display: flex;
    flex-wrap: wrap;
    gap: 10px;
    align-items: center;
  }
  button.main {
    min-block-size: 48px;
  }
  button.hard {
    color: var(--bl-bad);
    border-color: var(--bl-bad);
  }
  a {
    color: var(--bl-act);
  }
  .button {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    padding: 6px 15px;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    color: var(--bl-ink);
    text-decoration: none;
    font-size: 0.94em;
  }
  .button.main {
    background: var(--bl-act);
    border-color: transparent;
    color: var(--bl-act-ink);
    font-weight: 670;
    min-block-size: 48px;
  }
  .said-done:empty {
    display: none;
  }
  .said-done {
    padding: 8px 13px;
    border-inline-start: 4px solid var(--bl-good);
    border-radius: 4px 10px 10px 4px;
    background: color-mix(in oklab, var(--bl-good) 9%, var(--bl-card));
  }
  .problem {
    margin-block: 0;
  }
  .problems {
    display: grid;
    gap: 8px;
    margin-block-start: 8px;
  }
  .problems li {
    display: grid;
    padding-block-start: 8px;
    border-block-start: 1px solid color-mix(in oklab, var(--bl-bad) 30%, var(--bl-line));
    overflow-wrap: anywhere;
  }
  .problems b {
    color: var(--bl-ink);
    font-weight: 600;
  }
  .where {
    font-family: var(--bl-font-numbers);
    font-size: 0.88em;
    color: var(--bl-bad);
  }
  table {
    inline-size: 100%;
    border-collapse: collapse;
  }
  thead th {
    text-align: start;
    font-size: 0.8em;
    color: var(--bl-soft);
    font-weight: 650;
    padding: 2px 8px 6px 0;
  }
  tbody th {
    text-align: start;
    font-weight: 640;
  }
  tbody :is(td, th) {
    border-block-start: 1px solid var(--bl-line);
    padding: 10px 12px 10px 0;
    vertical-align: top;
    overflow-wrap: anywhere;
  }
  thead th.end {
    text-align: end;
    padding-inline-end: 0;
  }
  tbody :is(td, th) > .soft {
    display: block;
    font-size: 0.88em;
    font-weight: 400;
  }
  td.end,
  th.end {
    text-align: end;
  }
  @media (max-width: 720px) {
    .paper {
      padding: 14px;
    }
    table.narrow thead {
      position: absolute;
      clip-path: inset(50%);
    }
    table.narrow :is(tr, td, tbody th) {
      display: block;
      border: 0;
      padding: 1px 0;
      text-align: start;
    }
    table.narrow tr {
      border-block-start: 1px solid var(--bl-line);
      padding-block: 9px;
    }
  }
`
