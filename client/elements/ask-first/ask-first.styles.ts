import { css } from 'lit'

export const askFirstStyles = css`
  li {
    position: relative;
    padding-inline-start: 22px;
    margin-block-start: 5px;
  }
  li::before {
    content: '';
    position: absolute;
    inset-inline-start: 4px;
    inset-block-start: 0.66em;
    inline-size: 10px;
    block-size: 2px;
    background: var(--bl-soft);
  }
  .goes li::before {
    background: var(--bl-bad);
  }
  .hard {
    background: var(--bl-bad);
    color: light-dark(#fff, #2a0a05);
  }
  .bad {
    color: var(--bl-bad);
  }
  label {
    display: grid;
    gap: 4px;
  }
`
