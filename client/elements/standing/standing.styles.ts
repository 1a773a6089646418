import { css } from 'lit'

export const standingStyles = css`
  :host {
    display: grid;
    gap: 20px;
  }
  h3 {
    margin-block-end: 10px;
  }
  ul {
    display: grid;
    gap: 4px;
  }
  .row {
    inline-size: 100%;
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 4px 12px;
    align-items: baseline;
    text-align: start;
    border-color: transparent;
    background: none;
    padding: 5px 8px;
    margin-inline: -8px;
    inline-size: calc(100% + 16px);
    font-size: 0.96em;
  }
  div.row {
    min-block-size: 44px;
    border: 1px solid transparent;
  }
  .row .number {
    color: var(--bl-soft);
    font-size: 0.95em;
    white-space: nowrap;
  }
  .bar {
    grid-column: 1 / -1;
    block-size: 9px;
    border-radius: 5px;
    background: var(--bl-track);
    overflow: clip;
  }
  .bar i {
    display: block;
    block-size: 100%;
    min-inline-size: 2px;
    border-radius: 5px;
    background: color-mix(in oklab, var(--bl-ink) 66%, var(--bl-card));
    transition: inline-size 0.6s cubic-bezier(0.2, 0.8, 0.2, 1);
  }
  li.first .bar i {
    background: var(--bl-lamp);
  }
  li.first .row {
    font-weight: 640;
  }
  li.first .number {
    color: var(--bl-ink);
  }
  .why {
    border-inline-start: 3px solid var(--bl-lamp);
    padding-block: 2px 4px;
    padding-inline: 12px 0;
    margin-block: 2px 8px;
    font-size: 0.93em;
  }
  .why p + p {
    margin-block-start: 4px;
  }
  .out {
    color: var(--bl-soft);
    font-size: 0.9em;
    margin-block-start: 12px;
  }
  details.out {
    margin-block-start: 4px;
  }
  .disagree {
    border: 1.5px solid var(--bl-bad);
    border-radius: 12px;
    padding: 12px 14px;
  }
  .disagree h3 {
    color: var(--bl-bad);
  }
  .disagree button {
    margin-block-start: 9px;
  }
  .disagree .label {
    margin-block-start: 10px;
  }
  .pair {
    display: flex;
    justify-content: space-between;
    gap: 12px;
    font-size: 0.94em;
    margin-block-start: 5px;
  }
  dl {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 5px 12px;
  }
  dd {
    text-align: end;
  }
  dl .soft,
  .soft.small {
    font-size: 0.9em;
  }
  @media (forced-colors: active) {
    .bar {
      border: 1px solid CanvasText;
      forced-color-adjust: none;
      background: Canvas;
    }
    .bar i,
    li.first .bar i {
      background: Highlight;
    }
  }
  @media print {
    .row {
      display: grid !important;
    }
  }
`
