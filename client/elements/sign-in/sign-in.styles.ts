import { css } from 'lit'

export const signInStyles = css`
  :host {
    font: 17px/1.45 var(--bl-font);
    color: var(--bl-ink);
  }
  dialog {
    inline-size: min(420px, calc(100vw - 24px));
  }
  /* Nothing is under the first one: it lies on the bench, not over a page that is shut off. */
  dialog.first::backdrop {
    background: var(--bl-bench);
  }
  bl-mark {
    inline-size: 34px;
    margin-block-end: -6px;
  }
  .problem {
    margin-block: 0;
  }
  label {
    display: grid;
    gap: 8px;
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
