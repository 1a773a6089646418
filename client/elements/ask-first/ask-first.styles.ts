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
  /* Not the colour of going on: what it does is not brought back. */
  button.main.hard {
    background: var(--bl-bad);
    color: light-dark(#fff, #2a0a05);
  }
  @media (hover: hover) {
    button.main.hard:not([aria-disabled='true']):hover {
      background: color-mix(in oklab, var(--bl-bad), var(--bl-ink) 18%);
    }
  }
  @media (max-width: 480px) {
    .acts button {
      flex: 1 1 auto;
    }
  }
  .bad {
    color: var(--bl-bad);
  }
  label {
    display: grid;
    gap: 4px;
  }
`
