import { css } from 'lit'

export const settingsStyles = css`
  form.stack {
    max-inline-size: 860px;
  }
  [data-field='name'] {
    grid-column: span 2;
  }
  .short input {
    max-inline-size: 11em;
  }
  .on {
    margin-block-start: 8px;
  }
  @media (max-width: 620px) {
    [data-field='name'] {
      grid-column: auto;
    }
  }
  .pair {
    display: grid;
    grid-template-columns: 1fr 56px;
    gap: 8px;
  }
  input[type='color'] {
    padding: 4px;
  }
  .off :is(input, select, textarea) {
    border-color: var(--bl-bad);
    border-width: 2px;
  }
  textarea {
    font-family: var(--bl-font-numbers);
  }
`
