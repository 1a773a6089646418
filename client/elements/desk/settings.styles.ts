import { css } from 'lit'

export const settingsStyles = css`
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
