import { css } from 'lit'

/** Signal words in the panel colours of ANSI Z535: red, orange, yellow, blue. */
export const cautionStyles = css`
  article {
    display: grid;
    grid-template-columns: auto minmax(0, 1fr);
    gap: 4px 14px;
    align-items: start;
    padding: 13px var(--bl-pad, 20px);
    border-block-end: 1px solid var(--bl-line);
  }
  article.open {
    grid-template-columns: minmax(0, 1fr);
    gap: 12px;
    padding-block: 20px 22px;
    border-block-end: 0;
  }
  /* alone on its card, its button stands at the bottom of it, under the thumb */
  :host(.come) {
    display: flex;
    flex-direction: column;
    flex: 1;
  }
  :host(.come) article {
    flex: 1;
    grid-template-rows: auto auto 1fr;
  }
  :host(.come) .do {
    align-self: end;
  }
  .word {
    display: inline-flex;
    align-items: center;
    gap: 7px;
    justify-self: start;
    font-weight: 820;
    letter-spacing: 0.05em;
    border-radius: 6px;
    padding-block: 3px;
    padding-inline: 8px 10px;
    line-height: 1.3;
    forced-color-adjust: none;
  }
  .word svg {
    inline-size: 1.05em;
    block-size: 1.05em;
    flex: none;
  }
  .open .word {
    font-size: 1.3em;
    padding-block: 6px;
    padding-inline: 12px 15px;
  }
  .DANGER {
    background: #c8102e;
    color: #fff;
  }
  .WARNING {
    background: #ff8200;
    color: #000;
  }
  .CAUTION {
    background: #ffd100;
    color: #000;
  }
  .NOTICE {
    background: #0b5cab;
    color: #fff;
    font-style: italic;
  }
  .text {
    font-size: 0.95em;
    line-height: 1.4;
  }
  .text p {
    font-weight: 620;
  }
  .text li {
    position: relative;
  }
  .open .text {
    font-size: 1.08em;
  }
  .open h2 {
    font-size: 1.22em;
    margin-block-end: 10px;
  }
  .open li {
    padding-inline-start: 22px;
    margin-block: 7px;
  }
  .open li::before {
    content: '';
    position: absolute;
    inset-inline-start: 2px;
    inset-block-start: 0.5em;
    inline-size: 9px;
    block-size: 9px;
    border-radius: 50%;
    background: var(--bl-lamp);
  }
  .closed .text {
    display: block;
  }
  .closed .text > * {
    display: inline;
  }
  .closed .text li {
    display: inline;
  }
  .closed .text li:not(:last-child)::after {
    content: ' ';
  }
  .do {
    position: sticky;
    inset-block-end: 0;
    background: linear-gradient(transparent, var(--bl-card) 12px);
    padding-block: 12px 4px;
  }
  .do button {
    inline-size: 100%;
    min-block-size: 60px;
  }
  .fold {
    display: grid;
    place-content: center;
    margin-block: -9px;
    margin-inline-end: -14px;
  }
  .fold::before {
    content: '';
    inline-size: 9px;
    block-size: 9px;
    border: solid currentColor;
    border-width: 0 2px 2px 0;
    transform: translateY(-2px) rotate(45deg);
  }
  .fold[aria-expanded='true']::before {
    transform: translateY(2px) rotate(225deg);
  }
  article.folds {
    grid-template-columns: auto minmax(0, 1fr) auto;
    padding-block: 10px;
  }
  article.folded {
    align-items: center;
  }
  .folded .text ul {
    display: none;
  }
  .folded .text {
    text-wrap: balance;
  }
  .closed .word {
    font-size: 0.9em;
  }
  @container (max-width: 560px) {
    article.closed {
      grid-template-columns: minmax(0, 1fr) auto;
      align-items: center;
    }
    .closed .text {
      grid-row: 2;
      grid-column: 1 / -1;
    }
    article.folded {
      grid-template-columns: auto minmax(0, 1fr) auto;
      gap: 10px;
    }
    .folded .word {
      font-size: 0.8em;
      padding-inline: 6px 8px;
      gap: 5px;
    }
    .folded .text {
      grid-row: auto;
      grid-column: auto;
      font-size: 0.88em;
      line-height: 1.3;
    }
  }
  @media print {
    .folded .text ul {
      display: inline !important;
    }
  }
  /* Zoomed far in nothing may cover what is read. */
  @media (max-height: 420px) {
    .do {
      position: static !important;
    }
  }
  @media print {
    .folded .text ul {
      display: inline !important;
    }
  }
`
