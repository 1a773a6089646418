import { css } from 'lit'

export const readingStyles = css`
  form {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 10px;
    align-items: stretch;
  }
  .field {
    display: flex;
    align-items: center;
    gap: 8px;
    border: 2px solid var(--bl-act);
    border-radius: 12px;
    background: var(--bl-card);
    padding: 3px 16px;
    min-inline-size: 0;
  }
  .field:focus-within {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .field.invalid {
    border-color: var(--bl-bad);
  }
  input {
    border: 0;
    background: none;
    outline: none !important;
    padding: 0;
    font-family: var(--bl-font-numbers);
    font-weight: 620;
    font-size: 1.85em;
    min-block-size: 56px;
    flex: 1;
  }
  .unit {
    font-family: var(--bl-font-numbers);
    font-weight: 620;
    font-size: 1.3em;
    color: var(--bl-soft);
  }
  .main {
    min-inline-size: 118px;
  }
  .band {
    grid-column: 1 / -1;
    font-size: 0.95em;
    line-height: 1.4;
    color: var(--bl-soft);
  }
  .band .number {
    color: var(--bl-ink);
    white-space: nowrap;
  }
  .band b {
    color: var(--bl-ink);
    font-weight: 660;
  }
  @container (max-width: 560px) {
    .main {
      min-inline-size: 104px;
      padding-inline: 14px;
    }
  }
`
