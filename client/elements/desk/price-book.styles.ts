import { css } from 'lit'

export const priceBookStyles = css`
  .file {
    margin-block-start: 14px;
    max-inline-size: 560px;
  }
  .refused {
    margin-block-end: 6px;
    font-size: 1em;
    letter-spacing: 0;
    text-transform: none;
    color: var(--bl-ink);
    overflow-wrap: anywhere;
  }
  .id {
    font-family: var(--bl-font-numbers);
  }
  td.end {
    white-space: nowrap;
    padding-inline-end: 0;
  }
  :is(td, th).end + .end {
    padding-inline-start: 16px;
  }
  @media (max-width: 720px) {
    td.end + td.end {
      padding-inline-start: 0;
      white-space: normal;
    }
    td[data-label]:not(:empty)::before {
      content: attr(data-label) ': ';
    }
  }
`
