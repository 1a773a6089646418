import { css } from 'lit'

export const sayStyles = css`
  :host {
    display: flex;
    flex-direction: column;
    gap: 14px;
    padding: 22px var(--bl-pad, 20px) 18px;
  }
  h2 {
    font-size: 1.72em;
  }
  .lead {
    color: var(--bl-soft);
    margin-block-start: 6px;
  }
  form {
    display: grid;
    gap: 10px;
  }
  textarea {
    min-block-size: 96px;
    font-size: 1.1em;
    padding: 12px 15px;
    border-width: 2px;
    border-color: var(--bl-act);
    border-radius: 12px;
  }
  .main {
    min-block-size: 58px;
  }
  /* Where something can be picked, words come second. */
  .options ~ form textarea:not(:focus) {
    border-color: var(--bl-edge);
  }
  .options ~ form:not(:focus-within) .main {
    background: none;
    color: var(--bl-act);
    box-shadow: inset 0 0 0 1.5px var(--bl-act);
  }
  .pick > summary {
    color: var(--bl-act);
    font-weight: 640;
  }
  .list {
    display: grid;
    gap: 8px;
    margin-block-start: 4px;
  }
  .list button,
  .options button {
    text-align: start;
    min-block-size: 52px;
    padding: 8px 16px;
    display: block;
    inline-size: 100%;
    font-size: 1em;
  }
  .list.two {
    grid-template-columns: repeat(auto-fill, minmax(min(100%, 17em), 1fr));
  }
  small {
    display: block;
    color: var(--bl-soft);
    font-size: 0.88em;
    margin-block-start: 1px;
  }
  .options {
    display: grid;
    gap: 9px;
  }
  .options button {
    border-width: 1.5px;
    border-block-end-width: 4px;
    border-radius: 12px;
    font-weight: 620;
    font-size: 1.06em;
    min-block-size: 56px;
  }
  .options small {
    font-weight: 400;
  }
`
