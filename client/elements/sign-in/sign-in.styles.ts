import { css } from 'lit'

export const signInStyles = css`
  :host {
    font: 17px/1.45 var(--bl-font);
    color: var(--bl-ink);
  }
  dialog {
    inline-size: min(420px, calc(100vw - 24px));
  }
  label {
    display: grid;
    gap: 3px;
    font-size: 0.92em;
    color: var(--bl-soft);
  }
  label input {
    color: var(--bl-ink);
    font-size: 17px;
  }
  .small {
    font-size: 0.86em;
  }
`
