import { css } from 'lit'

export const meterStyles = css`
  :host {
    display: block;
    border-block-start: 2px dashed var(--bl-line);
    padding: 14px var(--bl-pad, 20px) 16px;
  }
  .drawn {
    display: grid;
    gap: 12px;
    margin-block-end: 10px;
  }
  details.fold > summary {
    font-weight: 640;
  }
  .lead {
    color: var(--bl-soft);
    margin-block: 6px 12px;
    max-inline-size: 60ch;
  }
  form {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 14em), 1fr));
    gap: 12px 14px;
    margin-block-end: 14px;
  }
  label {
    display: grid;
    gap: 4px;
    font-size: 0.92em;
    font-weight: 620;
    color: var(--bl-soft);
    min-inline-size: 0;
  }
  select {
    font-size: 1.06em;
    font-weight: 400;
    color: var(--bl-ink);
    text-overflow: ellipsis;
  }
  .wide {
    grid-column: 1 / -1;
  }
  .state {
    color: var(--bl-soft);
    font-size: 0.92em;
    margin-block-end: 8px;
  }
  .shown {
    border-collapse: collapse;
    inline-size: 100%;
    margin-block-end: 14px;
  }
  .shown th {
    text-align: start;
    font-weight: 620;
    padding: 8px 14px 8px 0;
    white-space: nowrap;
  }
  .shown td {
    padding: 8px 0;
    overflow-wrap: anywhere;
  }
  .shown td,
  .shown th {
    vertical-align: baseline;
  }
  .shown tr + tr > * {
    border-block-start: 1px solid var(--bl-line);
  }
  .shown small {
    display: block;
    font-weight: 400;
    color: var(--bl-soft);
    font-size: 0.88em;
    white-space: normal;
  }
  .busy {
    opacity: 0.6;
  }
  .hint {
    color: var(--bl-soft);
    font-size: 0.9em;
    margin-block: 8px 0;
  }
  /* On a phone the value stands under its instrument. */
  @media (max-width: 420px) {
    .shown tr {
      display: block;
      border-block-start: 1px solid var(--bl-line);
      padding-block: 8px;
    }
    .shown tr > * {
      display: block;
      padding: 0;
      border: 0 !important;
    }
    .shown th {
      white-space: normal;
    }
  }
`
