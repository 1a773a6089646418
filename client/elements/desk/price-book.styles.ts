import { css } from 'lit'

export const priceBookStyles = css`
  .file {
    margin-block-start: 14px;
    max-inline-size: 560px;
  }
  .refused {
    margin-block-end: -8px;
  }
  .id {
    font-family: var(--bl-font-numbers);
  }
  td.end {
    white-space: nowrap;
    padding-inline-end: 0;
  }
  td.end + td.end {
    padding-inline-start: 16px;
  }
`
