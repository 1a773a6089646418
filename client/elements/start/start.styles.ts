import { css } from 'lit'

export const startStyles = css`
  :host {
    padding: 24px var(--bl-pad, 20px);
    display: grid;
    gap: 22px;
  }
  h2 + p {
    margin-block-start: 6px;
  }
  .problem {
    margin-block: 0;
  }
  [aria-invalid='true'] {
    border-color: var(--bl-bad);
  }
  .ways {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 19em), 1fr));
    gap: 16px;
  }
  form {
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    padding: 18px;
    display: flex;
    flex-direction: column;
    gap: 12px;
    background: var(--bl-stub);
  }
  form h3 {
    font-size: 1.18em;
    font-weight: 670;
    letter-spacing: 0;
    text-transform: none;
    color: var(--bl-ink);
  }
  .main {
    margin-block-start: auto;
  }
  label {
    display: grid;
    gap: 5px;
    font-size: 0.93em;
    color: var(--bl-soft);
  }
  label input {
    font-size: 1.15em;
    color: var(--bl-ink);
    min-block-size: 54px;
  }
  .code {
    font-family: var(--bl-font-numbers);
    text-transform: uppercase;
    letter-spacing: 0.04em;
  }
`
