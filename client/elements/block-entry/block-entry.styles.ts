import { css } from 'lit'

export const blockEntryStyles = css`
  form {
    display: grid;
    gap: 10px;
  }
  .blocks {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(6.4em, 1fr));
    gap: 10px;
  }
  label {
    display: grid;
    gap: 3px;
    font-size: 0.9em;
    font-weight: 620;
    color: var(--bl-soft);
  }
  input {
    font-family: var(--bl-font-numbers);
    font-size: 1.15em;
    color: var(--bl-ink);
  }
  .bad input {
    border-color: var(--bl-bad);
    border-width: 2.5px;
  }
  button {
    justify-self: start;
  }
  .problem {
    margin: 0;
  }
`
