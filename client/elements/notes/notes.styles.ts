import { css } from 'lit'

export const notesStyles = css`
  :host {
    display: grid;
    gap: 16px;
  }
  h3 {
    margin-block-end: 8px;
  }
  form {
    display: grid;
    gap: 8px;
  }
  li {
    padding-block: 6px;
    border-block-end: 1px solid var(--bl-line);
    overflow-wrap: anywhere;
  }
  li:last-child {
    border: 0;
    padding-block-end: 0;
  }
  li span {
    display: block;
    color: var(--bl-soft);
    font-size: 0.84em;
  }
  ul {
    margin-block-end: 10px;
  }
  textarea {
    min-block-size: 76px;
  }
  form button {
    justify-self: start;
  }
  p > button {
    margin-block-start: 10px;
  }
`
